"""Sentences come back from JSON as they went in, and nothing that is broken stops a page."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats import wording
from habitats.stored_wording import all_from_json, all_to_json, from_json, to_json
from habitats.wording import (
    Counted,
    Figures,
    Message,
    counted,
    joined,
    listed,
    message,
    message_in,
)


class Shouting:
    """A language in which every pattern is in brackets."""

    def sentence(self, pattern: str, context: str) -> str:
        return f"[{context}{pattern}]"

    def counted(self, one: str, many: str, count: int) -> str:
        return f"[{one if count == 1 else many}]"

    def number(self, figures: str) -> str:
        return figures.replace(".", ",")


PLAIN = st.text(st.characters(exclude_characters="%", exclude_categories=["Cs"]), max_size=8)
NUMBERS = st.integers(-9999, 9999)


def messages(values: st.SearchStrategy[object]) -> st.SearchStrategy[Message]:
    def filled(words: str, context: str, put: object) -> Message:
        return Message(f"{words} %(put)s", context, {"put": put})

    return st.builds(filled, PLAIN, PLAIN, values)


def counteds(values: st.SearchStrategy[object]) -> st.SearchStrategy[Counted]:
    def filled(words: str, count: int, put: object) -> Counted:
        return counted(f"{words} %(put)s", f"%(count)d {words}", count, put=put)

    return st.builds(filled, PLAIN, NUMBERS, values)


TEXTS = st.recursive(
    st.one_of(PLAIN, st.builds(message, PLAIN), st.builds(Figures, st.just("31.5"))),
    lambda said: st.one_of(
        messages(st.one_of(said, NUMBERS)),
        counteds(st.one_of(said, NUMBERS)),
        st.builds(joined, said, st.lists(said, max_size=3)),
    ),
    max_leaves=6,
)


def kept(text: str) -> str:
    """Written into JSON and read again."""
    return from_json(json.loads(json.dumps(to_json(text))))


@given(TEXTS)
def test_a_sentence_comes_back_as_it_was(text):
    again = kept(text)

    assert again == text
    assert type(again) is type(text)
    before = wording._reader
    wording.read_by(Shouting)
    try:
        assert str(again) == str(text)
    finally:
        wording.read_by(before)


@pytest.mark.parametrize(
    "text",
    [
        "Plain",
        message("Lay the tray."),
        message("100 %% of %(what)s.", what="it"),
        message_in("drawing", "Open"),
        counted("%(count)d panel of %(size)s", "%(count)d panels of %(size)s", 3, size="355 mm"),
        Figures("1.10"),
        listed([message("Ida"), "Nut", Figures("2.5")]),
        joined(message(" or "), ["a", message("b")]),
    ],
)
def test_each_kind_of_sentence_is_kept(text):
    assert kept(text) == text
    assert type(kept(text)) is type(text)


def test_several_sentences_are_kept_in_their_order():
    sentences = ["a", message("b")]

    assert all_from_json(all_to_json(sentences)) == sentences


def test_a_text_of_before_stays_as_it_was():
    assert from_json("Lay the tray.") == "Lay the tray."
    assert to_json("Lay the tray.") == "Lay the tray."


@pytest.mark.parametrize(
    "broken",
    [
        {"text": "Level 2."},
        {"text": "Level 2.", "pattern": 3},
        {"text": "Level 2.", "pattern": "Level %(number)d."},
        {"text": "Level 2.", "pattern": "Level %(number)d.", "values": [2]},
        {"text": "Level 2.", "pattern": "Level %(number)d.", "values": {"number": "two"}},
        {"text": "Level 2.", "pattern": "Level %(number)d.", "values": {"number": {"x": 1}}},
        {"text": "Level 2.", "pattern": "Level %(number", "values": {"number": 2}},
        {"text": "Level 2.", "pattern": "Level 3."},
        {"text": "Level 2.", "one": "Level 2.", "many": "Levels", "count": "2"},
        {"text": "Level 2.", "joined": "Level 2.", "between": 4},
        {"text": "Level 2.", "joined": [1, 2], "between": " "},
    ],
)
def test_what_is_broken_is_read_in_english(broken):
    again = from_json(broken)

    assert again == "Level 2."
    assert str(again) == "Level 2."


@pytest.mark.parametrize("broken", [None, 3, [], ["a"], {}, {"text": 3}, {"figures": 2}])
def test_what_has_no_text_is_empty(broken):
    assert from_json(broken) == ""


def test_no_list_has_no_sentences():
    assert all_from_json(None) == []
