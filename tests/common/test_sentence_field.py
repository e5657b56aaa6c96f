"""A column of sentences gives back what people typed, and our sentences in any language."""

import json

import pytest
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from habitats.common.sentence_field import kept_sentence, read_sentence
from habitats.wording import joined, message

OURS = message("Mended by the repair %(code)s.", code="K3PT")


@given(st.text())
def test_what_was_typed_is_read_as_it_was_typed(typed):
    assert read_sentence(kept_sentence(typed)) == typed


@pytest.mark.parametrize("typed", ["{", "{}", '{"pattern": "Stopped"}', '{"text": 3}', "{0}"])
def test_what_was_typed_is_no_sentence_of_ours_however_it_looks(typed):
    with translation.override("de"):
        assert str(read_sentence(kept_sentence(typed))) == typed


def test_what_is_typed_stands_as_text_in_the_column():
    assert kept_sentence("brought by Ada") == "brought by Ada"


@pytest.mark.parametrize("before", ["{", "{0} left", "{}", '{"a": 1}'])
def test_what_was_typed_before_there_were_sentences_stays_as_it_is(before):
    assert read_sentence(before) == before


def test_a_sentence_is_told_to_each_reader():
    read = read_sentence(kept_sentence(OURS))

    assert str(read) == "Mended by the repair K3PT."
    with translation.override("de"):
        assert str(read) == "Behoben durch die Reparatur K3PT."


def test_a_sentence_with_somebodys_words_behind_it_keeps_them():
    read = read_sentence(kept_sentence(joined(" ", [OURS, "Müde, aber froh."])))

    with translation.override("de"):
        assert str(read) == "Behoben durch die Reparatur K3PT. Müde, aber froh."


def test_the_column_can_be_searched_for_words_and_names():
    kept = kept_sentence(message("instead of %(item)s", item="Kabelbinder, weiß"))

    assert "Kabelbinder, weiß" in kept
    assert json.loads(kept)["text"] == "instead of Kabelbinder, weiß"
