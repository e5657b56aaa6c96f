"""The checker of blanks refuses blanks that are broken in one way each."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from builds.making.blank import Blank, BlankSet, Line, SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from builds.making.unmade import Unmade, WhyUnmade
from habitats.structure.design import TrayRule
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.designs import make_design, ramp_from

EXACT = TrayRule(150, 0, 1)


@pytest.fixture(scope="module")
def simple() -> Structure:
    """A ground of 2 x 4: base 710 x 1420, at 150, 150 on a blank of 1010 x 1720."""
    return raise_structure(make_design(["##"] * 4, tray=EXACT))


@pytest.fixture(scope="module")
def joined() -> Structure:
    """A ground of 6 x 3 in two pieces: A carries the tab (see the test that says so)."""
    return raise_structure(make_design(["######"] * 3, tray=EXACT))


@pytest.fixture(scope="module")
def with_doorway() -> Structure:
    """An upper level of 1 x 2 with a doorway in its west wall, from 118 to 236 mm."""
    return raise_structure(
        make_design(
            ["####", "####"],
            upper=["...#", "...#"],
            tray=EXACT,
            ramps=(ramp_from(0, 3, Side.W),),
        )
    )


def faults_of(
    structure: Structure,
    index: int,
    change: Callable[[Blank], Blank],
    sheet: SheetSize = STOCK_SHEET,
) -> str:
    """What the checker says when one blank is changed; all was well before."""
    blanks = make_blanks(structure)
    assert check_blanks(structure, blanks, sheet) == []
    return with_blanks(structure, blanks, index, change)


def with_blanks(
    structure: Structure, blanks: BlankSet, index: int, change: Callable[[Blank], Blank]
) -> str:
    pieces = list(blanks.blanks)
    pieces[index] = change(pieces[index])
    changed = replace(blanks, blanks=tuple(pieces))
    return "\n".join(check_blanks(structure, changed, STOCK_SHEET))


def moved(blank: Blank, **points: tuple[int, int]) -> Blank:
    """The blank with corners of its outline moved: ``moved(blank, c3=(5, 0))``."""
    outline = list(blank.outline)
    for name, point in points.items():
        outline[int(name[1:])] = point
    return replace(blank, outline=tuple(outline))


def without(lines: tuple[Line, ...], line: tuple[int, ...]) -> tuple[Line, ...]:
    assert line in lines
    return tuple(one for one in lines if one != line)


# --- One blank ---


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


# --- A doorway ---


def test_a_doorway_without_its_slits_is_refused(with_doorway):
    def forget(blank: Blank) -> Blank:
        slits = without(without(blank.slits, (0, 268, 150, 268)), (0, 386, 150, 386))
        return replace(blank, slits=slits)

    assert "has 0 flaps instead of 1" in faults_of(with_doorway, 1, forget)


def test_a_doorway_one_millimetre_too_narrow_is_refused(with_doorway):
    def narrow(blank: Blank) -> Blank:
        slits = (*without(blank.slits, (0, 386, 150, 386)), Line(0, 385, 150, 385))
        return replace(blank, slits=slits)

    assert "has 0 flaps instead of 1" in faults_of(with_doorway, 1, narrow)


def test_a_doorway_flap_without_a_score_of_its_own_is_refused(with_doorway):
    def merge(blank: Blank) -> Blank:
        scores = without(without(blank.scores, (150, 150, 150, 268)), (150, 268, 150, 386))
        return replace(blank, scores=(*scores, Line(150, 150, 150, 386)))

    assert "has 0 flaps instead of 1" in faults_of(with_doorway, 1, merge)


def test_a_doorway_cut_away_is_refused(with_doorway):
    def cut_away(blank: Blank) -> Blank:
        bite = ((0, 386), (150, 386), (150, 268), (0, 268))
        slits = without(without(blank.slits, (0, 268, 150, 268)), (0, 386, 150, 386))
        return replace(
            blank,
            outline=(*blank.outline, *bite),
            slits=slits,
            scores=without(blank.scores, (150, 268, 150, 386)),
        )

    assert "has 0 flaps instead of 1" in faults_of(with_doorway, 1, cut_away)


def test_a_flap_over_a_doorway_is_refused():
    design = make_design(
        ["####", "####"], upper=["..##", "...."], tray=EXACT, ramps=(ramp_from(0, 2, Side.W),)
    )

    def keep_whole_corners(blank: Blank) -> Blank:
        width, height = blank.width_mm, blank.height_mm
        slits = [
            line._replace(x1=0) if line.x2 == 150 and line.y1 in (150, height - 150) else line
            for line in blank.slits
        ]
        return replace(
            blank, outline=((0, 0), (width, 0), (width, height), (0, height)), slits=tuple(slits)
        )

    assert "a flap covers a doorway" in faults_of(raise_structure(design), 1, keep_whole_corners)


# --- Joins. Piece A is the northern half; on its blank the base ends 50 mm above the south edge ---


def test_the_first_piece_carries_the_tab_and_the_laps(joined):
    blank, other = make_blanks(joined).blanks

    south = blank.base.offset_y + blank.base.y2 - blank.base.y1
    assert blank.height_mm - south == 50
    assert other.base.offset_y == 0


def test_a_missing_piece_leaves_a_hole_in_the_cover(joined):
    blanks = make_blanks(joined)

    said = check_blanks(joined, replace(blanks, blanks=blanks.blanks[:1]), STOCK_SHEET)

    assert any("is covered 0 times instead of 1" in fault for fault in said)


def test_a_piece_cut_twice_covers_floor_twice(joined):
    blanks = make_blanks(joined)
    again = replace(blanks.blanks[1], code="ground-tray-piece-c-south")

    said = check_blanks(joined, replace(blanks, blanks=(*blanks.blanks, again)), STOCK_SHEET)

    assert any("is covered 2 times instead of 1" in fault for fault in said)


def test_a_wall_on_a_join_is_refused(joined):
    def fold_tab_up(blank: Blank) -> Blank:
        return replace(blank, scores=(*blank.scores, Line(160, 0, blank.width_mm - 160, 0)))

    def stand_wall(blank: Blank) -> Blank:
        # The other piece: 150 mm of wall added north of its base, and scored there.
        return _with_wall_north(blank)

    assert "walls instead of 0" in faults_of(joined, 1, stand_wall)
    assert faults_of(joined, 1, fold_tab_up)


def _with_wall_north(blank: Blank) -> Blank:
    def down(line: Line) -> Line:
        return Line(line.x1, line.y1 + 150, line.x2, line.y2 + 150)

    width = blank.width_mm
    body = tuple((x, y + 150) for x, y in blank.outline)
    assert body[:2] == ((0, 150), (width, 150))
    return replace(
        blank,
        height_mm=blank.height_mm + 150,
        outline=((0, 150), (150, 150), (150, 0), (width - 150, 0), (width - 150, 150), *body[1:]),
        slits=tuple(map(down, blank.slits)),
        scores=(*map(down, blank.scores), Line(150, 150, width - 150, 150)),
        base=replace(blank.base, offset_y=blank.base.offset_y + 150),
    )


def test_a_tab_up_to_the_fold_is_refused(joined):
    def widen_tab(blank: Blank) -> Blank:
        xs = {
            x for x, y in blank.outline if y == blank.height_mm and 150 < x < blank.width_mm - 150
        }
        move = {min(xs): min(xs) - 9, max(xs): max(xs) + 9}
        return replace(blank, outline=tuple((move.get(x, x), y) for x, y in blank.outline))

    assert "a tab comes within 10 mm of a fold" in faults_of(joined, 0, widen_tab)


def test_a_lap_down_in_the_fold_is_refused(joined):
    def deepen_lap(blank: Blank) -> Blank:
        return replace(blank, outline=tuple((141 if x == 140 else x, y) for x, y in blank.outline))

    assert "a lap is above the wall or in its fold" in faults_of(joined, 0, deepen_lap)


def test_a_tab_cut_off_is_refused(joined):
    def cut_tab(blank: Blank) -> Blank:
        south = blank.base.offset_y + blank.base.y2 - blank.base.y1
        inner = [
            (x, y)
            for x, y in blank.outline
            if not (y == blank.height_mm and 150 < x < blank.width_mm - 150)
            and not (y == south and x in (160, blank.width_mm - 160))
        ]
        return replace(blank, outline=tuple(inner))

    assert "has 0 mm of tab instead of 2110" in faults_of(joined, 0, cut_tab)


def test_a_join_that_is_not_told_is_refused(joined):
    blanks = replace(make_blanks(joined), joins=())

    said = check_blanks(joined, blanks, STOCK_SHEET)

    assert any("is not told as it is" in fault for fault in said)


# --- A ramp's strip ---


def test_a_strip_ten_millimetres_short_is_refused(with_doorway):
    def shorten(blank: Blank) -> Blank:
        length = blank.height_mm - 10
        return replace(
            blank,
            height_mm=length,
            outline=((0, 0), (200, 0), (200, length), (0, length)),
            scores=(Line(50, 0, 50, length), Line(150, 0, 150, length)),
        )

    assert "820 mm long instead of 830 mm" in faults_of(with_doorway, 2, shorten)


def test_a_strip_scored_in_the_wrong_place_is_refused(with_doorway):
    def misplace(blank: Blank) -> Blank:
        return replace(blank, scores=(Line(49, 0, 49, 830), Line(150, 0, 150, 830)))

    assert "not scored 50 mm from each long edge" in faults_of(with_doorway, 2, misplace)


def test_a_strip_without_holes_is_refused(with_doorway):
    def forget(blank: Blank) -> Blank:
        return replace(blank, holes=())

    assert "not two holes" in faults_of(with_doorway, 2, forget)
