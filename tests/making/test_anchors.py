"""Wall anchors in a build: fixed once all stands, freed before anything comes off."""

from builds.making.altering.check import check_alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.check_order import check_order
from builds.making.inspection import inspection_list
from builds.making.reckoning import plan_of
from builds.making.repairing import Trouble, repair_parts, repair_steps
from builds.making.step_keys import coded, key_of
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from habitats.upkeep.kinds import FaultKind, kinds_for
from tests.support.designs import Anchor, Door, make_design, replace

TOWER = make_design(["####", "####"], wall_panels=2, upper=["...#", "...#"])
HELD = replace(
    TOWER,
    anchors=(Anchor(0, 0, 0, Side.N), Anchor(2, 0, 3, Side.N)),
    room_walls=frozenset({Side.N}),
)


def counted(some):
    return {one.what: one.count for one in some}


def test_each_is_a_part_with_a_tool_and_nothing_else_changes() -> None:
    bare, planned = plan_of(TOWER), plan_of(HELD)

    assert planned.parts.count_of("wall-anchor") == 2
    assert planned.parts.panels == bare.parts.panels
    assert planned.parts.ties == bare.parts.ties
    assert {one.code for one in planned.parts.tools} - {one.code for one in bare.parts.tools} == {
        "drill"
    }


def test_they_are_fixed_by_two_people_right_before_the_inspection() -> None:
    planned = plan_of(HELD)
    step = planned.steps[-2]

    assert step.id == "wall-anchors"
    assert step.people == 2
    assert "side N of row 1, column 1; side N of row 1, column 4" in step.instructions[1]
    assert any("ask the landlord and a tradesperson" in one for one in step.cautions)
    assert check_order(planned.structure, planned.blanks, planned.parts, planned.steps) == []


def test_steps_without_anchors_keep_their_keys() -> None:
    """As they were kept before there were anchors."""
    bare, planned = plan_of(TOWER), plan_of(HELD)
    before = {key_of(coded(one.facts)) for one in bare.steps}
    now = {key_of(coded(one.facts)) for one in planned.steps}

    assert len(before - now) == 1  # the inspection looks at more
    assert len(now - before) == 2


def test_the_checker_sees_anchors_that_come_too_early_or_not_at_all() -> None:
    planned = plan_of(HELD)
    *build, anchored, inspect = planned.steps
    first = [replace(anchored, needs=()), *build, inspect]
    never = [*build, inspect]

    said = check_order(planned.structure, planned.blanks, planned.parts, first)
    assert any("what does not stand yet" in one for one in said)
    said = check_order(planned.structure, planned.blanks, planned.parts, never)
    assert any("Anchor" in one and "placed 0 times" in one for one in said)


def test_they_are_asked_for_at_the_inspection_and_at_safety_checks() -> None:
    bare, stands = raise_structure(TOWER), raise_structure(HELD)

    asked = [{point.code for point in inspection_list(one)} for one in (bare, stands)]
    assert asked[0] - asked[1] == {"anchor"}
    assert asked[1] - asked[0] == {"anchors"}
    assert FaultKind.ANCHOR in kinds_for(stands)
    assert FaultKind.ANCHOR not in kinds_for(bare)


def test_a_loose_one_is_fixed_anew_by_two_people() -> None:
    troubles = [Trouble("1", FaultKind.ANCHOR)]
    _fetch, away, mend, _check = repair_steps(troubles, 20)

    assert (mend.people, counted(mend.adds)) == (2, {"wall-anchor": 1})
    assert "Take the animals out" in away.title
    assert [(one.what, one.count) for one in repair_parts(troubles, 355)] == [("wall-anchor", 1)]


def test_they_are_freed_before_anything_comes_off_and_go_back_into_the_store() -> None:
    retirement = retire(raise_structure(HELD))
    out, free, *rest = retirement.steps

    assert (out.id, free.id, free.people) == ("animals-out", "free-wall-anchors", 2)
    assert counted(free.removes) == {"wall-anchor": 2}
    assert all(free.id in one.needs or one.needs for one in rest)
    assert counted(retirement.parts)["wall-anchor"] == 2


# --- Altering ---


def altered(standing, target):
    change = alter(raise_structure(standing), raise_structure(target))
    steps = order_of_alteration(change).steps

    assert check_alteration(change.stands, change.target, steps) == []
    return change, {step.id: step for step in steps}


def test_anchors_alone_are_an_alteration() -> None:
    change, steps = altered(TOWER, HELD)

    assert change.new[PartKind.ANCHOR] == 2
    assert not any(step.places or step.takes.places for step in steps.values())
    assert counted(steps["wall-anchors"].adds) == {"wall-anchor": 2}
    change, steps = altered(HELD, TOWER)
    assert change.left[PartKind.ANCHOR] == 2
    assert counted(steps["free-wall-anchors"].removes) == {"wall-anchor": 2}


def test_one_whose_panel_goes_is_freed_and_the_other_stays() -> None:
    flat = replace(
        HELD, levels=HELD.levels[:1], anchors=(Anchor(0, 0, 0, Side.N), Anchor(0, 0, 2, Side.N))
    )
    change, steps = altered(HELD, flat)

    assert (change.stays[PartKind.ANCHOR], change.moved[PartKind.ANCHOR]) == (1, 1)
    assert change.new[PartKind.ANCHOR] == 0
    assert len(steps["free-wall-anchors"].takes.anchors) == 1
    assert len(steps["wall-anchors"].anchors) == 1
    assert steps["free-wall-anchors"].needs == ("animals-out",)


def test_a_wall_that_becomes_a_door_beside_anchors_says_where() -> None:
    with_door = replace(HELD, doors=(Door(0, 0, 3, Side.E),))
    _change, steps = altered(HELD, with_door)

    assert "side E of row 1, column 4" in steps["rehang-doors"].instructions[0]
    assert "free-wall-anchors" not in steps
