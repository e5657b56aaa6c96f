"""An outside reader's table: rules of ISO 128 and ISO 129-1 that the drawings keep.

Each row names the standard and its part, says the rule in our words, and how it is known: read
second-hand (an excerpt of ISO 129-1:2018, "General principles") or from memory, not checked. The
numbers of clauses are from memory throughout. What the drawings keep is looked for in their marks.

Two conventions are ours and no standard's: a score is a line of long dash and dot, where ISO 128
has a continuous narrow line for a bend; and what is new in a step is wide and in strong colour.
"""

from collections.abc import Callable, Iterable
from math import atan2, degrees, dist
from typing import NamedTuple

import pytest

from builds.drawing.blanks import draw_blank, draw_small_blank
from builds.drawing.corner import Scene
from builds.drawing.plan import draw_plan
from builds.drawing.seats import draw_details, draw_letters
from builds.drawing.space import Corner
from builds.drawing.standing import all_parts
from builds.making.reckoning import plan_of
from builds.making.step import Parts
from builds.sheets import as_cut
from habitats.drawing.pen import PenMark, RecordingPen
from habitats.drawing.styles import Letter, Style
from habitats.measures import length
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from

STROKE = (6, 9)  # how long an end stroke is, in units
SECOND_HAND, MEMORY = "second-hand, clause from memory", "from memory, not checked"
Marks = list[PenMark]


class Rule(NamedTuple):
    where: str
    known: str
    says: str
    kept: Callable[["Drawings"], bool]


class Drawings:
    """The marks of one design's plan, of its blanks as a card and in a step, of its connectors."""

    def __init__(self) -> None:
        design = make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),))
        told = plan_of(design, lay=as_cut)
        self.plan = recorded(lambda pen: draw_plan(pen, told.structure, 0, length))
        blanks = told.blanks.blanks
        self.cards = [recorded(lambda pen, b=b: draw_blank(pen, b, length)) for b in blanks]
        self.in_steps = [
            recorded(lambda pen, b=b: draw_small_blank(pen, b, length)) for b in blanks
        ]
        joints = Parts(joints=frozenset(told.structure.joints))
        scene = Scene(told.structure, all_parts(told.structure), joints, Corner.SE, is_step=True)
        self.letters = recorded(lambda pen: draw_letters(pen, scene))
        stances = told.structure.stances.values()
        self.details = recorded(lambda pen: draw_details(pen, (0, 0), stances, Corner.SE))

    @property
    def measured(self) -> list[Marks]:
        return [self.plan, *self.cards, *self.in_steps]


def recorded(draw: Callable[[RecordingPen], object]) -> Marks:
    pen = RecordingPen()
    draw(pen)
    return pen.marks


@pytest.fixture(scope="module")
def drawings() -> Drawings:
    return Drawings()


def lines(marks: Iterable[PenMark], style: Style) -> Marks:
    return [one for one in marks if one.kind == "line" and one.style is style]


def figures(marks: Iterable[PenMark]) -> Marks:
    return [one for one in marks if one.style is Letter.FIGURE and one.words[:1].isdigit()]


def is_plain_narrow(style: Style) -> bool:
    return not style.look.dash and style.look.weight <= Style.CUT.look.weight / 2


def edges_are_wide(drawings: Drawings) -> bool:
    walls = lines(drawings.plan, Style.HEAVY)
    return bool(walls) and not Style.HEAVY.look.dash and is_plain_narrow(Style.DIMENSION)


def two_widths(_drawings: Drawings) -> bool:
    wide = (Style.CUT, Style.PIECE, Style.HEAVY, Style.NEW)
    return all(one.look.weight >= 2 * Style.DIMENSION.look.weight for one in wide)


def hidden_are_dashed(_drawings: Drawings) -> bool:
    dash = Style.HIDDEN.look.dash
    return len(dash) == 2 and Style.HIDDEN.look.weight <= Style.CUT.look.weight / 2


def strokes_are_oblique(drawings: Drawings) -> bool:
    strokes = [
        one.points
        for marks in (drawings.plan, *drawings.cards)
        for one in lines(marks, Style.THIN)
        if len(one.points) == 2 and STROKE[0] < dist(*one.points) < STROKE[1]
    ]
    turns = {round(degrees(atan2(b[1] - a[1], b[0] - a[0]))) % 90 for a, b in strokes}
    return bool(strokes) and turns == {45}


def read_from_below_or_right(drawings: Drawings) -> bool:
    return all(
        round(one.turn) in (0, -90)
        for marks in drawings.measured
        for one in marks
        if one.kind == "text"
    )


def one_height(drawings: Drawings) -> bool:
    sizes = {one.style for marks in drawings.measured for one in figures(marks)}
    return sizes == {Letter.FIGURE}


def said_once(drawings: Drawings) -> bool:
    """Upright figures are positions across, level ones down: each place once."""
    for marks in drawings.in_steps:
        for turn in (0, -90):
            said = [one.words for one in figures(marks) if round(one.turn) == turn]
            if len(said) != len(set(said)):
                return False
    return True


def counted_from_one_origin(drawings: Drawings) -> bool:
    return all(
        [one.words for one in figures(marks)].count(length(0)) == 2 for marks in drawings.in_steps
    )


def leaders_are_narrow(_drawings: Drawings) -> bool:
    return is_plain_narrow(Style.THIN)


def details_have_capitals(drawings: Drawings) -> bool:
    at_joints = {one.words for one in drawings.letters if one.kind == "text"}
    at_details = [one.words for one in drawings.details if one.kind == "text"]
    return all(one.isupper() for one in at_joints) and sorted(at_joints) == sorted(at_details)


RULES = (
    Rule("ISO 128-2, line 01.2", MEMORY,
         "visible edges are continuous and wide; line 01.1, dimensions, continuous and narrow",
         edges_are_wide),
    Rule("ISO 128-2, widths of lines", MEMORY,
         "wide lines are at least twice as wide as narrow ones", two_widths),
    Rule("ISO 128-2, line 02.1", MEMORY, "what is hidden is dashed and narrow", hidden_are_dashed),
    Rule("ISO 128-2, leader lines", MEMORY, "leaders are continuous and narrow",
         leaders_are_narrow),
    Rule("ISO 128-3, details", MEMORY,
         "a detail is told by a capital letter, beside it and where it is taken from",
         details_have_capitals),
    Rule("ISO 129-1:2018, 4", SECOND_HAND, "each dimension is given only once", said_once),
    Rule("ISO 129-1:2018, 5", SECOND_HAND,
         "figures are read from the bottom, upright ones from the right", read_from_below_or_right),
    Rule("ISO 129-1:2018, 5", SECOND_HAND,
         "figures of one drawing are of one height", one_height),
    Rule("ISO 129-1:2018, terminators", MEMORY,
         "an oblique stroke is drawn at 45 degrees", strokes_are_oblique),
    Rule("ISO 129-1:2018, running dimensions", MEMORY,
         "positions along a line are counted from one origin, which is marked with 0",
         counted_from_one_origin),
)  # fmt: skip


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.where}: {rule.says}")
def test_the_drawings_keep(rule: Rule, drawings: Drawings) -> None:
    assert rule.kept(drawings)


def test_each_rule_says_how_it_is_known() -> None:
    assert {rule.known for rule in RULES} == {SECOND_HAND, MEMORY}
    assert all(rule.where.startswith(("ISO 128-", "ISO 129-1")) for rule in RULES)


def test_a_dimension_said_twice_is_found(drawings: Drawings) -> None:
    twice = Drawings()
    twice.in_steps = [[*marks, *figures(marks)[:1]] for marks in twice.in_steps]

    assert said_once(drawings)
    assert not said_once(twice)
