"""What stands, told in other coordinates; a drawing the other way round."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from habitats.structure.connectors import unheld
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, Side, wall_place
from habitats.structure.motion import Motion, mirrored, moved
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, replace

motions = st.builds(Motion, st.integers(0, 3), st.integers(-9, 9), st.integers(-9, 9))
sides = st.sampled_from(Side)
cells = st.builds(Cell, st.integers(-5, 5), st.integers(-5, 5))


def test_one_turn_to_the_right_takes_north_to_east():
    assert Motion(1).side(Side.N) is Side.E
    assert Motion(1).cell(Cell(0, 0)) == Cell(0, -1)
    assert Motion(1).place(PanelPlace(Face.EW, 0, 0, 0)) == PanelPlace(Face.NS, 0, 0, 0)


@given(motions, cells)
def test_a_motion_and_its_inverse_leave_a_cell_where_it_was(motion, cell):
    assert motion.inverse.cell(motion.cell(cell)) == cell
    assert motion.cell(motion.inverse.cell(cell)) == cell


@given(motions, cells, sides, st.integers(0, 3))
def test_a_wall_goes_with_the_side_of_its_cell(motion, cell, side, z):
    moved_wall = wall_place(motion.cell(cell), motion.side(side), z)

    assert motion.place(wall_place(cell, side, z)) == moved_wall


@given(motions, cells, sides)
def test_corners_of_a_moved_place_are_its_moved_corners(motion, cell, side):
    place = wall_place(cell, side, 1)

    assert {motion.joint(one) for one in place.corners} == set(motion.place(place).corners)


@settings(max_examples=30)
@given(designs(), motions)
def test_connectors_hold_the_same_panels_seen_from_anywhere(design, motion):
    structure = raise_structure(design)

    there = moved(structure, motion)

    assert unheld(there.stances, there.places) == there.unheld
    assert len(there.unheld) == len(structure.unheld)


@settings(max_examples=30)
@given(designs(), motions)
def test_moved_there_and_back_everything_is_as_it_was(design, motion):
    structure = raise_structure(design)

    back = moved(moved(structure, motion), motion.inverse)

    assert replace(back, design=structure.design) == structure
    assert back.design.levels == design.levels


@settings(max_examples=30)
@given(designs(), motions)
def test_trays_keep_their_floor_by_shapely(design, motion):
    structure = raise_structure(design)

    there = moved(structure, motion)

    for before, after in zip(structure.trays, there.trays, strict=True):
        assert _floor(after).area == _floor(before).area == after.area_mm2
        assert all(one.width_mm > 0 for one in after.doorways)


def _floor(tray):
    outer, *holes = ([(wall.x1, wall.y1) for wall in ring] for ring in tray.rings)
    return shapely.Polygon(outer, holes)


@settings(max_examples=30)
@given(designs())
def test_a_mirrored_drawing_has_its_panels_mirrored(design):
    design = replace(design, supports=())  # those that are worked out may stand elsewhere
    there = raise_structure(mirrored(design))

    assert there.places == {_mirrored(one, design.cols) for one in raise_structure(design).places}


def _mirrored(place, cols):
    """A panel across the columns takes one of them, one along them stands between two."""
    return place._replace(col=cols - place.col - (0 if place.face is Face.NS else 1))


@given(designs())
def test_mirrored_twice_a_drawing_is_itself(design):
    assert mirrored(mirrored(design)) == design


@pytest.mark.parametrize("turns", range(4))
def test_a_rectangle_turned_is_a_rectangle(turns):
    there = moved(raise_structure(make_design(["###", "###"])), Motion(turns))

    west, north, east, south = there.trays[0].bounds
    assert sorted([east - west, south - north]) == [710, 1060]
    assert Joint(0, 0, 0) in there.joints
