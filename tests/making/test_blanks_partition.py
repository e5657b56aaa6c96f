"""How few rectangles a floor is cut into, against all partitions of small floors."""

from functools import cache
from itertools import product

import pytest

from builds.making.partition import partition
from builds.making.piece import Rect, Stretch
from builds.making.seams import place_seams
from builds.making.walls import edge_of
from habitats.structure.design import PanelSize, TrayRule
from habitats.structure.lattice import Cell, connected_pieces
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design

Cells = frozenset[tuple[int, int]]


def one_each(rect: Rect) -> tuple[int, ...]:
    return (1,)


@cache
def fewest_rectangles(cells: Cells) -> int:
    """By trying, for the first cell, every rectangle that starts there."""
    if not cells:
        return 0
    row, col = min(cells)
    best = len(cells)
    for height, width in product(range(1, 5), repeat=2):
        rectangle = frozenset(product(range(row, row + height), range(col, col + width)))
        if rectangle <= cells:
            best = min(best, 1 + fewest_rectangles(cells - rectangle))
    return best


def connected_footprints(rows: int, cols: int) -> list[Cells]:
    places = [Cell(*place) for place in product(range(rows), range(cols))]
    found = []
    for bits in product((False, True), repeat=len(places)):
        cells = frozenset(place for place, bit in zip(places, bits, strict=True) if bit)
        if cells and min(cells).row == 0 and len(connected_pieces(cells)) == 1:
            found.append(cells)
    return found


def plan_rows(cells: Cells, rows: int, cols: int) -> list[str]:
    return [
        "".join("#" if (row, col) in cells else "." for col in range(cols)) for row in range(rows)
    ]


def test_every_footprint_in_three_by_four_cells_is_cut_into_the_fewest_rectangles():
    for cells in connected_footprints(3, 4):
        design = make_design(plan_rows(cells, 3, 4), panel=PanelSize(300), tray=TrayRule(150, 0, 1))
        (tray,) = raise_structure(design).trays
        assert len(partition(edge_of(tray), one_each)) == fewest_rectangles(cells), cells


@pytest.mark.parametrize(
    ("kept_clear", "seams"),
    [
        ([], (500,)),
        ([Stretch(480, 530)], (480,)),
        ([Stretch(400, 530)], (530,)),
        ([Stretch(0, 590)], (590,)),
        ([Stretch(0, 610)], None),  # the first part may be 600 at most
        ([Stretch(410, 500), Stretch(500, 600)], (500,)),
    ],
)
def test_a_seam_lies_as_near_to_the_middle_as_what_is_kept_clear_allows(kept_clear, seams):
    assert place_seams(Stretch(0, 1000), (600, 600), 100, kept_clear) == seams


def test_a_seam_gives_way_so_that_the_next_can_be_placed():
    # Three parts of at most 400 in 1 000; a seam at 590 would leave the last 410 long.
    seams = place_seams(Stretch(0, 1000), (400, 400, 400), 100, [Stretch(590, 800)])

    assert seams == (400, 800)


def test_a_length_too_long_for_its_parts_is_not_cut():
    assert place_seams(Stretch(0, 1000), (300, 300, 300), 100, []) is None
