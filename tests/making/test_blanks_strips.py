"""Strips of ramps. The worked value (200 x 830 mm) is common practice in the trade, no source."""

from dataclasses import replace

from builds.making.blank import Flute, SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.designs import make_design, ramp_from


def ramp_of_three_panels() -> Structure:
    return raise_structure(
        make_design(["####"] * 2, upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),))
    )


def with_long_strip(width: int = 200, length: int = 3000) -> Structure:
    """The same, with a strip of any size."""
    structure = ramp_of_three_panels()
    return replace(structure, ramps=(replace(structure.ramps[0], strip=(width, length)),))


def test_the_strip_of_three_panels_of_355_is_200_by_830_scored_50_from_each_long_edge():
    strip = make_blanks(ramp_of_three_panels()).blanks[-1]

    assert (strip.name, strip.width_mm, strip.height_mm) == ("Ramp 1 strip", 200, 830)
    assert strip.scores == ((50, 0, 50, 830), (150, 0, 150, 830))


def test_two_holes_for_ties_are_near_the_top_between_the_scores():
    strip = make_blanks(ramp_of_three_panels()).blanks[-1]

    assert len(strip.holes) == 2
    assert all(50 < hole.x < 150 and hole.y < 50 for hole in strip.holes)


def test_the_flutes_of_a_strip_run_along_it_and_it_is_not_turned():
    strip = make_blanks(ramp_of_three_panels()).blanks[-1]

    assert strip.flute is Flute.HEIGHT
    assert not strip.turnable


def test_a_strip_longer_than_the_sheet_is_joined_with_the_tab_under_the_upper_piece():
    structure = with_long_strip()

    blanks = make_blanks(structure)

    top, foot = blanks.blanks[-2:]
    (join,) = [join for join in blanks.joins if join.ramp == 0]
    assert (top.name, foot.name) == ("Ramp 1 strip, piece A (top)", "Ramp 1 strip, piece B (foot)")
    assert join.carrier == foot.code
    assert top.height_mm + foot.height_mm == 3000 + 50
    assert top.holes
    assert not foot.holes
    assert check_blanks(structure, blanks, STOCK_SHEET) == []


def test_the_tab_of_a_strip_keeps_clear_of_its_scores():
    foot = make_blanks(with_long_strip()).blanks[-1]

    tab = [x for x, y in foot.outline if y == 0]
    assert (min(tab), max(tab)) == (50 + 10, 150 - 10)


def test_a_strip_wider_than_the_sheet_is_told_in_a_sentence():
    blanks = make_blanks(with_long_strip(width=800), SheetSize(700, 700))

    assert any(
        one.sentence.startswith(
            "Ramp 1 strip cannot be made from a sheet of 700 mm × 700 mm: it is 800"
        )
        for one in blanks.unmade
    )
