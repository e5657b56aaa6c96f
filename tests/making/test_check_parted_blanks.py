"""The checker of blanks refuses doorways, joins and strips of ramps, each broken in one way."""

from dataclasses import replace

from builds.making.blank import Blank, Line
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.broken_blanks import EXACT, faults_of, without
from tests.support.designs import make_design, ramp_from

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
