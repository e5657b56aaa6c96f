"""Front doors in a build: hung after the walls, tied at the hinge alone, clipped, taken off."""

from builds.making.altering.check import check_alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.check_order import check_order
from builds.making.inspection import inspection_list
from builds.making.reckoning import plan_of
from builds.making.ties import Where, hung_panels
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from habitats.upkeep.kinds import FaultKind, kinds_for
from tests.support.designs import Door, make_design, replace

LOFT = make_design(["####", "####"], upper=["...#", "...#"])
WITH_DOOR = replace(LOFT, doors=(Door(0, 0, 3, Side.E),))


def place_of_door(structure):
    (door,) = structure.with_role("door")
    return door.place


def test_a_door_is_one_of_the_panels_and_takes_two_clips() -> None:
    bare, planned = plan_of(LOFT), plan_of(WITH_DOOR)

    assert planned.parts.panels.total == bare.parts.panels.total
    assert planned.parts.count_of("lid-clip") == bare.parts.count_of("lid-clip") + 2
    assert next(part.note for part in planned.parts.parts).endswith("1 as front doors")


def test_it_hangs_on_an_upright_side_and_nothing_ties_it_shut() -> None:
    planned = plan_of(WITH_DOOR)
    place = place_of_door(planned.structure)

    (hung,) = hung_panels(planned.structure)
    assert hung.hinge[0].z != hung.hinge[1].z
    assert hung.clips[0].z != hung.clips[1].z
    assert not set(hung.hinge) & set(hung.clips)
    round_it = [
        spot for group in planned.parts.ties for spot in group.spots if place in spot.places
    ]
    assert [(spot.where, spot.joints) for spot in round_it] == [(Where.DOOR_HINGE, hung.hinge)]


def test_it_is_hung_once_its_walls_stand_and_its_step_says_how() -> None:
    planned = plan_of(WITH_DOOR)
    ids = [step.id for step in planned.steps]
    step = planned.steps[ids.index("door-ground-1")]

    walls = [number for number, one in enumerate(ids) if one.startswith("wall-ground")]
    assert max(walls) < ids.index(step.id)
    assert step.title == "Hang the front door of the ground"
    assert any("press no corner in" in line for line in step.instructions)
    assert any("swing it outward" in line for line in step.instructions)
    assert check_order(planned.structure, planned.blanks, planned.parts, planned.steps) == []


def test_it_is_asked_for_at_the_inspection_and_at_safety_checks() -> None:
    bare, stands = raise_structure(LOFT), raise_structure(WITH_DOOR)

    assert "doors" in {point.code for point in inspection_list(stands)}
    assert "doors" not in {point.code for point in inspection_list(bare)}
    assert FaultKind.DOOR in kinds_for(stands)
    assert FaultKind.DOOR not in kinds_for(bare)


def test_it_is_taken_off_with_its_clips() -> None:
    steps = {step.id: step for step in retire(raise_structure(WITH_DOOR)).steps}

    out = steps["take-door-ground-1"]
    assert {one.what: one.count for one in out.removes}["lid-clip"] == 2


def altered(standing, target):
    stands, wanted = raise_structure(standing), raise_structure(target)
    change = alter(stands, wanted)
    return change, order_of_alteration(change).steps


def test_a_wall_becomes_a_door_where_it_stands_and_a_wall_again() -> None:
    for standing, target, put, taken in ((LOFT, WITH_DOOR, 2, 0), (WITH_DOOR, LOFT, 0, 2)):
        change, steps = altered(standing, target)

        assert check_alteration(change.stands, change.target, steps) == []
        assert not any(step.places or step.takes.places for step in steps)
        adds = sum(one.count for step in steps for one in step.adds if one.what == "lid-clip")
        removes = sum(one.count for step in steps for one in step.removes if one.what == "lid-clip")
        assert (adds, removes) == (put, taken)
        assert change.goes_on[PartKind.CLIP] == put
