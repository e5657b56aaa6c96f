"""Front doors: where they may be, what rests over them, and which floor a hand reaches.

A hand reaches 700 mm from an open side: common practice, no source. Distances are checked by
shapely, which the program does not use here.
"""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from habitats.structure.faults import BadDesign
from habitats.structure.kinds import Role
from habitats.structure.lattice import Cell, Side, outer_edges, wall_place
from habitats.structure.motion import Motion, mirrored, moved_design
from habitats.structure.reach import out_of_reach
from habitats.structure.read import design_from, document_of
from habitats.structure.standing import span_of
from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for
from tests.support.designs import Door, designs, make_design, ramp_from, replace

LOFT = {"plan": ["####", "####"], "upper": ["...#", "...#"]}


def warned(design):
    return {one.code: one.sentence for one in warnings_for(raise_structure(design))}


def refused(**changes):
    with pytest.raises(BadDesign) as raised:
        raise_structure(make_design(**changes))
    return str(raised.value)


# --- Where it stands ---


def test_a_door_is_the_wall_panel_in_its_place():
    plain, stands = (
        raise_structure(make_design()),
        raise_structure(make_design(doors=(Door(0, 1, 2, Side.S),))),
    )

    (door,) = stands.with_role(Role.DOOR)
    assert door.place == wall_place(Cell(1, 2), Side.S, 0)
    assert stands.places == plain.places
    assert stands.joints == plain.joints


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"doors": (Door(0, 0, 1, Side.E),)}, "is in no wall"),
        ({"doors": (Door(1, 0, 1, Side.N),)}, "is in no wall"),
        ({"doors": (Door(0, 0, 1, Side.N), Door(0, 0, 2, Side.N))}, "beside another one"),
        ({"doors": (Door(0, 0, 3, Side.N), Door(0, 0, 3, Side.E))}, "beside another one"),
        (
            {**LOFT, "ramps": (ramp_from(1, 3, Side.W),), "doors": (Door(1, 1, 3, Side.W),)},
            "where a ramp leaves",
        ),
    ],
)
def test_a_door_out_of_place_is_refused_with_its_place(changes, says):
    assert says in refused(**changes)


def test_a_floor_over_a_door_rests_on_the_joints_beside_it():
    # Two cells between two walls, then with a door under one of the four edges that carry them.
    design = make_design(**LOFT, supports=())
    with_door = replace(design, doors=(Door(0, 0, 3, Side.E),))

    assert span_of(design, 1) == span_of(with_door, 1) == 2
    assert "long_span" not in warned(with_door)


# --- Files ---


def test_doors_and_walls_of_the_room_are_optional_keys():
    plain = make_design()
    with_both = replace(
        plain, doors=(Door(0, 1, 2, Side.S),), room_walls=frozenset({Side.W, Side.N})
    )

    assert not {"doors", "room_walls"} & document_of(plain).keys()
    assert document_of(with_both)["doors"] == [{"z": 0, "row": 1, "col": 2, "side": "S"}]
    assert document_of(with_both)["room_walls"] == ["N", "W"]
    assert design_from(document_of(with_both)) == with_both


@pytest.mark.parametrize("given", ["N", ["X"], ["N", "N"], [1]])
def test_walls_of_the_room_that_are_no_sides_are_refused(given):
    with pytest.raises(BadDesign, match="room_walls"):
        design_from({**document_of(make_design()), "room_walls": given})


def test_walls_of_the_room_turn_and_mirror_with_the_drawing():
    design = make_design(room_walls=frozenset({Side.W}))

    assert moved_design(design, Motion(1)).room_walls == {Side.N}
    assert mirrored(design).room_walls == {Side.E}


# --- Reach ---


def test_floor_under_an_upper_level_asks_for_a_door_and_a_near_one_answers():
    loft = make_design(**LOFT)
    assert "2 cells under a floor or lid" in warned(loft)["needs_door"]

    # From the door in the first row: 178 mm to its own cell, 398 mm to the cell beside it.
    assert "needs_door" not in warned(replace(loft, doors=(Door(0, 0, 3, Side.E),)))


def test_a_door_at_a_wall_of_the_room_reaches_nothing_and_is_warned_about():
    loft = make_design(**LOFT, doors=(Door(0, 0, 3, Side.E),), room_walls=frozenset({Side.E}))

    assert {"needs_door", "door_at_wall"} <= warned(loft).keys()


@pytest.mark.parametrize(
    ("plan", "walls", "is_far"),
    [
        (["####"] * 2, "", False),
        (["####"] * 2, "NWE", False),  # 533 mm from the south
        (["####"] * 3, "NWE", True),  # the row at the wall: 888 mm
        (["#####"] * 5, "", True),  # the middle cell: 888 mm from each side
    ],
)
def test_floor_too_far_from_every_open_side_is_warned_about(plan, walls, is_far):
    design = make_design(plan, room_walls=frozenset(map(Side, walls)))

    assert ("out_of_reach" in warned(design)) == is_far


@settings(max_examples=25)
@given(designs(), st.sets(st.sampled_from(Side), max_size=3), st.integers(0, 9))
def test_reach_is_as_shapely_measures_it(design, walls, which):
    edges = outer_edges(design.ground.cells)
    door = edges[which % len(edges)]
    design = replace(design, room_walls=frozenset(walls), doors=(Door(0, *door[0], door[1]),))
    try:
        structure = raise_structure(design)
    except BadDesign:
        return
    size, ground = design.panel.size_mm, design.ground.cells
    floor = shapely.union_all([shapely.box(c, r, c + 1, r + 1) for r, c in ground])
    west, north, east, south = floor.bounds
    lines = {
        Side.N: shapely.LineString([(west, north), (east, north)]),
        Side.S: shapely.LineString([(west, south), (east, south)]),
        Side.W: shapely.LineString([(west, north), (west, south)]),
        Side.E: shapely.LineString([(east, north), (east, south)]),
    }
    open_sides = floor.boundary
    for wall in walls:
        open_sides = open_sides.difference(lines[wall].buffer(1e-9))
    (row, col), side = door
    at = {
        Side.N: [(col, row), (col + 1, row)],
        Side.S: [(col, row + 1), (col + 1, row + 1)],
        Side.W: [(col, row), (col, row + 1)],
        Side.E: [(col + 1, row), (col + 1, row + 1)],
    }[side]
    opening = shapely.LineString(at)
    is_open = opening.intersection(open_sides.buffer(1e-6)).length > 0.5

    found = out_of_reach(structure.design, 0)

    for cell in ground:
        middle = shapely.Point(cell.col + 0.5, cell.row + 0.5)
        by_door = is_open and middle.distance(opening) * size <= 700 + 1e-6
        over_wall = not open_sides.is_empty and middle.distance(open_sides) * size <= 700 + 1e-6
        is_covered = any(cell in one.cells for one in design.levels[1:]) or design.lid
        assert (cell in found.covered) == (is_covered and over_wall and not by_door)
        assert (cell in found.far) == (not over_wall)
