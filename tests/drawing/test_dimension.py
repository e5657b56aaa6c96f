"""Dimensions: written once, right way up, never on top of one another."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.drawing.dimension import chain, dimension, running, scale_bar
from habitats.drawing.pen import RecordingPen, corners_of_text
from habitats.drawing.styles import Letter, Style


def texts(marks):
    return [mark for mark in marks if mark.kind == "text"]


def test_a_dimension_lies_on_the_left_of_the_way_walked(marks_of):
    marks = marks_of(dimension, (0, 0), (100, 0), 20, "355 mm")

    line = next(mark for mark in marks if mark.points == ((0, -20), (100, -20)))
    assert line.style is Style.DIMENSION


def test_words_are_written_to_be_read_from_below_or_from_the_right(marks_of):
    for start, end in (((0, 0), (90, 0)), ((90, 0), (0, 0)), ((0, 90), (0, 0)), ((0, 0), (0, 90))):
        (text,) = texts(marks_of(dimension, start, end, 20, "355 mm"))

        assert text.turn in (0, -90)


def test_words_too_wide_for_their_stretch_are_written_across_it(marks_of):
    (text,) = texts(marks_of(dimension, (0, 0), (20, 0), 20, "1 420 mm"))

    assert text.turn == -90


def test_a_chain_has_one_figure_a_stretch(marks_of):
    marks = marks_of(chain, [(0, 0), (50, 0), (100, 0)], 20, ["350 mm", "350 mm"])

    assert [mark.words for mark in texts(marks)] == ["350 mm", "350 mm"]


@given(st.lists(st.integers(0, 400), min_size=1, max_size=14, unique=True))
def test_running_figures_never_touch_and_keep_their_order(places):
    pen = RecordingPen()
    stops = [(float(at), f"{at} mm") for at in sorted(places)]
    running(pen, (0, 0), (1, 0), stops, 10)

    columns = []
    for mark in texts(pen.marks):
        corners = corners_of_text(mark.points[0], mark.words, Letter.FIGURE, mark.anchor, mark.turn)
        columns.append((min(x for x, _y in corners), max(x for x, _y in corners)))
    assert [mark.words for mark in texts(pen.marks)] == [words for _at, words in stops]
    assert all(a[1] <= b[0] + 0.2 for a, b in pairwise(columns))


def test_running_strokes_start_where_the_edge_is(marks_of):
    marks = marks_of(running, (0, 0), (0, 1), [(0.0, "0"), (30.0, "30"), (33.0, "33")], -10)

    discs = [mark.points[0] for mark in marks if mark.kind == "circle"]
    assert [y for _x, y in discs] == [0, 30, 33]


@pytest.mark.parametrize("scale", [0.05, 0.24, 0.8])
def test_a_scale_bar_is_as_long_as_it_says(marks_of, scale):
    marks = marks_of(scale_bar, (0, 0), scale, str)

    (text,) = texts(marks)
    xs = [x for mark in marks if mark.kind == "area" for x, _y in mark.points]
    assert max(xs) - min(xs) == pytest.approx(int(text.words) * scale)
