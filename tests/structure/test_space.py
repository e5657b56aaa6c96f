"""Floor, heights and straight runs, against shapely where there are areas."""

import pytest
from hypothesis import given
from shapely.geometry import Polygon, box

from habitats.structure.lattice import Cell
from habitats.structure.space import (
    as_cm2,
    clear_height_mm,
    floor_by_cell,
    floor_of,
    longest_run_mm,
    share_at_least,
    shortest_side_mm,
)
from habitats.structure.structure import raise_structure
from tests.support.designs import designs


@pytest.fixture
def raised(make_document, design_from):
    def make(ground, upper=None, tiers=1, **changes):
        document = make_document(ground, upper=upper, **changes)
        document["levels"][0]["wall_panels"] = tiers
        return raise_structure(design_from(document))

    return make


def test_ground_and_upper_levels_are_told_apart(raised):
    floor = floor_of(raised(["####", "####"], upper=["...#", "...#"]))

    assert floor.ground_mm2 == 1420 * 710
    assert floor.upper_mm2 == 350 * 710


def test_areas_for_people_are_whole_square_centimetres():
    # Arithmetic: 686 x 1386 mm = 950 796 mm2.
    assert as_cm2(686 * 1386) == 9508


@given(designs())
def test_shares_of_cells_agree_with_shapely(design):
    structure = raise_structure(design)
    size = design.panel.size_mm

    for tray in structure.trays:
        outer, *holes = [[(wall.x1, wall.y1) for wall in ring] for ring in tray.rings]
        floor = Polygon(outer, holes)
        for (row, col), area in floor_by_cell(tray, size).items():
            square = box(col * size, row * size, (col + 1) * size, (row + 1) * size)
            assert area == floor.intersection(square).area


def test_under_an_upper_level_the_height_is_one_panel(raised):
    structure = raised(["####", "####"], upper=["...#", "...#"], tiers=2)

    assert clear_height_mm(structure, 0, Cell(0, 3)) == 355
    assert clear_height_mm(structure, 0, Cell(0, 0)) is None


def test_a_lid_closes_the_height(raised):
    structure = raised(["##", "##"], tiers=2, lid=True)

    assert clear_height_mm(structure, 0, Cell(0, 0)) == 710


def test_share_of_the_floor_at_a_height_counts_what_lies_under_upper_levels_out(raised):
    # Four columns of 355 mm: the last one, 355 of 1420 mm, is only one panel high.
    structure = raised(["####", "####"], upper=["...#", "...#"], tiers=2)

    assert share_at_least(structure, 0, 356) == 0.75
    assert share_at_least(structure, 0, 355) == 1


def test_longest_run_and_narrowest_part_of_an_l(raised):
    structure = raised(["####", "##..", "##.."])

    assert longest_run_mm(structure) == 1420
    assert shortest_side_mm(structure) == 350


def test_a_divider_ends_a_run(raised):
    dividers = [{"z": 0, "row": row, "col": 1, "side": "E"} for row in (0, 1)]

    structure = raised(["####", "####"], dividers=dividers)

    assert longest_run_mm(structure) == 710
