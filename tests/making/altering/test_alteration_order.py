"""The order of an alteration: safe all along, by the checker and by networkx."""

import random

import networkx as nx
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builds.making.altering.check import check_alteration
from builds.making.altering.kept import turned_in_place
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, Door, designs, make_design, ramp_from, replace, stands

PLAIN = make_design(["####", "####"])
LOFT = make_design(["####", "####"], upper=["...#", "...#"])
RAMPED = make_design(
    ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)


def altered(standing, target):
    return alter(raise_structure(standing), raise_structure(target))


def steps_of(standing, target):
    return order_of_alteration(altered(standing, target)).steps


def step(steps, step_id):
    return next(one for one in steps if one.id == step_id)


def number_of(steps, step_id):
    return [one.id for one in steps].index(step_id)


def graph_of(steps):
    graph = nx.DiGraph()
    graph.add_nodes_from(one.id for one in steps)
    graph.add_edges_from((need, one.id) for one in steps for need in one.needs)
    return graph


@st.composite
def pairs(draw):
    """Two designs of the same panels, for the same animals."""
    standing = draw(designs())
    target = replace(draw(designs()), panel=standing.panel, species=standing.species)
    assume(stands(target))
    return standing, target


@settings(max_examples=15)
@given(pairs(), st.integers(0, 999))
def test_whoever_keeps_to_the_needs_is_safe_all_along(pair, seed):
    change = altered(*pair)
    steps = {one.id: one for one in order_of_alteration(change).steps}
    luck = random.Random(seed)
    rank = {step_id: luck.random() for step_id in steps}

    graph = graph_of(steps.values())
    other = nx.lexicographical_topological_sort(graph, key=rank.__getitem__)

    assert check_alteration(change.stands, change.target, [*steps.values()]) == []
    assert check_alteration(change.stands, change.target, [steps[one] for one in other]) == []


@settings(max_examples=8)
@given(pairs())
def test_needs_make_an_acyclic_graph_without_detours(pair):
    graph = graph_of(steps_of(*pair))

    assert nx.is_directed_acyclic_graph(graph)
    assert set(nx.transitive_reduction(graph).edges) == set(graph.edges)


@settings(max_examples=8)
@given(pairs())
def test_ties_pulled_and_cut_add_up_to_the_count(pair):
    change = altered(*pair)
    order = order_of_alteration(change)
    assume(order.steps)
    across = 4 if order.refuge and order.refuge.borrowed else 0

    def total(parts):
        return sum(one.count for one in parts if one.what == "cable-tie") - across

    ties = change.balances["tie"]
    assert total(one for each in order.steps for one in each.adds) == ties.new
    assert total(one for each in order.steps for one in each.removes) == ties.left


@settings(max_examples=5)
@given(designs())
def test_taken_to_pieces_and_built_anew_it_is_the_same(design):
    # To something small and back: the parts of the way there are those of the way back.
    small = make_design(["#"], panel=design.panel, species=design.species)

    there, back = altered(design, small), altered(small, design)

    for kind in ("panel", "doorway", "ramp", "connector"):
        assert there.stays[kind] - there.goes_on[kind] + there.comes_off[kind] >= 0
        assert there.stays[kind] + there.comes_off[kind] == back.stays[kind] + back.goes_on[kind]
    assert there.handled == back.handled


def test_where_nothing_changes_there_is_nothing_to_do():
    assert steps_of(RAMPED, RAMPED) == ()


def test_the_same_pair_gives_the_same_steps():
    assert steps_of(PLAIN, RAMPED) == steps_of(PLAIN, RAMPED)


def test_three_connectors_are_turned_before_the_floor_goes_on():
    # Worked value, common practice, no source: three connectors are turned.
    steps = steps_of(PLAIN, LOFT)

    assert len(step(steps, "turn-connectors").turns) == 3
    assert "turn-connectors" in step(steps, "floor-level-1-1").needs


def test_an_upper_level_comes_off_from_the_top_down():
    steps = steps_of(RAMPED, PLAIN)

    order = [one.id for one in steps if one.takes]
    assert order == [
        "take-guard-height-1-1",
        "take-ramp-level-1-r0c3W",
        "take-tray-level-1",
        "take-wall-level-1-1",
        "take-floor-level-1-1",
    ]


def test_the_cloth_is_out_before_anything_comes_off():
    steps = steps_of(RAMPED, PLAIN)

    graph = graph_of(steps)
    assert all(nx.has_path(graph, "take-cloth", one.id) for one in steps if one.takes)


def test_the_bench_is_done_while_the_animals_are_still_in():
    steps = steps_of(PLAIN, RAMPED)

    last_bench = max(number for number, one in enumerate(steps) if one.bench)
    assert last_bench < number_of(steps, "animals-out")


def test_what_is_cut_from_a_part_that_came_off_waits_for_it():
    with_ramp = replace(LOFT, ramps=(ramp_from(0, 3, Side.W, panels=3),), guards=())
    steps = steps_of(LOFT, with_ramp)

    graph = graph_of(steps)
    assert nx.has_path(graph, "take-wall-level-1-1", "cut-doorway-level-1-r0c3W")


def test_a_tray_is_cut_where_it_lies_while_its_wall_is_off():
    steps = steps_of(LOFT, RAMPED)

    graph = graph_of(steps)
    assert nx.has_path(graph, "take-wall-level-1-1", "cut-tray-level-1")
    assert nx.has_path(graph, "cut-tray-level-1", "wall-level-1-1")


def test_an_upper_level_is_lifted_where_the_tray_below_it_is_changed():
    change = altered(LOFT, make_design(["####", "####", "##.."], upper=["...#", "...#", "...."]))
    steps = order_of_alteration(change).steps

    graph = graph_of(steps)
    assert change.staying.lifted
    assert nx.has_path(graph, "take-floor-level-1-1", "take-tray-ground")
    assert nx.has_path(graph, "lay-tray-ground", "floor-level-1-1")


def test_a_tray_that_serves_again_is_cut_down_after_it_came_off():
    steps = steps_of(make_design(["####", "####"]), make_design(["###", "###"]))

    assert "sort-out" in step(steps, "cut-down-tray-ground").needs
    assert "cut-down-tray-ground" in step(steps, "fold-tray-ground").needs


def test_the_divider_that_becomes_an_outer_wall_stays():
    divided = make_design(["####"], dividers=(Divider(0, 0, 1, Side.E),))

    change = altered(divided, make_design(["##"]))

    assert change.stays["panel"] == 6


def test_parts_that_come_off_are_told_apart():
    told = " ".join(step(steps_of(RAMPED, LOFT), "sort-out").instructions)

    assert "Keep here, to use again: 1 plain panel." in told
    assert "Back to the store: 1 plain panel, 1 doorway panel, 3 panels to bend" in told
    assert "Into the bin: 21 cable ties, cut." in told


def test_turning_a_connector_under_a_floor_takes_two():
    change = altered(LOFT, make_design(["####", "####"], upper=["..##", "..##"]))
    turning = step(order_of_alteration(change).steps, "turn-connectors")

    carried = {
        joint for place in change.staying.places if not place.is_upright for joint in place.corners
    }
    rests = any(turn.joint in carried for turn in turned_in_place(change))
    assert turning.people == (2 if rests else 1)


@settings(max_examples=8)
@given(pairs())
def test_every_step_is_short_timed_and_says_who_is_needed(pair):
    for one in steps_of(*pair):
        assert 1 <= len(one.instructions) <= 5
        assert all(sentence.endswith(".") for sentence in one.instructions + one.cautions)
        assert one.minutes >= 1
        assert one.people in (1, 2)


def test_lengths_are_written_in_the_readers_units():
    change = altered(make_design(["####", "####"]), make_design(["###", "###"]))
    steps = order_of_alteration(change, lengths=lambda mm: f"<{mm}>").steps

    text = " ".join(sentence for one in steps for sentence in one.instructions)
    assert "<1720> × <1010>" in text
    assert " mm" not in text.replace("\xa0", " ")


# --- The animals ---


def test_the_animals_stay_in_the_half_where_nothing_is_done():
    order = order_of_alteration(altered(PLAIN, LOFT))

    assert order.refuge is not None
    assert {cell.col for cell in order.refuge.cells} == {0, 1}
    assert len(order.refuge.borrowed) == 2
    assert order.steps[-1].id == "animals-back"


def test_a_divider_that_stands_closes_the_refuge():
    dividers = (Divider(0, 0, 1, Side.E), Divider(0, 1, 1, Side.E))
    standing = replace(PLAIN, dividers=dividers)

    order = order_of_alteration(altered(standing, replace(LOFT, dividers=dividers)))

    assert order.refuge is not None
    assert (order.refuge.borrowed, len(order.refuge.standing)) == ((), 2)


@pytest.mark.parametrize(
    ("standing", "target"),
    [(PLAIN, RAMPED), (PLAIN, make_design(["####", "####", "####"])), (make_design(["#"]), LOFT)],
    ids=["a ramp needs the whole length", "the tray is changed", "too small"],
)
def test_otherwise_the_animals_go_out(standing, target):
    order = order_of_alteration(altered(standing, target))

    if standing is not PLAIN or target is not RAMPED:
        assert order.refuge is None
    assert "animals-out" in [one.id for one in order.steps]


def test_nothing_is_touched_in_a_refuge():
    change = altered(PLAIN, LOFT)
    order = order_of_alteration(change)

    corners = {
        (joint.row, joint.col)
        for one in order.steps
        for part in (one.puts, one.takes)
        for place in part.places
        for joint in place.corners
    }
    inside = {(row, col) for row, col in order.refuge.cells}
    assert not {(row, col) for row, col in corners if (row, col) in inside and col < 2}


def test_the_cloth_of_the_refuge_stays():
    steps = steps_of(LOFT, RAMPED)

    assert "liner-ground" not in [one.what for one in step(steps, "take-cloth").removes]


# --- Fetching ---


def fetched(standing, target):
    first = step(steps_of(standing, target), "sort")
    return str(first.title), " ".join(map(str, first.instructions))


def test_where_nothing_is_new_nothing_is_fetched_but_the_north_side_is_marked():
    title, told = fetched(make_design(["####", "####"], lid=True), PLAIN)

    assert title == "Mark the north side"
    assert "Count out" not in told
    assert "strip of tape" in told


def test_of_a_tray_that_is_cut_the_sheet_is_fetched_and_no_tray():
    _title, told = fetched(PLAIN, LOFT)
    count_out, sheet, _north = told.split(". ", 2)

    assert count_out.startswith("Count out ")
    assert "tray" not in count_out
    assert sheet.startswith("Fetch the sheet for 1 × Level 1 tray")


def test_a_tray_that_is_cut_from_the_old_one_is_not_fetched():
    """A ground of four cells is cut out of one of eight, whose two walls it keeps."""
    target = make_design(["##", "##"])
    cut = [one.id for one in steps_of(PLAIN, target) if one.id.startswith("cut-down-tray")]
    _title, told = fetched(PLAIN, target)

    assert cut == ["cut-down-tray-ground"]
    assert told.startswith("Count out 1 × liner, ground. Mark the north side")


def test_two_lid_panels_hinged_along_one_seam_take_two_pairs_of_ties():
    # The upper level's wall ends at the height of the lid on both its sides.
    standing = make_design(["#", "#", "#"], upper=["#", "#", "."], lid=True)
    ground = replace(standing.ground, wall_panels=2)
    standing = replace(standing, levels=(ground, *standing.levels[1:]))
    change = altered(standing, make_design(["#"]))
    removed = [one for step in order_of_alteration(change).steps for one in step.removes]

    assert sum(one.count for one in removed if one.what == "cable-tie") == change.left["tie"]


def test_a_door_that_is_turned_is_cut_off_where_it_was_hinged():
    standing = make_design(
        ["####", "####"],
        upper=["##..", "...."],
        ramps=(ramp_from(0, 1, Side.E),),
        dividers=(Divider(0, 0, 0, Side.E),),
        doors=(Door(0, 0, 0, Side.N),),
    )
    change = altered(standing, make_design(["#", "#", "#", "#"]))
    removed = [one for step in order_of_alteration(change).steps for one in step.removes]

    assert change.laying.quarter_turns % 2
    assert sum(one.count for one in removed if one.what == "cable-tie") == change.left["tie"]
