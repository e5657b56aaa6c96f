"""The connector model: worked value of common practice, and its rules one by one."""

from hypothesis import given
from hypothesis import strategies as st

from habitats.structure.connectors import (
    STANCES,
    Stance,
    as_built,
    best_stance,
    holds,
    turns,
    unheld,
)
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace
from habitats.structure.structure import raise_structure

# Every panel that can meet at the joint (1, 1, 1), as (face, row, col, z).
AROUND = [
    *(PanelPlace(Face.EW, 1, col, z) for col in (0, 1) for z in (0, 1)),
    *(PanelPlace(Face.NS, row, 1, z) for row in (0, 1) for z in (0, 1)),
    *(PanelPlace(Face.FLAT, row, col, 1) for row in (0, 1) for col in (0, 1)),
]
JOINT = Joint(1, 1, 1)
WEST_OF_JOINT = frozenset({Cell(0, 0), Cell(1, 0)})


def held_by_hand(stance, place):
    """Written from the model alone: in the disc's plane, or on the rib side of it."""
    axis = [Face.EW, Face.NS, Face.FLAT].index(stance.plane)
    middle = [sum(c[i] for c in place.corners) / 4 - JOINT[i] for i in range(3)]
    return middle[axis] == 0 or (middle[axis] > 0) == (stance.ribs > 0)


def test_an_upper_level_across_a_short_end_turns_three_connectors(make_design):
    # Worked value, common practice, no source: a standing 2 x 4 enclosure, one panel high, gets
    # an upper level of two cells across one short end: three connectors are turned.
    standing = raise_structure(make_design(["####", "####"]))
    target = raise_structure(make_design(["####", "####"], upper=["...#", "...#"]))

    turned = turns(standing.stances, target.places, target.design.ground.cells)

    assert [turn.joint for turn in turned] == [(0, 3, 1), (1, 4, 1), (2, 3, 1)]


def test_it_makes_no_difference_at_which_end_or_which_way_round(make_design):
    cases = [
        (["####", "####"], ["#...", "#..."]),
        (["##"] * 4, ["##", "..", "..", ".."]),
        (["##"] * 4, ["..", "..", "..", "##"]),
    ]
    for ground, upper in cases:
        standing = raise_structure(make_design(ground))
        target = raise_structure(make_design(ground, upper=upper))

        turned = turns(standing.stances, target.places, target.design.ground.cells)

        assert len(turned) == 3


def test_corners_stand_upright_with_the_disc_in_the_east_west_wall(make_design):
    structure = raise_structure(make_design(["##", "##"]))

    assert structure.stances[Joint(0, 0, 1)] == Stance(Face.EW, 1)
    assert structure.stances[Joint(2, 2, 1)] == Stance(Face.EW, -1)


def test_a_straight_run_lies_flat_with_ribs_toward_the_panels(make_design):
    structure = raise_structure(make_design(["##", "##"]))

    assert structure.stances[Joint(0, 1, 1)] == Stance(Face.FLAT, -1)
    assert structure.stances[Joint(0, 1, 0)] == Stance(Face.FLAT, 1)


def test_between_two_tiers_the_disc_stands_in_the_wall_smooth_face_out(make_document, design_from):
    document = make_document(["##", "##"])
    document["levels"][0]["wall_panels"] = 2

    structure = raise_structure(design_from(document))

    assert structure.stances[Joint(0, 1, 1)] == Stance(Face.EW, 1)
    assert structure.stances[Joint(1, 2, 1)] == Stance(Face.NS, -1)


def test_a_connector_that_holds_all_it_must_is_left_alone(make_design):
    standing = raise_structure(make_design(["##", "##"]))

    assert turns(standing.stances, standing.places, standing.design.ground.cells) == ()


def test_a_crossing_of_walls_in_the_open_leaves_one_wall_to_ties(make_design):
    dividers = [
        {"z": 0, "row": 0, "col": 0, "side": "E"},
        {"z": 0, "row": 1, "col": 0, "side": "E"},
        {"z": 0, "row": 0, "col": 0, "side": "S"},
        {"z": 0, "row": 0, "col": 1, "side": "S"},
    ]

    structure = raise_structure(make_design(["##", "##"], dividers=dividers))

    # At the middle's top a flat disc, ribs down, holds all four; nothing needs a tie.
    assert structure.unheld == ()
    assert structure.stances[Joint(1, 1, 1)] == Stance(Face.FLAT, -1)


def test_a_crossing_between_two_tiers_needs_ties():
    crossing = [place for place in AROUND if place.is_upright]

    stances = as_built(crossing, WEST_OF_JOINT)

    at_joint = [place for joint, place in unheld(stances, crossing) if joint == JOINT]
    assert len(at_joint) == 2


@given(st.sampled_from(STANCES), st.sampled_from(AROUND))
def test_what_a_stance_holds_agrees_with_the_model_by_hand(stance, place):
    assert holds(stance, JOINT, place) == held_by_hand(stance, place)


@given(st.sets(st.sampled_from(AROUND), min_size=1).map(sorted))
def test_the_chosen_stance_holds_as_many_panels_as_any(meeting):
    chosen = best_stance(JOINT, meeting, WEST_OF_JOINT)

    counts = [sum(held_by_hand(stance, place) for place in meeting) for stance in STANCES]
    assert sum(held_by_hand(chosen, place) for place in meeting) == max(counts)
