"""Blanks of simple trays: common practice in the trade (no source), and arithmetic from it."""

import pytest

from builds.making.blank import Blank, Flute, SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from habitats.structure.design import PanelSize, TrayRule
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, ramp_from

# 4 x 8 ft; the metric trade size is 1220 x 2440. From memory, not checked.
FOUR_BY_EIGHT_FEET = SheetSize(1219, 2438)


def simple(rows: int, cols: int, size: int = 355, clearance: int = 0) -> tuple[Blank, ...]:
    design = make_design(
        ["#" * cols] * rows, panel=PanelSize(size), tray=TrayRule(150, clearance, 1)
    )
    return make_blanks(raise_structure(design), FOUR_BY_EIGHT_FEET).blanks


def test_two_by_four_of_355_is_cut_from_1010_by_1720():
    (blank,) = simple(4, 2)

    assert (blank.width_mm, blank.height_mm) == (1010, 1720)
    assert blank.outline == ((0, 0), (1010, 0), (1010, 1720), (0, 1720))


def test_two_by_four_of_350_with_7_mm_clearance_has_a_base_of_686_by_1386():
    (blank,) = simple(4, 2, size=350, clearance=7)

    assert (blank.base.x2 - blank.base.x1, blank.base.y2 - blank.base.y1) == (686, 1386)
    assert (blank.width_mm, blank.height_mm) == (986, 1686)


@pytest.mark.parametrize("size", [355, 356])  # 355.6 mm lies between
def test_two_by_six_of_355_point_6_fits_one_sheet(size):
    (blank,) = simple(6, 2, size)

    assert FOUR_BY_EIGHT_FEET.takes(blank.width_mm, blank.height_mm, blank.flute)


@pytest.mark.parametrize("size", [355, 356])
def test_three_by_six_of_355_point_6_has_to_be_joined(size):
    blanks = simple(6, 3, size)

    assert len(blanks) == 2
    assert all(FOUR_BY_EIGHT_FEET.takes(b.width_mm, b.height_mm, b.flute) for b in blanks)


def test_four_slits_one_wall_deep_come_from_the_short_ends():
    (blank,) = simple(4, 2)

    assert blank.slits == (
        (150, 0, 150, 150),
        (150, 1570, 150, 1720),
        (860, 0, 860, 150),
        (860, 1570, 860, 1720),
    )


def test_the_other_way_round_the_slits_come_from_the_west_and_east():
    (blank,) = simple(2, 4)

    assert blank.slits == (
        (0, 150, 150, 150),
        (0, 860, 150, 860),
        (1570, 150, 1720, 150),
        (1570, 860, 1720, 860),
    )


def test_all_other_lines_are_scores_and_those_in_one_line_are_one():
    (blank,) = simple(4, 2)

    assert blank.scores == (
        (0, 150, 1010, 150),
        (0, 1570, 1010, 1570),
        (150, 150, 150, 1570),
        (860, 150, 860, 1570),
    )


def test_a_doorway_flap_has_two_slits_down_the_wall_and_a_score_of_its_own():
    design = make_design(["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),))
    blank = make_blanks(raise_structure(design)).blanks[1]

    # 3 of 9 squares of 355 mm are 118 mm, in the middle of the northern cell: 118 to 236.
    doorway = {(0, 150 + 118, 150, 150 + 118), (0, 150 + 236, 150, 150 + 236)}
    assert doorway <= set(blank.slits)
    assert len(blank.slits) == 4 + 2
    assert (150, 150 + 118, 150, 150 + 236) in blank.scores


def test_a_corner_flap_ends_before_a_doorway():
    design = make_design(["####", "####"], upper=["..##", "...."], ramps=(ramp_from(0, 2, Side.W),))
    blank = make_blanks(raise_structure(design)).blanks[1]

    # The doorway (118 to 236) is in the short wall of 350 mm: of a flap's 150 mm there is room
    # for 118 - 10 at one corner and 350 - 236 - 10 at the other.
    assert (150 - 108, 150, 150, 150) in blank.slits
    assert (150 - 104, 500, 150, 500) in blank.slits


def test_flutes_run_along_the_longer_side():
    assert simple(4, 2)[0].flute is Flute.HEIGHT
    assert simple(2, 4)[0].flute is Flute.WIDTH


def test_tape_holds_four_corner_flaps_and_a_tenth_more():
    design = make_design(["##"] * 4, tray=TrayRule(150, 0, 1))

    blanks = make_blanks(raise_structure(design), STOCK_SHEET)

    # 4 x 150 mm x 1.1
    assert blanks.tape_mm == 660
