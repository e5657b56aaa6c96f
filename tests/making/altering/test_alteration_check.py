"""The checker of alterations refuses every kind of broken order."""

import pytest

from builds.making.altering.check import check_alteration
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.step import Added
from habitats.structure.lattice import Joint, Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, make_design, ramp_from, replace


@pytest.fixture(scope="module")
def change():
    """Two lofts change ends and the ground grows: all is taken off and put on again."""
    standing = make_design(
        ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
    )
    target = make_design(
        ["#####", "#####"], upper=["#....", "#...."], ramps=(ramp_from(1, 0, Side.E, panels=3),)
    )
    return alter(raise_structure(standing), raise_structure(target))


@pytest.fixture
def steps(change):
    return list(order_of_alteration(change).steps)


@pytest.fixture
def refusals(change):
    return lambda steps: "\n".join(check_alteration(change.stands, change.target, steps))


def step(steps, start):
    return next(one for one in steps if one.id.startswith(start))


def moved(steps, start, *, before):
    one = step(steps, start)
    rest = [other for other in steps if other is not one]
    where = rest.index(step(rest, before))
    return [*rest[:where], one, *rest[where:]]


def changed(steps, start, **changes):
    one = step(steps, start)
    return [replace(other, **changes) if other is one else other for other in steps]


def without(steps, start):
    one = step(steps, start)
    return [other for other in steps if other is not one]


def test_a_good_order_is_not_refused(steps, refusals):
    assert refusals(steps) == ""


def test_a_floor_taken_before_its_walls_is_refused(steps, refusals):
    broken = moved(steps, "take-floor-level-1", before="take-wall-level-1")

    assert "has nothing that holds it" in refusals(broken)


def test_walls_taken_from_under_a_floor_are_refused(steps, refusals, change):
    ground = frozenset(one for one in change.stands.places if one.is_upright and one.z == 0)
    first = step(steps, "take-ramp")

    broken = changed(steps, "take-ramp", takes=replace(first.takes, places=ground))

    assert "has nothing that holds it" in refusals(broken)


def test_a_tray_lifted_out_under_a_floor_is_refused(steps, refusals):
    broken = moved(steps, "take-tray-ground", before="take-floor-level-1")

    assert "moves the tray of level 0 under panel" in refusals(broken)


def test_a_tray_lifted_out_with_the_ramp_on_it_is_refused(steps, refusals):
    broken = moved(steps, "take-tray-level-1", before="take-ramp")

    assert "moves the tray of level 1 with ramp 0 on it" in refusals(broken)


def test_a_doorway_panel_taken_while_the_ramp_hangs_is_refused(steps, refusals):
    broken = moved(steps, "take-wall-level-1", before="take-ramp")

    assert "ramp 0 hangs from no doorway panel" in refusals(broken)


def test_a_floor_taken_while_its_tray_lies_is_refused(steps, refusals):
    broken = moved(steps, "take-floor-level-1", before="take-tray-level-1")

    assert "the tray of level 1 lies over nothing" in refusals(broken)


def test_a_floor_put_on_before_the_tray_below_is_refused(steps, refusals):
    broken = moved(steps, "floor-level-1", before="lay-tray-ground")

    assert "moves the tray of level 0 under panel" in refusals(broken)


def test_an_upper_wall_before_its_floor_is_refused(steps, refusals):
    broken = moved(steps, "wall-level-1", before="floor-level-1")

    assert "has nothing that holds it" in refusals(broken)


def test_a_ramp_before_its_tray_is_refused(steps, refusals):
    broken = moved(steps, "ramp-level-1", before="lay-tray-level-1")

    assert "stands where the tray of level 1 is missing" in refusals(broken)


@pytest.fixture(scope="module")
def turning():
    """An upper level on what stands: three connectors turn (worked value, common practice)."""
    plain, loft = make_design(), make_design(upper=["...#", "...#"])
    return alter(raise_structure(plain), raise_structure(loft))


def test_a_connector_that_is_not_turned_is_refused(turning):
    steps = changed(order_of_alteration(turning).steps, "turn-connectors", turns=())

    faults = "\n".join(check_alteration(turning.stands, turning.target, steps))

    assert "on the smooth side" in faults
    assert "does not sit as it should" in faults


def test_a_connector_turned_that_sat_otherwise_is_refused(turning):
    wrong = tuple(turn._replace(before=turn.after) for turn in turning.turns)
    steps = changed(order_of_alteration(turning).steps, "turn-connectors", turns=wrong)

    faults = "\n".join(check_alteration(turning.stands, turning.target, steps))

    assert faults.count("which does not sit so") == 3


def test_a_connector_taken_from_between_panels_is_refused(steps, refusals, change):
    first = step(steps, "take-wall-level-1")
    held = min(change.staying.joints)
    takes = replace(first.takes, joints=first.takes.joints | {held})

    broken = changed(steps, "take-wall-level-1", takes=takes)

    assert f"panels meet at {held} without a connector" in refusals(broken)


def test_a_connector_left_hanging_is_refused(steps, refusals):
    first = step(steps, "take-wall-level-1")
    one = min(first.takes.joints)

    broken = changed(
        steps, "take-wall-level-1", takes=replace(first.takes, joints=first.takes.joints - {one})
    )

    assert f"the connector at {one} holds nothing" in refusals(broken)


def test_a_panel_left_standing_is_refused(steps, refusals):
    first = step(steps, "take-wall-ground")
    one = min(first.takes.places)

    broken = changed(
        steps, "take-wall-ground", takes=replace(first.takes, places=first.takes.places - {one})
    )

    assert f"In the end panel {one} is not as the target has it" in refusals(broken)


def test_a_panel_taken_that_does_not_stand_is_refused(steps, refusals):
    twice = step(steps, "take-wall-level-1")

    broken = changed(steps, "take-floor-level-1", takes=twice.takes)

    assert "which does not stand" in refusals(broken)


def test_a_panel_put_where_one_stands_is_refused(steps, refusals, change):
    place = min(change.staying.places)
    first = step(steps, "wall-ground")

    broken = changed(steps, "wall-ground", places=(*first.places, place))

    assert f"puts panel {place} where one stands" in refusals(broken)


def test_a_connector_put_where_one_is_is_refused(steps, refusals, change):
    joint = min(change.staying.joints)
    first = step(steps, "wall-ground")

    broken = changed(steps, "wall-ground", joints=(*first.joints, joint))

    assert f"puts a connector at {joint}, where there is one" in refusals(broken)


def test_a_panel_left_out_is_refused(steps, refusals):
    first = step(steps, "wall-ground")

    broken = changed(steps, "wall-ground", places=first.places[:-1])

    assert f"In the end panel {first.places[-1]} is not as the target has it" in refusals(broken)


@pytest.mark.parametrize("start", ["lay-tray-level-1", "ramp-level-1", "take-tray-ground"])
def test_a_tray_or_ramp_left_out_is_refused(steps, refusals, start):
    assert "In the end" in refusals(without(steps, start))


def test_a_ramp_left_hanging_is_refused(steps, refusals):
    assert "In the end the ramps are not the target's" in refusals(without(steps, "take-ramp"))


def test_work_while_the_animals_are_in_is_refused(steps, refusals):
    first = next(one for one in steps if "animals-out" in one.needs)

    broken = changed(steps, first.id, needs=())

    assert f"{first.id} does not wait until the animals are out" in refusals(broken)


def test_animals_let_back_before_the_inspection_are_refused(steps, refusals):
    broken = moved(steps, "animals-back", before="inspect")

    assert "the inspection and then the animals' return" in refusals(broken)


def test_an_inspection_that_waits_for_nothing_is_refused(steps, refusals):
    broken = changed(steps, "inspect", needs=("animals-out",))

    assert "The inspection does not wait for" in refusals(broken)


def test_a_need_of_an_unknown_step_is_refused(steps, refusals):
    broken = changed(steps, "wall-ground", needs=("paint",))

    assert "needs paint, and there is no such step" in refusals(broken)


def test_steps_in_another_order_than_their_needs_are_refused(steps, refusals):
    broken = moved(steps, "sort-out", before="take-tray-ground")

    assert "which is not done before it" in refusals(broken)


def test_two_steps_of_one_name_are_refused(steps, refusals):
    assert "2 steps are called" in refusals([steps[0], *steps])


def test_a_step_that_counts_other_parts_than_it_takes_is_refused(steps, refusals):
    broken = changed(steps, "take-wall-level-1", removes=(Added("plain-panel", 1),))

    assert "counts 1 panels and 0 connectors that it takes off" in refusals(broken)


def test_no_steps_at_all_are_refused(refusals):
    assert "is not as the target has it" in refusals([])


def test_a_divider_left_in_a_tray_that_comes_out_is_refused(refusals, steps, change):
    # A panel of the ground's that would stand between two cells of the tray.
    first = step(steps, "lay-tray-ground")
    inner = min(step(steps, "wall-ground").places)._replace(row=1, col=1, z=0)

    broken = changed(steps, "wall-ground", places=(inner, *step(steps, "wall-ground").places))

    assert first.trays == (0,)
    assert Joint(0, 0, 0) in change.target.joints
    assert "round panel" in refusals(broken) or "not as the target has it" in refusals(broken)


# --- A ramp a little longer than its lane, whose head lies through the doorway ---

LONG = make_design(
    ["#####", "#####"], upper=["...##", "...##"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)
# The divider ends the lane after two cells, so that the ramp lies 35 mm through the doorway.
SEATED = replace(LONG, dividers=(Divider(0, 0, 0, Side.E),))


@pytest.mark.parametrize(("standing", "target"), [(SEATED, LONG), (LONG, SEATED)])
def test_a_ramp_whose_seat_changes_is_hung_anew(standing, target):
    change = alter(raise_structure(standing), raise_structure(target))
    order = order_of_alteration(change).steps
    ids = [one.id for one in order]

    assert [change.stands.ramps[0].seat_mm, change.target.ramps[0].seat_mm] in ([35, 0], [0, 35])
    assert ids.index("take-ramp-level-1-r0c3W") < ids.index("ramp-level-1-r0c3W")
    assert change.moved["ramp"] == 3
    assert check_alteration(change.stands, change.target, order) == []


@pytest.mark.parametrize(
    ("standing", "target", "fault"),
    [
        (SEATED, LONG, "In the end the ramps are not the target's."),
        (LONG, SEATED, "ramp 0 reaches through panel"),
    ],
)
def test_a_ramp_left_with_its_old_seat_is_refused(standing, target, fault):
    change = alter(raise_structure(standing), raise_structure(target))
    left = [
        replace(one, takes=replace(one.takes, ramps=frozenset()), ramps=())
        for one in order_of_alteration(change).steps
    ]

    assert fault in "\n".join(check_alteration(change.stands, change.target, left))
