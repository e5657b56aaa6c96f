"""The assembly order: any design's order stands, by the checker and by networkx."""

import random

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.making.assembly import order_of_work
from builds.making.blanks import make_blanks
from builds.making.check_order import check_order
from builds.making.groups import MOST_PANELS
from builds.making.parts import PartList, list_parts
from builds.making.step import Step
from builds.making.tools import EYES, GLOVES, KNIFE, PEG
from habitats.structure.design import Design
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, designs, make_design, ramp_from, replace


def steps_of(design: Design, **options: object) -> tuple[Step, ...]:
    structure = raise_structure(design)
    blanks = make_blanks(structure)
    return order_of_work(structure, blanks, list_parts(structure, blanks), **options)


def with_balcony(**changes: object) -> Design:
    ramp = ramp_from(0, 3, Side.W, panels=3)
    return make_design(upper=["...#", "...#"], ramps=(ramp,), **changes)


def number_of(steps: tuple[Step, ...], step_id: str) -> int:
    return [step.id for step in steps].index(step_id)


@given(designs())
def test_the_order_of_any_design_passes_the_checker(design) -> None:
    structure = raise_structure(design)
    blanks = make_blanks(structure)
    parts = list_parts(structure, blanks)

    assert check_order(structure, blanks, parts, order_of_work(structure, blanks, parts)) == []


@given(designs(), st.integers(0, 999))
def test_whoever_keeps_to_the_needs_may_work_in_another_order(design, seed) -> None:
    structure = raise_structure(design)
    blanks = make_blanks(structure)
    parts = list_parts(structure, blanks)
    steps = {step.id: step for step in order_of_work(structure, blanks, parts)}
    luck = random.Random(seed)
    rank = {step_id: luck.random() for step_id in steps}

    other = nx.lexicographical_topological_sort(graph_of(steps.values()), key=rank.__getitem__)

    assert check_order(structure, blanks, parts, [steps[step_id] for step_id in other]) == []


def graph_of(steps) -> nx.DiGraph:
    graph = nx.DiGraph()
    graph.add_nodes_from(step.id for step in steps)
    graph.add_edges_from((need, step.id) for step in steps for need in step.needs)
    return graph


@settings(max_examples=25)
@given(designs())
def test_needs_make_an_acyclic_graph_without_detours(design) -> None:
    graph = graph_of(steps_of(design))

    assert nx.is_directed_acyclic_graph(graph)
    assert set(nx.transitive_reduction(graph).edges) == set(graph.edges)


@pytest.mark.parametrize(
    "plan",
    [["#"], ["##", "#."], ["###", "#.#", "###"], [".#.", "###"], ["#.#", "###"], ["#" * 24] * 24],
    ids=["one cell", "L", "ring", "T", "U", "24 × 24"],
)
def test_every_footprint_has_an_order(plan) -> None:
    structure = raise_structure(make_design(plan))
    blanks = make_blanks(structure)
    parts = list_parts(structure, blanks)

    assert check_order(structure, blanks, parts, order_of_work(structure, blanks, parts)) == []


def test_the_same_design_gives_the_same_steps() -> None:
    assert steps_of(with_balcony()) == steps_of(with_balcony())


def test_a_large_enclosure_goes_up_in_steps_that_can_be_read() -> None:
    steps = steps_of(make_design(["#" * 12] * 6))

    assert max(len(step.places) for step in steps) <= MOST_PANELS


def test_panels_are_measured_before_anything_is_cut() -> None:
    steps = steps_of(with_balcony())

    first_cut = min(i for i, step in enumerate(steps) if step.id.startswith("cut-"))

    assert number_of(steps, "measure") < first_cut
    assert "355\xa0mm" in " ".join(steps[number_of(steps, "measure")].instructions)


def test_the_ground_tray_lies_before_the_upper_floor_closes_over_it() -> None:
    steps = steps_of(with_balcony())

    assert number_of(steps, "lay-tray-ground") < number_of(steps, "floor-level-1-1")


def test_a_wide_floor_is_laid_from_the_wall_that_carries_it() -> None:
    # Twelve cells, of which only the last row lies on a wall: the first row read is laid last.
    ground = ["######"] * 6
    upper = ["......"] * 3 + [".####."] * 3
    structure = raise_structure(make_design(ground, upper=upper, guards=(), supports=()))
    blanks = make_blanks(structure)
    parts = list_parts(structure, blanks)
    steps = order_of_work(structure, blanks, parts)

    assert {place.row for place in steps[number_of(steps, "floor-level-1-2")].places} == {3, 4}
    assert check_order(structure, blanks, parts, steps) == []


def test_a_divider_is_lowered_into_its_tray() -> None:
    steps = steps_of(make_design(dividers=(Divider(0, 0, 1, Side.E),)))

    divider = steps[number_of(steps, "divider-ground-1")]

    assert "lay-tray-ground" in divider.needs
    assert "cut that wall" in divider.instructions[0]


def test_the_doorway_is_cut_then_filed_then_stood() -> None:
    steps = steps_of(with_balcony())
    graph = graph_of(steps)
    stood = next(s.id for s in steps if any(a.what == "doorway-panel" for a in s.adds))

    for first, second in [
        ("cut-doorway-level-1-r0c3W", "file-doorway-level-1-r0c3W"),
        ("file-doorway-level-1-r0c3W", stood),
        (stood, "ramp-level-1-r0c3W"),
    ]:
        assert nx.has_path(graph, first, second)


def test_a_wall_that_stands_alone_takes_two_people() -> None:
    # Eight panels fill a step, so the first wall goes up by itself; the next one meets it.
    steps = steps_of(make_design(["########"]))

    first = steps[number_of(steps, "wall-ground-1")]

    assert first.people == 2
    assert any("holds" in sentence for sentence in first.instructions)


def test_walls_that_meet_in_a_corner_take_one_person() -> None:
    steps = steps_of(make_design(["####", "####"]))

    assert steps[number_of(steps, "wall-ground-1")].people == 1


def test_connectors_are_told_by_letter_and_where_their_ribs_point() -> None:
    # Joints in a straight run lie flat (A, B), ribs toward the panels; corners stand upright.
    steps = steps_of(make_design(["##"]))

    words = steps[number_of(steps, "wall-ground-1")].instructions[0]

    assert "each of the 12 lettered joints" in words
    assert "2 × A, ribs up; 2 × B, ribs down" in words
    assert "ribs north" in words


def test_the_doorway_step_counts_the_squares_and_the_ends() -> None:
    # Squares by the worked ramp of reference practice: nine a side, three bent up from each
    # side. Six squares of 39.4 mm are the first to pass 200 mm. Ends: two upright wires at the
    # top, and six level wires, the bottom edge among them, at both sides.
    steps = steps_of(with_balcony())

    cut = steps[number_of(steps, "cut-doorway-level-1-r0c3W")]
    smooth = steps[number_of(steps, "file-doorway-level-1-r0c3W")]

    assert "3 squares wide and 6 squares high" in cut.instructions[0]
    assert "Leave 3 squares on either side of it." in cut.instructions[0]
    assert "14 in all" in smooth.instructions[0]


def test_cutting_wire_warns_and_asks_for_gloves_and_eye_protection() -> None:
    steps = steps_of(with_balcony())

    cut = steps[number_of(steps, "cut-doorway-level-1-r0c3W")]

    assert {GLOVES, EYES} <= set(cut.tools)
    assert "sharp" in cut.cautions[0]


def test_the_ramp_is_measured_as_worked_out() -> None:
    # Worked value, common practice: 3 panels of 355 mm overlapping 3 squares are 828 mm long.
    steps = steps_of(with_balcony())

    assert "828\xa0mm" in steps[number_of(steps, "tie-ramp-level-1-r0c3W")].instructions[-1]


def test_the_towel_is_tucked_under_the_upper_liner_after_the_ramp_is_set() -> None:
    steps = steps_of(with_balcony())

    assert number_of(steps, "ramp-level-1-r0c3W") < number_of(steps, "lay-liners")
    assert "Tuck" in steps[number_of(steps, "lay-liners")].instructions[-1]


def test_the_lid_comes_after_the_liners_and_before_the_inspection() -> None:
    steps = steps_of(make_design(lid=True))

    assert [step.id for step in steps[-3:]] == ["lay-liners", "lid-height-1-1", "inspect"]


@settings(max_examples=25)
@given(designs())
def test_every_step_is_short_timed_and_says_who_is_needed(design) -> None:
    for step in steps_of(design):
        assert 1 <= len(step.instructions) <= 5
        assert all(sentence.endswith(".") for sentence in step.instructions + step.cautions)
        assert step.minutes >= 1
        assert step.people in (1, 2)


def test_lengths_are_written_in_the_readers_units() -> None:
    steps = steps_of(with_balcony(), lengths=lambda mm: f"<{mm}>")

    text = " ".join(sentence for step in steps for sentence in step.instructions)

    assert "<355>" in text
    assert "mm" not in text


def test_what_people_call_a_wall_names_its_sides() -> None:
    titles = [step.title for step in steps_of(make_design(["####", "####"]))]

    assert "Raise walls of the ground: north and east sides" in titles
    assert "Raise walls of the ground: south and west sides" in titles


def test_nothing_is_cut_for_a_tray_that_fits_no_sheet() -> None:
    structure = raise_structure(make_design(["#"]))
    nothing = make_blanks(structure)
    unmade = type(nothing)((), (), 0, ("Too large.",))
    parts: PartList = list_parts(structure, unmade)

    steps = order_of_work(structure, unmade, parts)

    assert check_order(structure, unmade, parts, steps) == []
    assert "by hand" in steps[number_of(steps, "fold-tray-ground")].instructions[0]


def step_with(steps: tuple[Step, ...], start: str) -> Step:
    return next(step for step in steps if step.id.startswith(start))


def test_walls_round_an_opening_are_named_as_who_stands_in_it_sees_them() -> None:
    # The opening is two cells: its long walls lie north and south of it, two panels each, and
    # what closes the arm west of it is the opening's west wall, the first in walking order.
    steps = steps_of(make_design(["####", "#..#", "####"]))

    assert "1 on the west side, 2 on the south side" in " ".join(
        step_with(steps, "wall-ground-3").instructions
    )


def test_scores_are_cut_on_the_outside_and_a_doorways_on_the_inside() -> None:
    steps = steps_of(with_balcony())
    told = " ".join(step_with(steps, "cut-blank-level-1-tray").instructions)

    inner, outer = told.split("Turn it over")
    assert "On this side cut only 1 score" in inner
    assert "5 scores" in outer


def test_a_blank_without_a_doorway_is_scored_on_the_outside_only() -> None:
    told = " ".join(step_with(steps_of(make_design()), "cut-blank-ground").instructions)

    assert "On this side" not in told
    assert "Turn it over" in told


def test_parts_that_are_not_needed_are_not_counted_out() -> None:
    assert "0 cable" not in " ".join(steps_of(make_design())[0].instructions)


def test_a_divider_takes_a_knife_for_the_trays_wall() -> None:
    steps = steps_of(make_design(dividers=(Divider(0, 0, 1, Side.E),)))

    assert KNIFE in step_with(steps, "divider").tools


def test_the_foot_is_tied_through_the_trays_wall_with_something_to_open_it() -> None:
    ramp = step_with(steps_of(with_balcony()), "ramp-")

    assert "holes in the tray's wall" in " ".join(ramp.instructions)
    assert PEG in ramp.tools


def test_an_upper_tray_waits_for_the_whole_floor_under_it() -> None:
    # The panels in the middle touch no wall, so no wall waits for them.
    everywhere = ["#####"] * 5
    steps = steps_of(make_design(everywhere, upper=everywhere))
    graph = graph_of(steps)

    floors = [step.id for step in steps if step.id.startswith("floor-")]
    assert len(floors) > 1
    assert all(nx.has_path(graph, floor, "lay-tray-level-1") for floor in floors)


def test_a_divider_that_goes_up_through_an_upper_floor_waits_for_both_trays() -> None:
    design = make_design(["##"], upper=["##"], dividers=(Divider(0, 0, 0, Side.E),))
    two_tiers = replace(design.ground, wall_panels=2)
    steps = steps_of(replace(design, levels=(two_tiers, replace(design.levels[1], z=1))))
    graph = graph_of(steps)

    assert nx.has_path(graph, "lay-tray-level-1", "divider-ground-tier-2-1")
