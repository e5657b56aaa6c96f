"""What a kept picture says is told to each reader, and its markup stays as it was drawn."""

import json
from xml.etree import ElementTree

import pytest

from habitats import wording
from habitats.drawing.pen import Pen
from habitats.drawing.svg import finished
from habitats.stored_pictures import picture_told, stored_picture
from habitats.wording import Figures, Said, message


class Bracketed:
    def sentence(self, pattern: str, context: str) -> str:
        return f"<{pattern}>"

    def counted(self, one: str, many: str, count: int) -> str:
        return self.sentence(one if count == 1 else many, "")

    def number(self, figures: str) -> str:
        return figures.replace(".", ",")


WORDS = message("tie & turn at %(size)s", size=Figures("1.5"))


def drawn() -> str:
    def draw(pen: Pen) -> None:
        pen.text((10, 10), WORDS)
        pen.text((10, 30), "7")

    return finished(draw, message("A “fine” picture"), f"{message('Twice')}, {WORDS}", kind="x")


def kept() -> list[object]:
    return json.loads(json.dumps(stored_picture(drawn)))


def test_a_kept_picture_is_told_in_english_as_it_was_drawn():
    assert ElementTree.canonicalize(picture_told(kept())) == ElementTree.canonicalize(drawn())


def test_a_kept_picture_is_told_in_the_language_of_its_reader(monkeypatch):
    picture = kept()
    monkeypatch.setattr(wording, "_reader", Bracketed)

    svg = ElementTree.fromstring(picture_told(picture))

    assert svg.get("aria-label") == "<A “fine” picture>"
    assert [one.text for one in svg] == [
        "<A “fine” picture>",
        "<Twice>, <tie & turn at 1,5>",
        "<tie & turn at 1,5>",
        "7",
    ]


def test_the_language_of_who_keeps_it_makes_no_difference(monkeypatch):
    before = kept()
    monkeypatch.setattr(wording, "_reader", Bracketed)

    assert kept() == before


def test_a_picture_of_before_stays_as_it_was():
    assert picture_told("<svg/>") == "<svg/>"


def test_sentences_are_told_again_once_a_picture_could_not_be_drawn():
    with pytest.raises(ZeroDivisionError):
        stored_picture(lambda: str(1 // 0))

    assert isinstance(WORDS, Said)
    assert str(WORDS) == "tie & turn at 1.5"
