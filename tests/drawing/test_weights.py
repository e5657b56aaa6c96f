"""The plot of an animal's weights: its line, the upper guide told apart, falls ringed and named."""

import xml.etree.ElementTree as ET

from hypothesis import given
from hypothesis import strategies as st

from habitats.drawing.pen import RecordingPen
from habitats.drawing.styles import Letter, Style
from habitats.drawing.weights import (
    HEIGHT,
    MOST_GRAM_TICKS,
    WIDTH,
    AxisTick,
    Weighed,
    Weights,
    draw_weights,
    gram_step,
    weights_picture,
)

# Crowder and Hand 1990, animal 1, study weeks 5 and 6: 504 g, then 436 g.
FALL = Weights([Weighed(0, 504), Weighed(7, 436, "−13.5 %")], ticks=[AxisTick(0, "1 Mar")])


def marks_of(weights):
    pen = RecordingPen()
    draw_weights(pen, weights)
    return pen.marks


def words_in(marks):
    return [mark.words for mark in marks if mark.kind == "text"]


def test_a_fall_is_ringed_and_named_and_a_rise_is_not():
    marks = marks_of(FALL)

    rings = [mark for mark in marks if mark.kind == "circle" and mark.style is Style.ALARM]
    assert len(rings) == 1
    assert [mark.words for mark in marks if mark.style is Letter.ALARM] == ["−13.5 %"]


def test_the_line_goes_down_where_the_weight_falls():
    line = next(
        m
        for m in marks_of(FALL)
        if m.kind == "line"
        and m.style is Style.INK
        and len(m.points) == 2
        and m.points[0][1] != m.points[1][1]
        and m.points[0][0] != m.points[1][0]
    )

    assert line.points[0][1] < line.points[1][1]
    assert (line.points[0][0], line.points[1][0]) == (0, WIDTH)


def test_the_upper_guide_is_dashed_and_says_what_it_is():
    marks = marks_of(Weights([Weighed(0, 400)], guide=[(0, 500.0), (30, 700.0)]))

    assert "upper guide" in words_in(marks)
    assert any(mark.style is Style.HIDDEN and mark.kind == "line" for mark in marks)


def test_without_a_guide_none_is_named():
    assert "upper guide" not in words_in(marks_of(FALL))


def test_a_single_weighing_has_a_plot_of_its_own():
    dots = [m for m in marks_of(Weights([Weighed(5, 900)])) if m.kind == "circle"]

    assert len(dots) == 1
    assert 0 < dots[0].points[0][0] < WIDTH
    assert 0 < dots[0].points[0][1] < HEIGHT


def test_a_day_outside_the_plot_has_no_tick():
    assert "2 May" not in words_in(marks_of(Weights(FALL.weighed, ticks=[AxisTick(60, "2 May")])))


def test_the_picture_parses_and_tells_readers_aloud_what_it_shows():
    svg = ET.fromstring(weights_picture(FALL, title="Weights of Ida & Co", description="It fell."))

    texts = {child.tag.rpartition("}")[2]: child.text for child in svg}
    assert (texts["title"], texts["desc"]) == ("Weights of Ida & Co", "It fell.")


@given(st.floats(20, 12_000), st.floats(1, 12_000))
def test_lines_of_grams_are_few_and_cover_the_span(least, span):
    step = gram_step(least, least + span)

    assert str(step).rstrip("0") in ("1", "2", "5")
    lines = range(int(least // step), int(-(-(least + span) // step)) + 1)
    assert len(lines) <= MOST_GRAM_TICKS + 1


weighings = st.lists(
    st.tuples(st.integers(0, 1200), st.integers(20, 12_000)), min_size=1, max_size=200
)


@given(weighings)
def test_no_weight_is_drawn_outside_the_plot(pairs):
    weights = Weights([Weighed(*one) for one in sorted(pairs)])

    # The line alone, without the words beside it.
    points = [
        point
        for mark in marks_of(weights)
        if mark.kind == "line" and mark.style is Style.INK and len(mark.points) == len(pairs)
        for point in mark.points
    ]
    assert all(-1e-6 <= x <= WIDTH + 1e-6 for x, _y in points)
    assert all(-1e-6 <= y <= HEIGHT + 5 for _x, y in points)
