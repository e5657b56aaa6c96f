"""Where ties go: common practice, no source. Counts are reckoned by hand or by brute force."""

from itertools import combinations

from hypothesis import given, settings

from builds.making.ties import (
    Where,
    count_clips,
    count_ties,
    hung_panels,
    seams_of,
    spare,
    ties_needed,
)
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Side
from habitats.structure.structure import Role, Structure, raise_structure
from tests.support.designs import Divider, Guard, designs, make_design, ramp_from, replace


def ties_at(structure: Structure, where: Where) -> int:
    return sum(group.count for group in ties_needed(structure) if group.where is where)


def test_a_single_cell_is_held_by_its_connectors_alone() -> None:
    structure = raise_structure(make_design(["#"]))

    assert ties_needed(structure) == ()


def test_every_seam_of_an_upper_floor_takes_two_ties() -> None:
    # Two cells across the east end: one seam between them, one over the north wall, one over the
    # south wall, two over the east wall; nothing meets their west edges from below.
    structure = raise_structure(make_design(upper=["...#", "...#"], guards=()))

    assert ties_at(structure, Where.FLOOR) == 2 * 5


def test_upper_walls_are_tied_once_to_what_they_stand_on() -> None:
    structure = raise_structure(make_design(upper=["...#", "...#"], guards=()))

    assert ties_at(structure, Where.STANDING) == 6  # two cells have six outer edges


def test_a_second_tier_is_tied_to_the_first() -> None:
    structure = raise_structure(make_design(["##"], wall_panels=2))

    assert ties_at(structure, Where.STANDING) == 6


def test_each_guard_is_tied_twice_to_the_wall_below() -> None:
    guards = (Guard(0, 0, Side.N, 1), Guard(0, 1, Side.N, 1))
    structure = raise_structure(make_design(guards=guards))

    assert ties_at(structure, Where.GUARD) == 4
    assert ties_at(structure, Where.STANDING) == 0


def test_a_divider_is_tied_at_each_end_and_between_its_panels() -> None:
    # Two panels across two rows: north end, middle, south end.
    dividers = (Divider(0, 0, 1, Side.E), Divider(0, 1, 1, Side.E))
    structure = raise_structure(make_design(dividers=dividers))

    assert ties_at(structure, Where.DIVIDER) == 3


def test_a_ramp_takes_ties_at_overlaps_head_and_foot_there_joined_if_too_short() -> None:
    # A channel of three squares of nine in panels of 355 mm leaves 118 mm to the wall: there and
    # back about 240 mm, for which a tie of 200 mm is too short. Common practice, no source.
    ramp = ramp_from(0, 3, Side.W, panels=3)
    structure = raise_structure(make_design(upper=["...#", "...#"], ramps=(ramp,)))

    assert ties_at(structure, Where.RAMP_OVERLAP) == 4 * 2
    assert ties_at(structure, Where.RAMP_HEAD) == 2
    assert ties_at(structure, Where.RAMP_FOOT) == 2 * 2


def test_one_tie_reaches_in_small_panels_and_at_a_foot_that_stands_free() -> None:
    ramp = ramp_from(0, 3, Side.W, panels=3)
    # 190 mm: 63 mm beside the channel, 147 mm there, back and round the wires.
    small = make_design(upper=["...#", "...#"], ramps=(ramp,), panel=PanelSize(190))
    free = make_design(
        ["#####"] * 3, upper=["....#"] * 3, ramps=(replace(ramp, row=1, col=4),), supports=()
    )

    assert ties_at(raise_structure(small), Where.RAMP_FOOT) == 2
    assert ties_at(raise_structure(free), Where.RAMP_FOOT) == 2


def test_a_lid_over_one_cell_is_hinged_on_one_side_and_clipped_on_the_opposite() -> None:
    structure = raise_structure(make_design(["#"], lid=True))

    (hung,) = hung_panels(structure)

    assert hung.hinge is not None
    assert hung.clips is not None
    assert not set(hung.hinge) & set(hung.clips)
    assert ties_at(structure, Where.LID_HINGE) == 2
    assert count_clips(structure) == 2


def test_the_allowance_is_one_in_ten_rounded_up() -> None:
    assert [spare(count) for count in (0, 1, 10, 40, 41)] == [0, 1, 1, 4, 5]


@settings(max_examples=25)
@given(designs())
def test_every_corner_that_no_connector_holds_is_tied(design) -> None:
    structure = raise_structure(design)

    tied = {
        (spot.joints[0], spot.places[0])
        for group in ties_needed(structure)
        if group.where is Where.CORNER
        for spot in group.spots
    }

    doors = {panel.place for panel in structure.with_role(Role.DOOR)}
    assert tied == {(joint, place) for joint, place in structure.unheld if place not in doors}


@given(designs())
def test_upper_floors_are_tied_along_every_edge_that_meets_floor_or_a_wall_below(design) -> None:
    structure = raise_structure(design)
    floors = [panel.place for panel in structure.with_role(Role.FLOOR)]
    # A front door swings, so nothing is tied to it.
    firm = [panel.place for panel in structure.panels if panel.role != Role.DOOR]
    # Brute force over pairs of panels that share two corners, one below or beside the other.
    shared = {
        frozenset(set(floor.corners) & set(other.corners))
        for floor in floors
        for other in firm
        if other != floor and (other in floors or other.z < floor.z)
    }

    assert ties_at(structure, Where.FLOOR) == 2 * sum(len(edge) == 2 for edge in shared)


@settings(max_examples=25)
@given(designs())
def test_every_place_to_tie_is_named_once_and_lies_on_its_panels(design) -> None:
    groups = ties_needed(raise_structure(design))
    spots = [spot for group in groups for spot in group.spots if spot.ramp is None]

    assert len(set(spots)) == len(spots)
    for spot in spots:
        for place in spot.places:
            assert set(spot.joints) <= set(place.corners)
    assert count_ties(groups) == sum(spot.count for group in groups for spot in group.spots)


@settings(max_examples=25)
@given(designs())
def test_every_lid_panel_hangs_on_one_seam_and_opens_on_another(design) -> None:
    for hung in hung_panels(raise_structure(design)):
        assert hung.hinge in seams_of(hung.panel.place)
        assert hung.clips in seams_of(hung.panel.place)
        assert hung.hinge != hung.clips


def test_two_lid_panels_on_one_wall_each_have_a_hinge() -> None:
    dividers = (Divider(0, 0, 0, Side.E),)
    structure = raise_structure(make_design(["##"], dividers=dividers, lid=True))
    hinges = [hung.hinge for hung in hung_panels(structure)]

    assert all(first != second for first, second in combinations(hinges, 2))
    assert ties_at(structure, Where.LID_HINGE) == 4
