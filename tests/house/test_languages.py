"""Each page says all that it says in its reader's language, and writes its numbers their way.

And it has one first action, one line that says what it is for, and the words that leaflets quote
from it, which are told on the same walk, since opening every page is costly.
"""

from collections.abc import Iterator

import pytest
from django.http import HttpResponse
from django.urls import reverse

from tests.house.test_access_by_role import DOORS
from tests.support.pseudo import (
    CODE,
    OPEN,
    data_of_all_rows,
    numbers_with_a_comma,
    numbers_written_with,
    spoken,
    unsaid,
)
from tests.support.purposes import wrong_with_its_line
from tests.support.quoted import not_read_at
from tests.support.words import found_in, of_markup
from tests.support.words_still import STILL

PAGES = [name for name, door in DOORS.items() if door.method == "get"]

FIRST_ACTION = 'class="button first'
# Pages with several at a time, and why.
SEVERAL_FIRST = {"builds:kit": "each row of the box has its own, until it is packed"}
# Pages without a line under their heading, and why.
WITHOUT_A_LINE = {
    "weigh_animal": "one field, under the animal’s place and its last weight",
    "builds:board": "the plan keeps the first screen of a phone; a line of its own says what to do",
    "builds:change_enclosure": "as on the board of a design",
    "builds:build_step": "the step’s picture and its tick have the screen of a phone",
    "builds:adopter_step": "as on a step of a build",
}


def texts_of(response: HttpResponse) -> Iterator[str]:
    """What is read of an answer: a page, a paper that was not printed, a drawing."""
    if response.streaming or response.status_code != 200:
        return
    text = response.content.decode(errors="replace")
    if text.lstrip().startswith("<"):
        yield text


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_all_in_the_language_of_its_reader(name, cast, client_of, unprinted):
    """In one go, since what stands behind an address is costly to make.

    Nothing is said outside the catalogue; drawings and fields keep their decimal point, since a
    browser reads no comma; caches hold values, not the words that the reader before was told; and
    to a reader of English no number has a decimal comma.
    """
    address = reverse(name, kwargs=DOORS[name].make())
    coordinator = cast["coordinator"]
    client = client_of(coordinator)
    coordinator.language = CODE
    coordinator.save()
    with spoken():
        texts = list(texts_of(client.get(address)))
    assert [one for text in texts for one in unsaid(text, data_of_all_rows)] == []
    several = [text for text in texts if text.count(FIRST_ACTION) > 1]
    assert not several or name in SEVERAL_FIRST, "more than one button first"
    assert [one for text in texts for one in numbers_with_a_comma(text)] == []

    coordinator.language = "en-gb"
    coordinator.save()

    texts = list(texts_of(client.get(address)))
    assert [text for text in texts if OPEN in text] == []
    assert [one for text in texts for one in numbers_written_with(",", text)] == []
    wrong = [one for one in map(wrong_with_its_line, texts) if one]
    assert bool(wrong) == (name in WITHOUT_A_LINE), wrong
    assert not_read_at(name, "coordinator", "".join(texts)) == []
    pages = [text for text in texts if "</html>" in text]
    found = [phrase for text in pages for _line, phrase in found_in(of_markup(text))]
    assert [phrase for phrase in found if phrase not in STILL] == [], "words we do not use"
