"""The pup set through parts, steps, alterations and retiring; checkers judge the orders.

Where it goes is common practice, no source: see ``test_pups``.
"""

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.making.altering.check import check_alteration
from builds.making.altering.counting import PartKind
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.care import first_use_notes
from builds.making.check_order import check_order
from builds.making.inspection import inspection_list
from builds.making.reckoning import plan_of
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Anchor, designs, make_design, ramp_from, replace

BARE = make_design(["####", "####"])
WITH_SET = replace(BARE, pup_set=True)
LOFT = make_design(
    ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)


def counted(parts):
    return {one.what: one.count for one in parts}


def altered(standing, target):
    change = alter(raise_structure(standing), raise_structure(target))
    order = order_of_alteration(change)

    assert check_alteration(change.stands, change.target, order.steps) == []
    return change, order


def ids(order):
    return [step.id for step in order.steps]


@settings(max_examples=8)
@given(designs(), designs(), st.booleans(), st.booleans())
def test_any_design_is_built_and_altered_with_it(standing, target, before, after):
    target = replace(target, pup_set=after, panel=standing.panel, species=standing.species)
    planned = plan_of(target)
    altered(replace(standing, pup_set=before), target)

    faults = check_order(planned.structure, planned.blanks, planned.parts, planned.steps)
    assert faults == []


def test_its_panels_and_clips_are_on_the_part_list():
    with_set, without = (plan_of(one).parts for one in (WITH_SET, BARE))

    assert with_set.count_of("pup-panel") == 12
    assert with_set.count_of("lid-clip") - without.count_of("lid-clip") == 12 * 4
    assert with_set.count_of("plain-panel") == without.count_of("plain-panel")
    assert without.count_of("pup-panel") == 0
    assert with_set.panels.total - without.panels.total == 12
    assert with_set.panels.plain == without.panels.plain


def test_it_goes_on_when_all_stands_and_before_wall_anchors():
    tall = replace(
        WITH_SET,
        levels=(replace(WITH_SET.ground, wall_panels=3),),
        anchors=[Anchor(0, 0, 0, Side.N), Anchor(0, 0, 3, Side.N)],
        room_walls=frozenset({Side.N}),
    )
    steps = [step.id for step in plan_of(tall).steps]

    assert steps[-3:] == ["pup-set", "wall-anchors", "inspect"]


def test_the_inspection_asks_for_it():
    asked = {one.code for one in inspection_list(raise_structure(WITH_SET))}

    assert "pup_set" in asked
    assert "pup_set" not in {one.code for one in inspection_list(raise_structure(BARE))}


def test_who_has_young_is_told_what_to_mind_of_it_day_by_day():
    # Common practice, no source.
    told = [one.code for one in first_use_notes(raise_structure(WITH_SET))]

    assert told.index("pup_set_daily") < told.index("pup_set_off")
    assert "pup_set_daily" not in {one.code for one in first_use_notes(raise_structure(BARE))}


def test_the_first_step_counts_out_every_panel_of_the_list():
    step = plan_of(WITH_SET).steps[0]

    assert "12 pup panels" in step.instructions[0]


def test_put_on_from_outside_the_animals_stay():
    change, order = altered(BARE, WITH_SET)

    assert ids(order) == ["sort", "pup-set", "inspect"]
    assert order.beside
    assert (change.new[PartKind.PUP], change.new[PartKind.CLIP]) == (12, 48)


def test_taken_off_its_panels_go_back():
    change, order = altered(WITH_SET, BARE)

    assert ids(order) == ["sort", "take-pup-set", "inspect"]
    assert change.left[PartKind.PUP] == 12
    assert not any(change.new.values())


def test_where_a_ramp_is_shut_they_go_out_first_and_come_back():
    _change, order = altered(LOFT, replace(LOFT, pup_set=True))

    assert ids(order) == ["sort", "animals-out", "pup-set", "inspect", "animals-back"]
    assert counted(order.steps[2].adds) == {"pup-panel": 13, "lid-clip": 12 * 4 + 2}


def test_in_a_larger_alteration_it_comes_off_only_where_walls_do():
    longer = make_design(["#####", "#####"])
    change, order = altered(WITH_SET, replace(longer, pup_set=True))

    taken = next(step for step in order.steps if step.id == "take-pup-set")
    assert counted(taken.removes)["pup-panel"] == 2
    assert change.stays[PartKind.PUP] == 10
    assert change.new[PartKind.PUP] == 2  # four more walls on two longer sides, less two ends


def test_its_panels_serve_as_walls():
    change, _order = altered(WITH_SET, make_design(["#####", "#####"]))

    # Two of the twelve become walls of the new row.
    assert change.new[PartKind.PANEL] == 0
    assert change.left[PartKind.PUP] == 10


def test_retired_it_comes_off_first():
    retirement = retire(raise_structure(WITH_SET))

    assert retirement.steps[1].id == "take-pup-set"
    assert counted(retirement.parts)["pup-panel"] == 12


def test_the_checker_refuses_a_hand_inside_while_the_animals_stay():
    walled = replace(BARE, room_walls=frozenset({Side.N}))
    change, order = altered(walled, replace(walled, pup_set=True))
    kept_in = [
        replace(step, needs=()) for step in order.steps if not step.id.startswith("animals-")
    ]

    found = check_alteration(change.stands, change.target, kept_in)

    assert "pup-set does not wait until the animals are out." in found
