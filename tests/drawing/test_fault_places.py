"""The floor to tap on: drawn where it is, so that a tap is millimetres, and marked in words too."""

import re

from hypothesis import given

from habitats.drawing.fault_places import FINEST_MM, WIDEST, Marked, floor_drawing
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design


def box_of(svg):
    return [float(one) for one in re.search(r'viewBox="([^"]*)"', svg)[1].split()]


@given(designs())
def test_a_level_fits_a_phone_and_its_coordinates_begin_at_the_lattice(design):
    structure = raise_structure(design)
    size = design.panel.size_mm
    for index, level in enumerate(design.levels):
        drawn = floor_drawing(structure, index, (), title="Floor", description="")
        left, top, width, height = box_of(drawn.svg)
        lowest = (max(cell.row for cell in level.cells) + 1) * size / drawn.mm_per_unit
        west = min(cell.col for cell in level.cells) * size / drawn.mm_per_unit

        assert drawn.mm_per_unit >= FINEST_MM
        assert max(width, height) <= WIDEST + 40
        assert abs(top + height - lowest) < 10
        assert abs(left - west) < 10


def test_a_mark_is_told_in_words_and_drawn_as_a_cross():
    structure = raise_structure(make_design())
    plain = floor_drawing(structure, 0, (), title="Floor", description="")
    marked = floor_drawing(structure, 0, [Marked(500, 300)], title="Here", description="north part")

    assert "<title>Here</title><desc>north part</desc>" in marked.svg
    assert "s-warn" in marked.svg
    assert "s-warn" not in plain.svg


def test_the_floor_has_one_north_mark_beside_it():
    drawn = floor_drawing(raise_structure(make_design()), 0, (), title="Floor", description="")

    assert drawn.svg.count(">N</text>") == 1
