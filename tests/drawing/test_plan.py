"""Plans: every wall, joint and measure of the level is on paper, to scale."""

import pytest

from builds.drawing.footprint import draw_footprint, footprint_picture
from builds.drawing.kinds import KINDS
from builds.drawing.plan import describe_plan, draw_plan
from builds.drawing.plan_legend import SAMPLES
from habitats.drawing.pen import BoundsPen, RecordingPen, Scaled
from habitats.drawing.styles import Style
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design


def of_style(marks, style):
    return [mark for mark in marks if mark.style is style]


def words(marks):
    return [mark.words for mark in marks if mark.kind == "text"]


def test_each_wall_of_the_level_is_one_heavy_line(balcony, marks_of, lengths):
    marks = marks_of(draw_plan, balcony, 0, lengths)

    # 2 by 4 cells: 12 edges.
    assert len(of_style(marks, Style.HEAVY)) == 12


def test_joints_are_those_of_the_level_alone(balcony, marks_of, lengths):
    ground = marks_of(draw_plan, balcony, 0, lengths)
    upper = marks_of(draw_plan, balcony, 1, lengths)

    # Twelve along the outside of 2 by 4; six round 2 by 1.
    assert len([m for m in ground if m.kind == "circle"]) == 12
    assert len([m for m in upper if m.kind == "circle"]) == 6


def test_walls_are_drawn_to_one_scale(balcony, marks_of, lengths):
    marks = of_style(marks_of(draw_plan, balcony, 0, lengths), Style.HEAVY)
    xs = [x for mark in marks for x, _y in mark.points]
    ys = [y for mark in marks for _x, y in mark.points]

    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(2)


def test_overall_and_inside_measures_are_written(balcony, marks_of, lengths):
    written = words(marks_of(draw_plan, balcony, 0, lengths))

    # 4 panels of 355 mm; inside rounded down to 10 mm (the design file's rule).
    assert lengths(1420) in written
    assert f"inside {lengths(1420)}" in written
    assert f"inside {lengths(710)}" in written


def test_a_ramp_says_which_way_is_down(balcony, marks_of, lengths):
    assert "down" in words(marks_of(draw_plan, balcony, 0, lengths))
    assert "down" not in words(marks_of(draw_plan, balcony, 1, lengths))
    assert "west" in describe_plan(balcony, 0, lengths)


def test_guards_are_drawn_on_the_level_they_guard(balcony, marks_of, lengths):
    marks = marks_of(draw_plan, balcony, 0, lengths)

    assert len(of_style(marks, Style.GUARD)) == len(balcony.guards) == 2


def test_a_doorway_is_a_gap_in_the_upper_levels_wall(balcony, marks_of, lengths):
    assert len(of_style(marks_of(draw_plan, balcony, 1, lengths), Style.GAP)) == 1
    assert not of_style(marks_of(draw_plan, balcony, 0, lengths), Style.GAP)


def test_a_hole_in_the_floor_is_walled_and_not_filled(ring, marks_of, lengths):
    marks = marks_of(draw_plan, ring, 0, lengths)

    assert len(of_style(marks, Style.HEAVY)) == 14 + 6
    (inside,) = of_style(marks, Style.INSIDE)[:1]
    assert len(inside.rings) == 2


def test_a_level_that_is_not_there_is_refused(balcony, lengths):
    with pytest.raises(IndexError):
        draw_plan(RecordingPen(), balcony, 2, lengths)


def test_footprints_are_drawn_to_the_scale_asked_for():
    for plan, width, height in ((["####"], 4, 1), (["##", "##"], 2, 2), (["###", "#.."], 3, 2)):
        structure = raise_structure(make_design(plan))
        bounds = BoundsPen(ink=False)
        draw_footprint(Scaled(bounds, 1 / 20), structure)

        assert bounds.box == pytest.approx((0, 0, width * 355 / 20, height * 355 / 20))


def test_a_footprint_stays_small(balcony):
    assert len(footprint_picture(balcony)) < 3000


def test_every_sign_of_a_plan_is_in_its_legend():
    signs = {sign for kind in KINDS.values() for sign in (kind.on_floor, kind.on_wall) if sign}

    assert signs == SAMPLES.keys()
