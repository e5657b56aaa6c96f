"""Keys of steps: of the work alone, never of its words; other work, another key."""

import re
import sys
from collections import Counter
from functools import partial

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builds.making.advice import Advice
from builds.making.altering.counting import PartKind
from builds.making.altering.least import alter
from builds.making.altering.linens import LINER, TOWEL
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.altering.returning import AGAIN
from builds.making.altering.trays import Fate
from builds.making.assembly import order_of_work
from builds.making.blank import Flute
from builds.making.blanks import make_blanks
from builds.making.instructions import Words
from builds.making.parts import list_parts
from builds.making.repairing import Trouble, repair_steps
from builds.making.step import Step, Task
from builds.making.step_keys import coded, in_step_with, key_of
from builds.making.ties import Where
from builds.making.tools import KNIFE, Tool
from habitats import measures
from habitats.structure.design import Design, PanelSize, TrayRule
from habitats.structure.edit import paint
from habitats.structure.lattice import Cell, Face, PanelPlace, Side
from habitats.structure.structure import Role, raise_structure
from habitats.upkeep.kinds import FaultKind
from tests.support.designs import Divider, designs, make_design, ramp_from, replace, stands

NAMING = ("level_name", "the_level", "tray_name", "ramp_name", "part_name", "doorway_name")
CODES = {
    LINER,
    TOWEL,
    AGAIN,
    *(one.value for kind in (Task, Face, Side, Role, PartKind, Flute, FaultKind) for one in kind),
    *(one.name for kind in (Where, Fate) for one in kind),
}


def steps_of(design: Design, **options: object) -> tuple[Step, ...]:
    structure = raise_structure(design)
    blanks = make_blanks(structure)
    return order_of_work(structure, blanks, list_parts(structure, blanks), **options)


def altering(standing: Design, target: Design) -> tuple[Step, ...]:
    return order_of_alteration(alter(raise_structure(standing), raise_structure(target))).steps


def mending() -> tuple[Step, ...]:
    return repair_steps([Trouble(str(at), kind) for at, kind in enumerate(FaultKind)], 12)


def key(step: Step) -> str:
    return key_of(coded(step.facts))


def keys(steps: tuple[Step, ...]) -> list[str]:
    return [key(step) for step in steps]


def by_key(design: Design) -> dict[str, Step]:
    return {key(step): step for step in steps_of(design)}


def with_balcony(**changes: object) -> Design:
    ramp = ramp_from(0, 3, Side.W, panels=3)
    return make_design(upper=["...#", "...#"], ramps=(ramp,), **changes)


def tall(**changes: object) -> Design:
    """The same with two tiers round it, so that a lid leaves head room over the ramp."""
    design = with_balcony(**changes)
    return replace(design, levels=(replace(design.ground, wall_panels=2), *design.levels[1:]))


ALTERED = tall(lid=True)
EVERY_KIND = {
    "a build": lambda: steps_of(tall(dividers=(Divider(0, 1, 1, Side.E),), lid=True)),
    "an alteration": lambda: altering(make_design(("####", "####", "##..")), ALTERED),
    "an alteration to less": lambda: altering(ALTERED, make_design(("###", "###"))),
    "a repair": mending,
    "taking down": lambda: retire(raise_structure(ALTERED)).steps,
}


@pytest.fixture
def other_words(monkeypatch):
    """`other_words()`: from now on all that steps say, and all names in it, is said otherwise."""

    def change() -> None:
        for kind, fields in (
            (Words, ("title", "instructions")),
            (Advice, ("sentence",)),
            (Tool, ("what",)),
        ):
            for name in fields:
                was = kind.__dict__[name]
                monkeypatch.setattr(kind, name, property(partial(_reworded, was)))
        making = [one for name, one in sys.modules.items() if name.startswith("builds.making")]
        for module in making:
            for name in NAMING:
                if said := getattr(module, name, None):
                    monkeypatch.setattr(module, name, lambda *a, said=said: f"autre {said(*a)}")

    return change


def _reworded(was, row):
    said = was.__get__(row)
    return f"Autre: {said}" if isinstance(said, str) else tuple(f"Autre: {one}" for one in said)


@pytest.mark.parametrize("kind", ["a build", "an alteration", "an alteration to less"])
def test_no_sentence_of_a_step_is_in_its_key(kind, other_words) -> None:
    before = EVERY_KIND[kind]()
    other_words()
    after = EVERY_KIND[kind]()

    assert not {step.title for step in before} & {step.title for step in after}
    said = [
        {line for step in steps for line in (*step.instructions, *step.cautions)}
        for steps in (before, after)
    ]
    assert not said[0] & said[1]
    assert keys(before) == keys(after)


@pytest.mark.parametrize("kind", EVERY_KIND)
def test_facts_are_codes_numbers_and_places(kind) -> None:
    steps = EVERY_KIND[kind]()

    told = [one for step in steps for one in leaves(coded(step.facts))]
    assert all(one is None or isinstance(one, int | str) for one in told)
    assert {one for one in told if isinstance(one, str) and not one.isdigit()} <= CODES
    assert all(isinstance(step.facts[0], Task) for step in steps)


def leaves(fact):
    if isinstance(fact, dict):
        yield from fact["at"]
    elif isinstance(fact, list):
        for one in fact:
            yield from leaves(one)
    else:
        yield fact


def test_lengths_read_in_inches_are_the_same_work() -> None:
    inches = partial(measures.length, units="imperial")
    assert keys(steps_of(ALTERED)) == keys(steps_of(ALTERED, lengths=inches))


@given(designs())
def test_no_two_steps_of_a_build_have_one_key_and_planning_again_gives_the_same(design) -> None:
    found = keys(steps_of(design))

    assert len(set(found)) == len(found)
    assert keys(steps_of(replace(design, name="Another name"))) == found


@settings(max_examples=settings().max_examples // 3)  # 13; 133 by night
@given(designs().flatmap(lambda one: st.tuples(st.just(one), designs(like=one))))
def test_no_two_steps_of_an_alteration_have_one_key(both) -> None:
    found = keys(altering(*both))
    assert len(set(found)) == len(found)


def test_no_two_steps_of_a_repair_have_one_key() -> None:
    found = keys(mending())
    assert len(set(found)) == len(found)


# --- Other work, another key ---

CHANGES = (
    lambda one: replace(one, lid=not one.lid),
    lambda one: replace(one, dividers=one.dividers[1:]),
    lambda one: replace(one, ramps=one.ramps[1:]),
    lambda one: replace(one, panel=PanelSize(one.panel.size_mm + 1, one.panel.squares)),
    lambda one: replace(one, tray=TrayRule(120, one.tray.clearance_mm, one.tray.round_mm)),
    lambda one: replace(one, guards=()),
    lambda one: replace(one, dividers=tuple(replace(d, row=d.row + 1) for d in one.dividers)),
    lambda one: replace(
        one, ramps=tuple(replace(r, overlap_squares=r.overlap_squares + 1) for r in one.ramps)
    ),
    lambda one: replace(
        one, levels=(replace(one.ground, wall_panels=one.ground.wall_panels + 1), *one.levels[1:])
    ),
    lambda one: paint(one, 0, [Cell(-1, 0), Cell(0, 5)], floor=True).design,
    lambda one: paint(one, len(one.levels) - 1, [min(one.levels[-1].cells)], floor=False).design,
)


def work_of(step: Step) -> tuple[object, ...]:
    """What a step asks for, read off all but its facts; without names, which may be others."""
    said = re.sub(
        r"(ramp|level|Level) \d+|ramp|the ground|Ground", "#", " ".join(step.instructions)
    )
    said = re.sub(r"row \d+, col \d+", "", said)
    return (
        # The same panels in the same place are a higher tier of one level, or walls of the next.
        step.id.partition("-")[0] if step.places else "",
        frozenset(step.places),
        frozenset(step.joints),
        sorted(one.count for one in step.adds),
        sorted(one.count for one in step.removes),
        step.minutes,
        step.people,
        said,
    )


@given(designs(), st.sampled_from(CHANGES))
def test_steps_of_one_key_ask_for_the_same_work_whatever_the_design(design, change) -> None:
    changed = change(design)
    assume(changed != design and stands(changed))
    before, after = by_key(design), by_key(changed)

    for same in before.keys() & after.keys():
        assert work_of(before[same]) == work_of(after[same])


@given(designs(), designs())
def test_steps_of_one_key_ask_for_the_same_work_in_any_two_designs(one, other) -> None:
    before, after = by_key(one), by_key(other)
    for same in before.keys() & after.keys():
        assert work_of(before[same]) == work_of(after[same])


def test_a_divider_in_another_place_is_another_step_though_it_is_told_alike() -> None:
    here, there = (with_balcony(dividers=(Divider(0, row, 0, Side.E),)) for row in (0, 1))
    one, other = (
        next(step for step in steps_of(design) if step.facts[0] is Task.DIVIDER)
        for design in (here, there)
    )

    assert one.instructions == other.instructions
    assert key(one) != key(other)


def dividers_of(design: Design) -> dict[str, Step]:
    tasks = (Task.DIVIDER, Task.SUPPORT)
    return {at: step for at, step in by_key(design).items() if step.facts[0] in tasks}


def test_a_divider_that_meets_the_trays_wall_is_another_step_than_one_that_stands_clear() -> None:
    """In one place, with the same connectors and ties: the panel that it meets is a wall of the
    smaller floor, and another divider on the larger one."""
    cross = Divider(0, 1, 0, Side.S)
    meets = make_design(["####", "####"], dividers=(Divider(0, 1, 0, Side.E),))
    clear = make_design(["####"] * 4, dividers=(Divider(0, 1, 0, Side.E), cross))
    cuts, stands_clear = (
        next(
            step
            for step in dividers_of(design).values()
            if step.places == (PanelPlace(Face.NS, 1, 1, 0),)
        )
        for design in (meets, clear)
    )

    assert (KNIFE in cuts.tools, KNIFE in stands_clear.tools) == (True, False)
    assert cuts.facts[:-1] == stands_clear.facts[:-1]
    assert key(cuts) != key(stands_clear)


# --- The same work, the same key ---


def kept(before: Design, after: Design) -> Counter[str]:
    """Steps of the second that are the first's, by what is done in them."""
    known = [coded(step.facts) for step in steps_of(before)]
    moved = in_step_with(known, [coded(step.facts) for step in steps_of(after)])
    return Counter(one[0] for one in moved if key_of(one) in {key_of(was) for was in known})


def test_a_lid_leaves_all_that_was_there_as_it_was() -> None:
    whole = Counter(step.facts[0] for step in steps_of(tall()))
    assert whole - kept(tall(), ALTERED) == Counter([Task.SORT, Task.INSPECT])


def test_a_second_ramp_leaves_the_first_what_it_was_though_it_has_a_number_now() -> None:
    one = ramp_from(0, 2, Side.W, panels=3)
    upper = ["..##....", "........"]
    design = make_design(("########", "########"), upper=upper, ramps=(one,))
    both = replace(design, ramps=(one, ramp_from(0, 3, Side.E, panels=3)))

    found = kept(design, both)
    assert found[Task.BEND_RAMP] == found[Task.TIE_RAMP] == found[Task.CUT_DOORWAY] == 1


@pytest.mark.parametrize("cell", [Cell(2, -1), Cell(-1, 0), Cell(0, -1), Cell(3, 0)])
def test_floor_drawn_on_to_any_side_leaves_what_is_away_from_it(cell) -> None:
    """The lattice is trimmed, so floor drawn on to the north or west moves all places."""
    large = make_design(
        ["#######"] * 3,
        upper=["....###", ".......", "......."],
        ramps=(ramp_from(0, 4, Side.W, panels=3),),
    )
    found = kept(large, paint(large, 0, [cell], floor=True).design)

    assert found[Task.FLOOR] == found[Task.SET_RAMP] == found[Task.CUT_DOORWAY] == 1
    assert found[Task.WALL] >= 1


@given(designs(), st.integers(-3, 3), st.integers(-3, 3))
def test_a_drawing_moved_as_a_whole_is_the_same_work(design, rows, cols) -> None:
    def moved(one: object) -> object:
        return replace(one, row=one.row + rows, col=one.col + cols)

    elsewhere = replace(
        design,
        rows=12,
        cols=12,
        levels=tuple(
            replace(level, cells=frozenset(Cell(r + rows, c + cols) for r, c in level.cells))
            for level in design.levels
        ),
        fittings=tuple(map(moved, design.fittings)),
        ramps=tuple(map(moved, design.ramps)),
    )
    assert sum(kept(design, elsewhere).values()) == len(steps_of(design))
