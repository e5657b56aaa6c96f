"""Each page says all that it says in its reader's language, and writes its numbers their way."""

from collections.abc import Iterator

import pytest
from django.http import HttpResponse
from django.urls import resolve, reverse

from tests.house.test_access_by_role import DOORS
from tests.support.pseudo import CODE, OPEN, data_of_all_rows, numbers_with_a_comma, spoken, unsaid

PAGES = [name for name, door in DOORS.items() if door.method == "get"]
# Rooms whose pages are marked throughout; the others follow.
SAID: set[str] = {
    "builds/batches",
    "builds/building",
    "habitats/animals",
    "builds/designs",
    "builds/pulls",
    "builds/store",
    "habitats/board",
    "habitats/enclosures",
    "habitats/faults",
    "habitats/help",
    "habitats/records",
    "habitats/homes",
    "habitats/linens",
    "habitats/people",
    "habitats/readings",
    "habitats/rescue",
    "habitats/residence",
    "habitats/traces",
}


def texts_of(response: HttpResponse) -> Iterator[str]:
    """What is read of an answer: a page, a paper that was not printed, a drawing."""
    if response.streaming or response.status_code != 200:
        return
    text = response.content.decode(errors="replace")
    if text.lstrip().startswith("<"):
        yield text


@pytest.mark.parametrize("name", PAGES)
def test_a_page_says_nothing_outside_the_catalogue(name, cast, client_of, unprinted):
    door = DOORS[name]
    address = reverse(name, kwargs=door.make())
    room = "/".join(resolve(address).func.__module__.split(".")[:2])
    coordinator = cast["coordinator"]
    coordinator.language = CODE
    coordinator.save()

    with spoken():
        response = client_of(coordinator).get(address)

    left = [one for text in texts_of(response) for one in unsaid(text, data_of_all_rows)]
    if left and room not in SAID:
        pytest.skip(f"{room} is not marked yet: {len(left)} texts")
    assert not left, "\n".join(left)


@pytest.mark.parametrize("name", PAGES)
def test_nothing_of_one_readers_language_is_kept_for_the_next(name, cast, client_of, unprinted):
    """Caches hold values, not the words that somebody was told."""
    address = reverse(name, kwargs=DOORS[name].make())
    coordinator = cast["coordinator"]
    client = client_of(coordinator)
    coordinator.language = CODE
    coordinator.save()
    with spoken():
        client.get(address)

    coordinator.language = "en-gb"
    coordinator.save()
    response = client.get(address)

    assert [text for text in texts_of(response) if OPEN in text] == []


@pytest.mark.parametrize("name", PAGES)
def test_numbers_that_programs_read_keep_their_point(name, cast, client_of, unprinted):
    """Drawings and fields: a browser reads no decimal comma."""
    address = reverse(name, kwargs=DOORS[name].make())
    coordinator = cast["coordinator"]
    coordinator.language = CODE
    coordinator.save()

    with spoken():
        response = client_of(coordinator).get(address)

    assert [one for text in texts_of(response) for one in numbers_with_a_comma(text)] == []
