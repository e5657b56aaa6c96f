"""The checker of blanks refuses blanks that are broken in one way each."""

from dataclasses import replace

from builds.making.blank import Blank, BlankSet, Line, SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from builds.making.unmade import Unmade, WhyUnmade
from habitats.structure.design import TrayRule
from habitats.structure.structure import raise_structure
from tests.support.broken_blanks import faults_of, moved, without
from tests.support.designs import make_design


def test_a_tray_one_millimetre_short_is_refused(simple):
    # Rounded down to 3 mm, 710 x 1420 is 708 x 1419.
    smaller = raise_structure(make_design(["##"] * 4, tray=TrayRule(150, 0, 3)))

    said = check_blanks(simple, make_blanks(smaller), STOCK_SHEET)

    assert "Ground tray: floor from 0, 1419 to 708, 1420 is covered 0 times instead of 1" in said


def test_a_base_one_millimetre_off_its_place_is_refused(simple):
    def shift(blank: Blank) -> Blank:
        return replace(blank, base=replace(blank.base, x1=1, x2=711))

    assert "is covered 1 times instead of 0" in faults_of(simple, 0, shift)


def test_a_wall_one_millimetre_low_is_refused(simple):
    def lower_west(blank: Blank) -> Blank:
        # A bite of 1 mm along the west edge, corners apart.
        bite = ((0, 1500), (1, 1500), (1, 200), (0, 200))
        return replace(blank, outline=((0, 0), (1010, 0), (1010, 1720), (0, 1720), *bite))

    assert "the wall is not 150 mm high" in faults_of(simple, 0, lower_west)


def test_a_millimetre_of_missing_wall_is_refused(simple):
    def notch(blank: Blank) -> Blank:
        bite = ((0, 801), (150, 801), (150, 800), (0, 800))
        return replace(
            blank,
            outline=((0, 0), (1010, 0), (1010, 1720), (0, 1720), *bite),
            scores=(
                *without(blank.scores, (150, 150, 150, 1570)),
                Line(150, 150, 150, 800),
                Line(150, 801, 150, 1570),
            ),
        )

    said = faults_of(simple, 0, notch)
    assert "0 walls instead of 1 on side W at 0 from 650 to 651" in said


def test_a_slit_so_long_that_a_wall_falls_off_is_refused(simple):
    def slit_whole_wall(blank: Blank) -> Blank:
        fold = (150, 150, 150, 1570)
        slits = (*blank.slits, Line(*fold), Line(0, 150, 150, 150), Line(0, 1570, 150, 1570))
        scores = without(without(blank.scores, fold), (0, 150, 1010, 150))
        scores = without(scores, (0, 1570, 1010, 1570))
        return replace(
            blank,
            slits=slits,
            scores=(*scores, Line(150, 150, 1010, 150), Line(150, 1570, 1010, 1570)),
        )

    assert "a part falls off when the slits are cut" in faults_of(simple, 0, slit_whole_wall)


def test_a_slit_one_millimetre_too_long_is_refused(simple):
    def lengthen(blank: Blank) -> Blank:
        return replace(
            blank, slits=(*without(blank.slits, (150, 0, 150, 150)), Line(150, 0, 150, 151))
        )

    assert "a score runs along a slit" in faults_of(simple, 0, lengthen)


def test_a_slit_one_millimetre_too_short_is_refused(simple):
    def shorten(blank: Blank) -> Blank:
        return replace(
            blank, slits=(*without(blank.slits, (150, 0, 150, 150)), Line(150, 0, 150, 149))
        )

    assert "Ground tray" in faults_of(simple, 0, shorten)


def test_a_missing_score_leaves_a_wall_lying_flat(simple):
    def forget(blank: Blank) -> Blank:
        return replace(blank, scores=without(blank.scores, (150, 150, 150, 1570)))

    assert faults_of(simple, 0, forget)


def test_a_score_across_the_floor_is_refused(simple):
    def fold_floor(blank: Blank) -> Blank:
        return replace(blank, scores=(*blank.scores, Line(150, 700, 860, 700)))

    assert "the base is not one flat panel" in faults_of(simple, 0, fold_floor)


def test_a_score_across_a_wall_is_refused(simple):
    def fold_wall(blank: Blank) -> Blank:
        return replace(blank, scores=(*blank.scores, Line(0, 700, 150, 700)))

    assert faults_of(simple, 0, fold_wall)


def test_a_score_past_the_edge_is_refused(simple):
    def overrun(blank: Blank) -> Blank:
        return replace(blank, scores=(*blank.scores, Line(1010, 700, 1020, 700)))

    assert "a score runs where there is no plastic" in faults_of(simple, 0, overrun)


def test_a_slit_that_parts_nothing_is_refused(simple):
    def cut_floor(blank: Blank) -> Blank:
        return replace(blank, slits=(*blank.slits, Line(300, 700, 400, 700)))

    assert "a slit parts nothing" in faults_of(simple, 0, cut_floor)


def test_a_corner_without_its_flap_is_refused(simple):
    def cut_corner(blank: Blank) -> Blank:
        return replace(
            blank,
            outline=((150, 0), (1010, 0), (1010, 1720), (0, 1720), (0, 150), (150, 150)),
            slits=without(blank.slits, (150, 0, 150, 150)),
            scores=(*without(blank.scores, (0, 150, 1010, 150)), Line(150, 150, 1010, 150)),
        )

    assert "no flap holds the corner at 0, 0" in faults_of(simple, 0, cut_corner)


def test_a_rectangle_larger_than_the_outline_is_refused(simple):
    def widen(blank: Blank) -> Blank:
        return replace(blank, width_mm=1011)

    assert "the outline does not fill 1011 × 1720 mm" in faults_of(simple, 0, widen)


def test_an_outline_that_crosses_itself_is_refused(simple):
    def cross(blank: Blank) -> Blank:
        loop = ((0, 1720), (0, 800), (1100, 800), (1100, 700), (0, 700))
        return replace(blank, outline=((0, 0), (1010, 0), (1010, 1720), *loop))

    assert "the outline meets itself" in faults_of(simple, 0, cross)


def test_a_slanting_outline_is_refused(simple):
    def slant(blank: Blank) -> Blank:
        return moved(blank, c0=(5, 1))

    assert "neither level nor upright" in faults_of(simple, 0, slant)


def test_a_blank_larger_than_the_sheet_is_refused(simple):
    blanks = make_blanks(simple)

    said = check_blanks(simple, blanks, SheetSize(1009, 2440))

    assert said == [
        "Ground tray: 1010 × 1720 mm, flutes along its height, does not fit a sheet of "
        "1009 × 2440 mm"
    ]


def test_a_missing_blank_is_refused(simple):
    blanks = replace(make_blanks(simple), blanks=())

    assert check_blanks(simple, blanks, STOCK_SHEET)


def test_a_blank_told_as_unmade_is_not_missed(simple):
    blanks = BlankSet((), (), 0, (Unmade("ground-tray", WhyUnmade.OTHER, 1, 1),))

    assert check_blanks(simple, blanks, STOCK_SHEET) == []
