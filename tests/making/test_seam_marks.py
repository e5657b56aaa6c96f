"""Marks for tabs and laps, against what the joins say and what shapely finds of the outline."""

import pytest
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from builds.making.blanks import make_blanks
from builds.making.seam_marks import seam_marks
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design

JOINED = {
    "wide": ["######"] * 3,
    "an L": ["#####", "###..", "###.."],
    "a hole": ["####", "#..#", "####"],
}


def as_line(line):
    return LineString([(line.x1, line.y1), (line.x2, line.y2)])


def blanks_of(plan):
    return make_blanks(raise_structure(make_design(plan)))


def test_a_tray_in_one_piece_has_no_marks():
    assert [seam_marks(one) for one in blanks_of(["##", "##"]).blanks] == [()]


@pytest.mark.parametrize("plan", JOINED.values(), ids=JOINED)
def test_each_tab_is_marked_along_its_seam_for_its_whole_length(plan):
    made = blanks_of(plan)

    assert made.joins
    for blank in made.blanks:
        base = blank.base
        x, y = base.x1 - base.offset_x, base.y1 - base.offset_y
        marks = unary_union(
            [LineString([(a + x, b + y), (c + x, d + y)]) for a, b, c, d in seam_marks(blank)]
        )
        for join in made.joins:
            if join.carrier == blank.code:
                assert marks.intersection(as_line(join)).length == join.tab_mm


@pytest.mark.parametrize("plan", JOINED.values(), ids=JOINED)
def test_marks_run_through_plastic_and_never_along_a_slit_or_a_score(plan):
    for blank in blanks_of(plan).blanks:
        marks = unary_union([as_line(one) for one in seam_marks(blank)])
        cut = unary_union([as_line(one) for one in (*blank.slits, *blank.scores)])

        assert marks.difference(Polygon(blank.outline).buffer(-0.4)).length < 4 * len(blank.outline)
        assert marks.intersection(Polygon(blank.outline).exterior).length == 0
        assert marks.intersection(cut).length == 0


def test_a_lap_past_the_end_of_a_wall_is_marked_on_the_wall():
    """Two pieces: the carrier's two walls at right angles to the seam lap the other's."""
    made = blanks_of(["######"] * 3)
    carriers = {join.carrier for join in made.joins}

    for blank in made.blanks:
        base = blank.base
        outside = [
            one
            for one in seam_marks(blank)
            if one.x2 <= base.offset_x
            or one.y2 <= base.offset_y
            or one.x1 >= base.offset_x + base.x2 - base.x1
            or one.y1 >= base.offset_y + base.y2 - base.y1
        ]
        assert bool(outside) == (blank.code in carriers)
