"""All that making says to people can be said in another language, in whole sentences."""

from collections.abc import Iterable, Iterator

import pytest

from builds.making.altering.document import little_kept
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.blank import SheetSize
from builds.making.blanks import make_blanks
from builds.making.care import care_sheet, first_use_notes
from builds.making.cautions import general_cautions
from builds.making.inspection import inspection_list, words_now
from builds.making.part_names import part_name
from builds.making.reckoning import plan_of
from builds.making.repairing import Trouble, repair_steps
from builds.making.sources import care_figures, sheet_figures, tie_figures, time_figures
from builds.making.step import Step
from habitats.structure.design import PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from habitats.upkeep.kinds import FaultKind
from tests.support.designs import Divider, make_design, ramp_from
from tests.support.pseudo import spoken, unsaid

PLAIN = make_design(["####", "####"])
RING = make_design(["####", "#..#", "####"], lid=True)
RAMPED = make_design(
    ["####", "####"],
    upper=["...#", "...#"],
    ramps=(ramp_from(0, 3, Side.W, panels=3),),
    dividers=(Divider(0, 0, 0, Side.E),),
)
LARGE = make_design(["######"] * 4, upper=["....##"] * 4, ramps=(ramp_from(1, 4, Side.W),))
DESIGNS = (PLAIN, RING, RAMPED, LARGE)


@pytest.fixture(autouse=True)
def reader():
    with spoken():
        yield


def left(texts: Iterable[str]) -> list[str]:
    """What of these stands outside the brackets of the other language."""
    return [one for text in texts for one in unsaid(f"<p>{text}</p>", lambda: ["§"])]


def test_what_was_forgotten_is_seen():
    assert left(["Lay the liners."]) == ["Lay the liners."]


def said_in(steps: Iterable[Step]) -> Iterator[str]:
    for step in steps:
        yield from (
            step.title,
            *step.instructions,
            *step.cautions,
            *(one.what for one in step.tools),
        )
        yield from (one.name for one in (*step.adds, *step.removes))


def said_of(structure: Structure) -> Iterator[str]:
    for one in (*general_cautions(structure), *first_use_notes(structure), *care_sheet()):
        yield from (one.sentence, one.source)
    for point in inspection_list(structure):
        yield from (point.question, point.why, point.source)


@pytest.mark.parametrize("design", DESIGNS)
def test_a_design(design):
    plan = plan_of(design)

    parts = [text for one in plan.parts.parts for text in (one.name, one.note)]
    tools = [text for one in plan.parts.tools for text in (one.what, one.use)]
    assert left([*parts, *tools, *(one.what for one in plan.parts.ties)]) == []
    assert left(said_in(plan.steps)) == []
    assert left(said_of(plan.structure)) == []


@pytest.mark.parametrize("sheet", [SheetSize(700, 900), SheetSize(300, 300)])
def test_what_cannot_be_made_from_a_sheet(sheet):
    blanks = make_blanks(raise_structure(RAMPED), sheet)

    assert left([one.sentence for one in blanks.unmade]) == []
    assert left([one.name for one in blanks.blanks]) == []


@pytest.mark.parametrize("target", DESIGNS)
@pytest.mark.parametrize("standing", DESIGNS)
def test_an_alteration(standing, target):
    change = alter(raise_structure(standing), raise_structure(target))

    assert left(said_in(order_of_alteration(change).steps)) == []
    assert left([change.laying.words, little_kept(change)]) == []


def test_taking_down_and_what_comes_of_it():
    back = retire(raise_structure(RAMPED))

    assert left(said_in(back.steps)) == []
    assert left(map(part_name, back.linens)) == []


@pytest.mark.parametrize("kind", FaultKind)
def test_a_repair(kind):
    steps = repair_steps([Trouble("7", kind, "§", "§"), Trouble("8", kind)], points=9)

    assert left(said_in(steps)) == []


def test_why_one_thing_is_not_altered_into_another():
    standing = raise_structure(PLAIN)
    target = raise_structure(make_design(["####", "####"], panel=PanelSize(300, 8)))

    with pytest.raises(BadDesign) as refused:
        alter(standing, target)

    assert left([one.sentence for one in refused.value.faults]) == []


def test_a_point_that_was_kept_in_english():
    kept = [dict(point._asdict()) for point in inspection_list(raise_structure(RAMPED))]
    plain = [{name: str.__str__(text) for name, text in point.items()} for point in kept]

    assert plain == kept
    assert left([text for one in plain for text in (words_now(one)["question"], one["why"])])
    assert left([words_now(one)[name] for one in plain for name in ("question", "why")]) == []


def test_a_point_that_is_asked_no_more_stays_as_it_was():
    old = {"code": "paint", "question": "Is the paint dry?", "why": "It sticks.", "source": ""}

    assert words_now(old) == old


def test_the_page_of_sources():
    figures = (*sheet_figures(), *tie_figures(), *time_figures(), *care_figures())

    assert left([text for one in figures for text in (one.what, *one.values)]) == []
