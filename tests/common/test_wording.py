"""Sentences of pure packages: English as values, in the reader's language where they are read."""

import json
import pickle

import pytest

from habitats import wording
from habitats.wording import Figures, counted, joined, listed, message, message_in

GERMAN = {
    "Level %(number)d has no ramp.": "Ebene %(number)d hat keine Rampe.",
    "The ramp is %(steep)s steep.": "Die Rampe ist %(steep)s steil.",
    "%(words)s and %(last)s": "%(words)s und %(last)s",
    "%(count)d panel": "%(count)d Gitterelement",
    "%(count)d panels": "%(count)d Gitterelemente",
    "open\x04drawing": "offen",
}


class German:
    def sentence(self, pattern: str, context: str) -> str:
        return GERMAN.get(f"{context}\x04{pattern}" if context else pattern, pattern)

    def counted(self, one: str, many: str, count: int) -> str:
        return self.sentence(one if count == 1 else many, "")

    def number(self, figures: str) -> str:
        return figures.replace(".", ",")


@pytest.fixture
def german(monkeypatch):
    monkeypatch.setattr(wording, "_reader", German)


def test_a_sentence_is_english_without_a_reader():
    assert str(message("Level %(number)d has no ramp.", number=2)) == "Level 2 has no ramp."


def test_a_sentence_is_said_in_the_readers_language_where_it_becomes_text(german):
    said = message("Level %(number)d has no ramp.", number=2)

    assert str(said) == f"{said}" == said.__html__() == "Ebene 2 hat keine Rampe."


def test_a_sentence_stays_english_as_a_value(german):
    said = message("Level %(number)d has no ramp.", number=2)

    assert said == "Level 2 has no ramp."
    assert json.dumps({"said": said}) == '{"said": "Level 2 has no ramp."}'


def test_what_is_put_into_a_sentence_is_translated_with_it(german):
    said = message("The ramp is %(steep)s steep.", steep=Figures("31.5"))

    assert said == "The ramp is 31.5 steep."
    assert str(said) == "Die Rampe ist 31,5 steil."


def test_a_count_takes_the_plural_of_the_language(german):
    one = counted("%(count)d panel", "%(count)d panels", 1)
    three = counted("%(count)d panel", "%(count)d panels", 3)

    assert (str(one), str(three)) == ("1 Gitterelement", "3 Gitterelemente")
    assert [one, three] == ["1 panel", "3 panels"]


def test_names_are_listed_with_the_languages_own_word_before_the_last(german):
    assert listed(["Ida", "Nut", "Bo"]) == "Ida, Nut and Bo"
    assert str(listed(["Ida", "Nut", "Bo"])) == "Ida, Nut und Bo"
    assert listed(["Ida"]) == "Ida"
    assert listed([]) == ""


def test_joined_sentences_are_each_translated(german):
    two = [message("Level %(number)d has no ramp.", number=n) for n in (1, 2)]

    assert str(joined(" ", two)) == "Ebene 1 hat keine Rampe. Ebene 2 hat keine Rampe."


def test_a_word_with_two_meanings_is_told_apart_by_its_context(german):
    assert str(message_in("open", "drawing")) == "offen"
    assert str(message("drawing")) == "drawing"


def test_what_a_template_shows_is_escaped():
    assert message("%(name)s & co", name="<b>").__html__() == "&lt;b&gt; &amp; co"


def test_a_sentence_outlives_being_pickled(german):
    said = pickle.loads(pickle.dumps(counted("%(count)d panel", "%(count)d panels", 3)))

    assert str(said) == "3 Gitterelemente"
