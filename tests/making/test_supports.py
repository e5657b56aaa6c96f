"""Supports in a build: parts, step, ties, inspection, taking down, and an alteration to them."""

from builds.making.altering.check import check_alteration
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.check_order import check_order
from builds.making.inspection import inspection_list
from builds.making.reckoning import plan_of
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from habitats.upkeep.kinds import FaultKind, kinds_for
from tests.support.designs import Support, make_design, replace

BAY = make_design(["####"] * 3, upper=["..##"] * 3)


def test_a_support_is_a_plain_panel_of_the_part_list() -> None:
    bare, planned = plan_of(replace(BAY, supports=())), plan_of(BAY)

    assert planned.parts.panels.total == bare.parts.panels.total + 1
    assert next(part.note for part in planned.parts.parts).endswith("1 as supports")


def test_it_stands_in_its_tray_before_the_floor_lies_on_it() -> None:
    planned = plan_of(BAY)
    ids = [step.id for step in planned.steps]

    stands = ids.index("support-ground-1")
    assert ids.index("lay-tray-ground") < stands < ids.index("floor-level-1-1")
    step = planned.steps[stands]
    assert step.title == "Stand the support on the ground"
    assert step.people == 2
    assert any("until the floor lies on it" in caution for caution in step.cautions)
    assert check_order(planned.structure, planned.blanks, planned.parts, planned.steps) == []


def test_the_checker_sees_a_support_whose_tray_is_missing() -> None:
    planned = plan_of(BAY)
    support = next(step for step in planned.steps if step.id == "support-ground-1")
    early = [support, *(step for step in planned.steps if step is not support)]

    found = check_order(planned.structure, planned.blanks, planned.parts, early)
    assert any("a support stands where the tray of level 0 is missing" in one for one in found)


def test_the_floor_is_tied_to_its_edge() -> None:
    planned = plan_of(BAY)
    (place,) = (one.place for one in planned.structure.with_role("support"))

    spots = [spot for group in planned.parts.ties for spot in group.spots if place in spot.places]
    assert any(spot.joints == (place.corners[3], place.corners[2]) for spot in spots)


def test_it_is_asked_for_at_the_inspection_and_at_safety_checks() -> None:
    bare, stands = raise_structure(replace(BAY, supports=())), raise_structure(BAY)

    assert "supports" in {point.code for point in inspection_list(stands)}
    assert "supports" not in {point.code for point in inspection_list(bare)}
    assert FaultKind.SUPPORT in kinds_for(stands)
    assert FaultKind.SUPPORT not in kinds_for(bare)


def test_it_is_taken_out_once_its_floor_is_up() -> None:
    ids = [step.id for step in retire(raise_structure(BAY)).steps]

    assert ids.index("take-floor-level-1-1") < ids.index("take-support-ground-1")


def test_one_is_put_under_a_floor_that_stands() -> None:
    stands, target = raise_structure(replace(BAY, supports=())), raise_structure(BAY)

    steps = order_of_alteration(alter(stands, target)).steps

    assert check_alteration(stands, target, steps) == []
    assert any(step.id.startswith("support-") for step in steps)


def test_the_tray_is_cut_only_where_an_end_meets_its_wall() -> None:
    def cut(row: int) -> bool:
        design = replace(BAY, supports=(Support(0, row, 2, Side.E),))
        step = next(one for one in plan_of(design).steps if one.id == "support-ground-1")
        return any("cut that wall" in line for line in step.instructions)

    assert cut(0)
    assert not cut(1)
