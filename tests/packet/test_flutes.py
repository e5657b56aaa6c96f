"""Flutes: one direction for each piece, that of its cut, wherever the packet tells it.

What is printed is read back and compared with the sheet plan as it is printed: a piece's measures
along and across the paper there, and the arrow of the sheet. Nothing is asked of the code that
lays the blanks.

The random designs are reckoned once for all tests: that takes longer than what they ask.
"""

import re
from typing import NamedTuple

import pytest
from hypothesis import Phase, given, settings

from builds.making.step import Step
from builds.packet.paper import Label, Options, Packet, Section, packet_of, source_of
from tests.packet.conftest import LINK, reckoned
from tests.support.designs import designs

LABEL = Label("Random design", "K7MXQ2", LINK, "25 November 2026")
TWO_WAYS = Options(sections=frozenset({Section.SHEETS, Section.BLANKS}))
# The middle one of three strokes, an arrowhead at both ends, and the word.
ARROW = re.compile(
    r'd="M[\d. -]+l(?P<right>[\d.]+) (?P<down>[\d.]+)M[^"]*"/><path [^>]*/>'
    r"<text [^>]*>flutes</text>"
)
MEASURE = r"(\d[\d\s]*)\smm"


def mm(words: str) -> int:
    return int(re.sub(r"\s", "", words))


def runs_across(picture: str) -> bool:
    """Whether the picture's one arrow lies across the paper, not up and down."""
    (arrow,) = ARROW.finditer(picture)
    right, down = float(arrow["right"]), float(arrow["down"])
    assert sorted((right, down))[0] == 0
    return right > 0


def along_on_sheets(packet) -> dict[str, tuple[int, int]]:
    """Each piece's length along the flutes and across them, as its sheet plan is printed."""
    found = {}
    for card in packet.sheets:
        for name, _count in card.pieces:
            printed = re.search(rf"{re.escape(name)}\s{MEASURE}\s×\s{MEASURE}", card.picture)
            across, down = mm(printed[1]), mm(printed[2])
            found[name] = (across, down) if runs_across(card.picture) else (down, across)
    return found


def along_on_drawing(picture: str) -> tuple[int, int]:
    """The same as a blank's own drawing tells it."""
    printed = re.search(rf"<desc>Cut\s{MEASURE}\sby\s{MEASURE}", picture)
    across, down = mm(printed[1]), mm(printed[2])
    return (across, down) if runs_across(picture) else (down, across)


class Told(NamedTuple):
    """A random design as its packet and its steps tell it."""

    steps: tuple[Step, ...]
    packet: Packet
    on_sheets: dict[str, tuple[int, int]]


@pytest.fixture(scope="module")
def told() -> list[Told]:
    """Not shrunk, since each is small."""
    found = {}

    @settings(max_examples=60, phases=[Phase.generate])
    @given(designs())
    def tell(design):
        if design not in found:
            reckoning = reckoned(design, TWO_WAYS)
            packet = packet_of(source_of(reckoning), LABEL, TWO_WAYS)
            found[design] = Told(tuple(reckoning.steps), packet, along_on_sheets(packet))

    tell()
    return [*found.values()]


def test_there_are_designs_with_pieces_that_lie_both_ways(told):
    ways = {runs_across(card.picture) for one in told for card in one.packet.blanks}

    assert len(told) > 30
    assert ways == {True, False}


def test_the_arrow_on_a_blank_runs_as_its_piece_lies_on_the_printed_sheet(told):
    for one in told:
        drawn = {card.name: along_on_drawing(card.picture) for card in one.packet.blanks}

        assert drawn == one.on_sheets


def test_a_step_tells_the_flutes_and_the_folds_as_the_piece_was_cut(told):
    for one in told:
        for card in one.packet.blanks:
            (step,) = [s for s in one.steps if s.title == f"Cut the blank: {card.blank.name}"]
            check_told(" ".join(step.instructions), card, *one.on_sheets[card.name])


def check_told(words, card, along, across):
    """The words of a step against its blank, so long along the flutes and across them."""
    if along != across:
        assert mm(re.search(rf"Flutes along the {MEASURE} side", words)[1]) == along
    level = sum(one.y1 == one.y2 for one in card.blank.scores)
    upright = len(card.blank.scores) - level
    is_across = runs_across(card.picture)
    slit, creased = (level, upright) if is_across else (upright, level)
    way = "left to right" if is_across else "top to bottom"
    told = {
        f"Scores {way} run along the flutes: slit": slit and creased,
        "The others run across: score or crease": slit and creased,
        "All scores run along the flutes: slit": slit and not creased,
        "All scores run across the flutes: score or crease": creased and not slit,
    }
    assert {told_so: told_so in words for told_so in told} == {
        one: bool(is_so) for one, is_so in told.items()
    }
