"""What leaflets say: in short sentences, with words that the screens really have."""

import re
from pathlib import Path

import pytest
from django.conf import settings

from builds.leaflets.paper import LEAFLETS
from tests.house.test_access_by_role import DOORS
from tests.support.quoted import not_read_at

ROOT = Path(settings.BASE_DIR)
LEAFLETS_OWN = ROOT / "builds" / "leaflets"
LONGEST_SENTENCE = 22  # with the words of the screen in it
ALL = list(LEAFLETS.values())
ROLES = list(LEAFLETS)


@pytest.fixture(scope="module")
def sources() -> str:
    """All templates and modules but the leaflets' own."""
    files = [
        *(ROOT / "templates").rglob("*.html"),
        *(path for app in ("habitats", "builds") for path in (ROOT / app).rglob("*.py")),
    ]
    return "\n".join(one.read_text() for one in files if LEAFLETS_OWN not in one.parents)


@pytest.mark.parametrize("leaflet", ALL, ids=ROLES)
def test_sentences_are_short(leaflet):
    texts = [
        *leaflet.part,
        *("".join(one.words for one in said.parts) for said in leaflet.all_told),
    ]

    long = [
        sentence
        for text in texts
        for sentence in re.split(r"[.:;?] ", str(text))
        if len(sentence.split()) > LONGEST_SENTENCE
    ]
    assert long == []


@pytest.mark.parametrize("leaflet", ALL, ids=ROLES)
def test_it_explains_ten_words_in_alphabetical_order(leaflet):
    terms = [str(one.term).lower() for one in leaflet.terms]

    assert len(set(terms)) == 10
    assert terms == sorted(terms)


@pytest.mark.parametrize("leaflet", ALL, ids=ROLES)
def test_a_word_is_quoted_from_an_address_that_its_reader_may_open(leaflet):
    """So that the walk over all addresses of the role comes by and reads it there."""
    at = {one.at for one in leaflet.quoted if one.at}

    closed = [name for name in at if leaflet.role not in ("coordinator", *DOORS[name].roles)]
    assert closed == []


@pytest.mark.parametrize("leaflet", ALL, ids=ROLES)
def test_a_word_that_a_page_has_only_at_times_is_one_of_our_screens(leaflet, sources):
    words = [str(one.words) for one in leaflet.quoted if not one.at]

    assert [one for one in words if f'"{one}"' not in sources] == []


def test_the_walk_misses_a_word_that_a_page_does_not_say():
    assert not_read_at("builds:batches", "builder", "<h1>Builds</h1>") == []
    assert not_read_at("builds:builds", "builder", "<h1> Builds\n</h1>") == []
    assert not_read_at("builds:builds", "builder", "<h1>Builds of today</h1>") == ["Builds"]
