"""The order's checker refuses every kind of broken order."""

from collections.abc import Callable, Sequence

import pytest

from builds.making.assembly import order_of_work
from builds.making.blanks import make_blanks
from builds.making.check_order import check_order
from builds.making.parts import list_parts
from builds.making.step import Added, Step
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.designs import Divider, make_design, ramp_from, replace

RAMP = "level-1-r0c3W"


@pytest.fixture(scope="module")
def structure() -> Structure:
    return raise_structure(
        make_design(
            upper=["...#", "...#"],
            ramps=(ramp_from(0, 3, Side.W, panels=3),),
            dividers=(Divider(0, 1, 0, Side.E),),
        )
    )


@pytest.fixture(scope="module")
def refusals(structure: Structure) -> Callable[[Sequence[Step]], str]:
    blanks = make_blanks(structure)
    parts = list_parts(structure, blanks)
    return lambda steps: "\n".join(check_order(structure, blanks, parts, steps))


@pytest.fixture
def steps(structure: Structure) -> list[Step]:
    blanks = make_blanks(structure)
    return list(order_of_work(structure, blanks, list_parts(structure, blanks)))


def step(steps: Sequence[Step], step_id: str) -> Step:
    return next(one for one in steps if one.id == step_id)


def moved(steps: list[Step], step_id: str, *, before: str) -> list[Step]:
    one = step(steps, step_id)
    rest = [other for other in steps if other is not one]
    where = rest.index(step(rest, before))
    return [*rest[:where], one, *rest[where:]]


def changed(steps: list[Step], step_id: str, **changes: object) -> list[Step]:
    return [replace(one, **changes) if one.id == step_id else one for one in steps]


def test_a_good_order_is_not_refused(steps, refusals) -> None:
    assert refusals(steps) == ""


def test_a_floor_before_its_walls_is_refused(steps, refusals) -> None:
    broken = moved(steps, "floor-level-1-1", before="wall-ground-1")

    assert "In floor-level-1-1 panel" in refusals(broken)
    assert "has nothing to stand on" in refusals(broken)


def test_upper_walls_before_their_floor_are_refused(steps, refusals) -> None:
    broken = moved(steps, "wall-level-1-1", before="floor-level-1-1")

    assert "In wall-level-1-1 panel" in refusals(broken)


def test_a_panel_that_hangs_by_its_side_is_refused(steps, refusals) -> None:
    # Only the west walls of the upper level stand on no wall: without a floor they hang beside
    # the north wall's panel.
    floor = step(steps, "floor-level-1-1")
    broken = changed(
        [one for one in steps if one is not floor],
        "wall-level-1-1",
        joints=(*floor.joints, *step(steps, "wall-level-1-1").joints),
    )

    assert "has nothing to stand on" in refusals(broken)


def test_a_late_connector_is_refused(steps, refusals) -> None:
    first = step(steps, "wall-ground-1")
    late, *early = first.joints
    broken = changed(steps, "wall-ground-1", joints=tuple(early))
    broken = changed(broken, "inspect", joints=(late,))

    assert f"no connector at {late} yet" in refusals(broken)


def test_a_missing_connector_is_refused(steps, refusals) -> None:
    first = step(steps, "wall-ground-1")

    broken = changed(steps, "wall-ground-1", joints=first.joints[1:])

    assert f"Connector {first.joints[0]} is placed 0 times." in refusals(broken)


def test_a_ramp_before_the_tray_it_stands_in_is_refused(steps, refusals) -> None:
    broken = moved(steps, "lay-tray-level-1", before="guard-height-1-1")
    broken = moved(broken, f"ramp-{RAMP}", before="lay-tray-level-1")

    assert f"ramp-{RAMP} sets a ramp before the tray of level 1 lies." in refusals(broken)


def test_a_ramp_before_its_doorway_panel_is_refused(steps, refusals) -> None:
    broken = moved(steps, f"ramp-{RAMP}", before="wall-level-1-1")

    assert f"wall-level-1-1 has to come before ramp-{RAMP}." in refusals(broken)


def test_an_upper_floor_before_the_tray_below_is_refused(steps, refusals) -> None:
    broken = moved(steps, "floor-level-1-1", before="lay-tray-ground")

    assert "over level 0, whose tray is not laid yet" in refusals(broken)


def test_a_divider_before_its_tray_is_refused(steps, refusals) -> None:
    broken = moved(steps, "divider-ground-1", before="lay-tray-ground")

    assert "a divider stands where the tray of level 0 is missing" in refusals(broken)


@pytest.mark.parametrize(
    ("late", "early"),
    [
        (f"file-doorway-{RAMP}", "wall-level-1-1"),
        (f"cut-doorway-{RAMP}", f"file-doorway-{RAMP}"),
        (f"bend-ramp-{RAMP}", f"tie-ramp-{RAMP}"),
        (f"tie-ramp-{RAMP}", f"ramp-{RAMP}"),
        (f"fold-strip-{RAMP}", f"ramp-{RAMP}"),
        ("cut-blank-ramp-1-strip", f"fold-strip-{RAMP}"),
        ("cut-blank-ground-tray", "fold-tray-ground"),
        ("fold-tray-ground", "lay-tray-ground"),
    ],
)
def test_a_part_used_before_it_is_ready_is_refused(steps, refusals, late, early) -> None:
    broken = moved(steps, early, before=late)

    assert f"{late} has to come before {early}." in refusals(broken)


@pytest.mark.parametrize("what", ["cut-doorway-", "file-doorway-", "bend-ramp-", "fold-strip-"])
def test_work_at_the_bench_left_out_is_refused(steps, refusals, what) -> None:
    broken = [one for one in steps if not one.id.startswith(what)]

    assert f"There is no step {what}{RAMP}." in refusals(broken)


def test_an_inspection_that_is_not_last_is_refused(steps, refusals) -> None:
    broken = moved(steps, "inspect", before="lay-liners")

    assert "The inspection has to be the last step, once." in refusals(broken)


def test_an_inspection_left_out_is_refused(steps, refusals) -> None:
    assert "The inspection has to be the last step, once." in refusals(steps[:-1])


def test_an_inspection_that_waits_for_nothing_is_refused(steps, refusals) -> None:
    broken = changed(steps, "inspect", needs=())

    assert "The inspection does not wait for lay-liners." in refusals(broken)


def test_a_panel_placed_twice_is_refused(steps, refusals) -> None:
    twice = step(steps, "wall-ground-1").places[0]
    last = step(steps, "guard-height-1-1")

    broken = changed(steps, "guard-height-1-1", places=(*last.places, twice))

    assert f"Panel {twice} is placed 2 times." in refusals(broken)


def test_a_panel_left_out_is_refused(steps, refusals) -> None:
    first = step(steps, "wall-ground-1")

    broken = changed(steps, "wall-ground-1", places=first.places[:-1])

    assert f"Panel {first.places[-1]} is placed 0 times." in refusals(broken)


def test_a_panel_of_another_structure_is_refused(steps, refusals) -> None:
    first = step(steps, "wall-ground-1")
    strange = first.places[0]._replace(row=9)

    broken = changed(steps, "wall-ground-1", places=(*first.places, strange))

    assert f"Panel {strange} is placed but is no part of the structure." in refusals(broken)


def test_a_tray_left_out_is_refused(steps, refusals) -> None:
    assert "Tray 1 is placed 0 times." in refusals(changed(steps, "lay-tray-level-1", trays=()))


def test_a_ramp_left_out_is_refused(steps, refusals) -> None:
    assert "Ramp 0 is placed 0 times." in refusals(changed(steps, f"ramp-{RAMP}", ramps=()))


def test_a_need_of_an_unknown_step_is_refused(steps, refusals) -> None:
    broken = changed(steps, "wall-ground-1", needs=("paint",))

    assert "wall-ground-1 needs paint, and there is no such step." in refusals(broken)


def test_a_need_that_comes_later_is_refused(steps, refusals) -> None:
    broken = changed(steps, "wall-ground-1", needs=("inspect",))

    assert "wall-ground-1 needs inspect, which is not done before it." in refusals(broken)


def test_steps_that_need_each_other_are_refused(steps, refusals) -> None:
    broken = changed(steps, "wall-ground-1", needs=("wall-ground-2",))

    assert "need each other in a circle: " in refusals(broken)
    assert "wall-ground-1" in refusals(broken)


def test_two_steps_of_one_name_are_refused(steps, refusals) -> None:
    assert "2 steps are called sort." in refusals([steps[0], *steps])


def test_parts_that_do_not_add_up_to_the_list_are_refused(steps, refusals) -> None:
    first = step(steps, "wall-ground-1")

    broken = changed(steps, "wall-ground-1", adds=(*first.adds, Added("cable-tie", 1)))

    assert "× cable tie; the steps use" in refusals(broken)


def test_a_step_that_counts_other_panels_than_it_places_is_refused(steps, refusals) -> None:
    broken = changed(steps, "wall-ground-1", adds=())

    assert "wall-ground-1 adds 0 panels and 0 connectors, but places" in refusals(broken)
