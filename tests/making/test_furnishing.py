"""Furniture in a build: brought and set up once the cloth lies, counted when altered or retired."""

from builds.making.altering.check import check_alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.check_order import check_order
from builds.making.inspection import inspection_list
from builds.making.parts import StoredAs
from builds.making.reckoning import plan_of
from builds.making.step_keys import coded, key_of
from habitats.structure.design import Furniture
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, replace

BARE = make_design(["####", "####"], lid=True)
FURNISHED = replace(BARE, furniture=Furniture(3))
ALL = {"hide": 3, "water-place": 2, "hay-place": 2}


def counted(some):
    return {one.what: one.count for one in some}


def test_it_is_on_the_part_list_under_its_own_heading() -> None:
    parts = plan_of(FURNISHED).parts

    assert counted(parts.of_kind(StoredAs.FURNITURE)) == ALL
    assert not plan_of(BARE).parts.of_kind(StoredAs.FURNITURE)


def test_it_is_set_up_after_the_liners_and_before_the_lid() -> None:
    planned = plan_of(FURNISHED)
    ids = [step.id for step in planned.steps]
    step = planned.steps[ids.index("furnish")]

    assert counted(step.adds) == ALL
    assert ids.index("lay-liners") < ids.index("furnish") < ids.index("lid-height-1-1")
    assert "3 hides, 2 water bottles or bowls and 2 hay racks" in step.instructions[0]
    lid = planned.steps[ids.index("lid-height-1-1")]
    assert "furnish" in lid.needs
    assert check_order(planned.structure, planned.blanks, planned.parts, planned.steps) == []


def test_steps_without_furniture_keep_their_keys() -> None:
    before = {key_of(coded(one.facts)) for one in plan_of(BARE).steps}
    now = {key_of(coded(one.facts)) for one in plan_of(FURNISHED).steps}

    assert len(before - now) == 1  # the inspection looks at more
    assert len(now - before) == 2


def test_the_inspection_asks_for_it_where_it_is_planned() -> None:
    asked = [
        {point.code for point in inspection_list(raise_structure(one))} for one in (BARE, FURNISHED)
    ]

    assert asked[1] - asked[0] == {"furniture"}


def test_it_comes_out_first_when_the_enclosure_is_retired() -> None:
    retirement = retire(raise_structure(FURNISHED))

    assert retirement.steps[1].id == "clear-furniture"
    assert counted(retirement.steps[1].removes) == ALL
    assert ALL.items() <= counted(retirement.parts).items()


def altered(standing, target):
    change = alter(raise_structure(standing), raise_structure(target))
    steps = order_of_alteration(change).steps

    assert check_alteration(change.stands, change.target, steps) == []
    return change, {step.id: step for step in steps}


def test_an_alteration_brings_what_is_missing_and_takes_what_is_left() -> None:
    for_five = replace(BARE, furniture=Furniture(5))
    change, steps = altered(FURNISHED, for_five)

    assert (change.stays[PartKind.HIDE], change.new[PartKind.HIDE]) == (3, 2)
    assert counted(steps["furnish"].adds) == {"hide": 2, "water-place": 1, "hay-place": 1}
    change, steps = altered(for_five, FURNISHED)
    assert counted(steps["clear-furniture"].removes) == {
        "hide": 2,
        "water-place": 1,
        "hay-place": 1,
    }
    assert change.new[PartKind.HIDE] == 0


def test_animals_stay_where_furniture_alone_changes() -> None:
    change = alter(
        raise_structure(FURNISHED), raise_structure(replace(BARE, furniture=Furniture(5)))
    )
    order = order_of_alteration(change)

    assert [step.id for step in order.steps] == ["sort", "furnish", "inspect"]
    assert order.beside
    assert all("animals go" not in caution for caution in order.steps[-1].cautions)
    assert "take the animals out, mend it" in " ".join(order.steps[-1].instructions)


def test_they_go_out_where_a_wall_changes_too() -> None:
    wider = replace(BARE, furniture=Furniture(5), lid=not BARE.lid)
    order = order_of_alteration(alter(raise_structure(FURNISHED), raise_structure(wider)))

    assert not order.beside
    assert "animals-out" in [step.id for step in order.steps]
