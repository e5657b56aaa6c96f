"""Ramps and panels at the bench: numbers of the worked value, and squares that can be counted."""

import math

import pytest

from builds.drawing.panels import PANEL_WIDTH, cut_ends, draw_bent_panel, draw_doorway_panel
from builds.drawing.ramps import describe_ramp, draw_ramp
from habitats.drawing.styles import Style


def words(marks):
    return [mark.words for mark in marks if mark.kind == "text"]


@pytest.fixture
def ramp(balcony):
    """Three panels of 355 mm over a rise of one: worked in the reference as 25.4°, 748 mm run."""
    return balcony.ramps[0]


def test_rise_run_length_and_slope_are_written(ramp, balcony, marks_of, lengths):
    written = words(marks_of(draw_ramp, ramp, balcony.design.panel, lengths))

    assert {"rise 355\xa0mm", "run 748\xa0mm", "length 828\xa0mm", "25.4°"} <= set(written)
    assert "slope 25.4 degrees" in describe_ramp(ramp, lengths)


def test_the_channel_is_drawn_at_the_slope_it_says(ramp, balcony, marks_of, lengths):
    marks = marks_of(draw_ramp, ramp, balcony.design.panel, lengths)
    outline = next(mark for mark in marks if mark.style is Style.PAPER)
    (x1, y1), (x2, y2) = outline.points[:2]

    assert math.degrees(math.atan2(y2 - y1, x2 - x1)) == pytest.approx(ramp.slope_deg)


def test_every_overlap_is_hatched_and_every_panel_numbered(ramp, balcony, marks_of, lengths):
    marks = marks_of(draw_ramp, ramp, balcony.design.panel, lengths)

    assert len([mark for mark in marks if mark.style is Style.OVERLAP]) == ramp.panels - 1
    assert {"1", "2", "3"} <= set(words(marks))


def test_the_opening_covers_the_squares_to_cut_out(ramp, balcony, marks_of, lengths):
    panel = balcony.design.panel
    marks = marks_of(draw_doorway_panel, ramp, panel, lengths)
    hole = next(mark for mark in marks if mark.style is Style.GONE)
    xs, ys = [x for x, _y in hole.points], [y for _x, y in hole.points]
    wide, high = ramp.doorway_squares

    # The picture of the whole panel is nine squares wide.
    assert (max(xs) - min(xs)) / (max(ys) - min(ys)) == pytest.approx(wide / high)
    assert (max(xs) + min(xs)) / 2 == pytest.approx(max(ys) / 2)


def test_the_cuts_lie_inside_the_opening_beside_the_wire_that_stays(
    ramp, balcony, marks_of, lengths
):
    marks = marks_of(draw_doorway_panel, ramp, balcony.design.panel, lengths)
    hole = next(mark for mark in marks if mark.style is Style.GONE)
    knife = next(mark for mark in marks if mark.style is Style.KNIFE)
    left, right = min(x for x, _y in hole.points), max(x for x, _y in hole.points)

    assert all(left < x < right for x, _y in knife.points)


def test_every_cut_end_is_marked_for_the_file(ramp, balcony):
    wide, high = ramp.doorway_squares

    # A wire that crosses the border of the opening leaves one end there: inner uprights at the
    # top, level wires (the lower edge among them) on both sides.
    assert len(set(cut_ends(ramp, balcony.design.panel))) == (wide - 1) + 2 * high


def test_bends_stand_between_sides_and_channel(ramp, balcony, marks_of, lengths):
    marks = marks_of(draw_bent_panel, ramp, balcony.design.panel, lengths)
    first, second = [m for m in marks if m.style is Style.BEND and m.kind == "line"][:2]

    assert first.points[0][0] == pytest.approx(PANEL_WIDTH * 3 / 9)
    assert second.points[0][0] == pytest.approx(PANEL_WIDTH * 6 / 9)
