"""Pens: bounds against the geometry, and a recording that draws again."""

import pytest

from habitats.drawing.pen import Anchor, BoundsPen, RecordingPen, Scaled, corners_of_text, width_of
from habitats.drawing.styles import Letter, Style


def test_nothing_drawn_has_no_bounds():
    assert BoundsPen().box is None


def test_bounds_take_in_every_corner():
    pen = BoundsPen(ink=False)
    pen.line([(3, 4), (10, -2)], Style.THIN)
    pen.area([[(0, 0), (5, 0), (5, 8)]], Style.PAPER)

    assert pen.box == (0, -2, 10, 8)


def test_bounds_take_in_a_circle_and_half_a_line_weight():
    pen = BoundsPen()
    pen.circle((10, 10), 4, Style.JOINT)

    half = Style.JOINT.look.weight / 2
    assert pen.box == (6 - half, 6 - half, 14 + half, 14 + half)


def test_words_turned_upright_are_as_high_as_they_were_wide():
    level = corners_of_text((0, 0), "inside", Letter.LABEL, Anchor.START, 0)
    upright = corners_of_text((0, 0), "inside", Letter.LABEL, Anchor.START, -90)

    assert max(x for x, _y in level) == pytest.approx(width_of("inside", Letter.LABEL))
    assert min(y for _x, y in upright) == pytest.approx(-width_of("inside", Letter.LABEL))


def test_words_at_their_end_reach_to_the_left():
    corners = corners_of_text((100, 0), "abc", Letter.LABEL, Anchor.END, 0)

    assert max(x for x, _y in corners) == pytest.approx(100)


def test_a_scaled_pen_turns_millimetres_into_units_but_leaves_lettering():
    pen = RecordingPen()
    mm = Scaled(pen, 0.5)
    mm.line([(0, 0), (100, 40)], Style.INK)
    mm.circle((10, 10), 6, Style.JOINT)
    mm.text((20, 20), "N")

    line, circle, text = pen.marks
    assert line.points == ((0, 0), (50, 20))
    assert (circle.points, circle.radius) == (((5, 5),), 3)
    assert (text.points, text.style) == (((10, 10),), Letter.LABEL)


def test_a_recording_drawn_again_is_the_same():
    first, second = RecordingPen(), RecordingPen()
    first.line([(0, 0), (1, 1)], Style.SCORE)
    first.area([[(0, 0), (4, 0), (4, 4)], [(1, 1), (2, 1), (2, 2)]], Style.OFFCUT)
    first.circle((5, 5), 2, Style.TIE)
    first.text((1, 2), "down", Letter.NOTE, Anchor.END, -90)

    first.replay(second)

    assert second.marks == first.marks
