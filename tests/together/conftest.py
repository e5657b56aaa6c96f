"""Two coordinators, each with a page open on the same thing."""

import re

import pytest

TAG = re.compile(r"<[^>]+>")
BASIS = re.compile(r'name="basis" value="([^"]+)"')


@pytest.fixture
def other(make_person):
    """A second coordinator."""
    return make_person("bo", first_name="Bo", last_name="Hale", role="coordinator")


@pytest.fixture
def both(client_of, coordinator, other, this_day):
    """The clients of the two."""
    return client_of(coordinator), client_of(other)


@pytest.fixture
def opened():
    """`opened(client, page, form)`: what the form of a page carries as its basis.

    `form` is the address it is sent to, where that is not the page's own.
    """

    def open_(client, page, form=None):
        text = client.get(page).content.decode()
        if form:
            text = text.partition(f'action="{form}"')[2].partition("</form>")[0]
        found = BASIS.search(text)
        assert found, f"the form of {page} carries nothing that it was based on"
        return found[1]

    return open_


@pytest.fixture
def text_of():
    """The words of a page, without its tags, with plain blanks."""
    return lambda page: " ".join(TAG.sub("", page.content.decode()).replace("\xa0", " ").split())
