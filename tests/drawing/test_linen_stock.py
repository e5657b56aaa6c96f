"""The stock of the days ahead: clean above the line, what is short hanging under it."""

import xml.etree.ElementTree as ET

from hypothesis import given
from hypothesis import strategies as st

from habitats.drawing.linen_stock import (
    HEIGHT,
    MOST_LINES,
    WIDTH,
    StockDay,
    StockPlot,
    draw_stock,
    number_step,
    stock_picture,
)
from habitats.drawing.pen import RecordingPen
from habitats.drawing.styles import Style
from habitats.drawing.weights import AxisTick


def marks_of(stock):
    pen = RecordingPen()
    draw_stock(pen, stock)
    return pen.marks


def line_y(marks):
    """Where the line lies that is neither clean nor short."""
    return next(m for m in marks if m.style is Style.INK and len(m.points) == 2).points[0][1]


def test_clean_linens_stand_above_the_line_and_the_short_hang_under_it():
    marks = marks_of(StockPlot([StockDay(4), StockDay(0, short=2)]))
    clean = next(m for m in marks if m.style is Style.PAPER)
    short = next(m for m in marks if m.style is Style.LACKING)

    assert min(y for _x, y in clean.points) < line_y(marks) == max(y for _x, y in clean.points)
    assert max(y for _x, y in short.points) > line_y(marks) == min(y for _x, y in short.points)


def test_both_are_to_one_scale():
    marks = marks_of(StockPlot([StockDay(4), StockDay(0, short=2)]))
    line = line_y(marks)
    top = min(y for m in marks if m.style is Style.PAPER for _x, y in m.points)
    foot = max(y for m in marks if m.style is Style.LACKING for _x, y in m.points)

    assert abs((line - top) / (foot - line) - 2) < 1e-6


def test_without_a_shortage_nothing_hangs_and_nothing_is_said_of_it():
    marks = marks_of(StockPlot([StockDay(3)] * 7))

    assert not [m for m in marks if m.style is Style.LACKING]
    assert "under the line: short" not in [m.words for m in marks]


def test_a_wash_day_has_a_dot_and_one_that_cannot_hold_all_a_ring():
    days = [StockDay(1, is_wash_day=True), StockDay(1), StockDay(1, 0, True, True)]
    circles = [m.style for m in marks_of(StockPlot(days)) if m.kind == "circle"]

    assert circles == [Style.SOLID, Style.SOLID, Style.ALARM]


def test_a_tick_outside_the_days_is_left_out():
    words = [
        m.words
        for m in marks_of(StockPlot([StockDay(1)], [AxisTick(0, "1 Mar"), AxisTick(9, "x")]))
    ]

    assert "1 Mar" in words
    assert "x" not in words


def test_it_is_told_in_words():
    svg = ET.fromstring(
        stock_picture(StockPlot([StockDay(1)]), title="A", description="None short.")
    )
    assert "None short." in [child.text for child in svg]


days = st.lists(st.builds(StockDay, st.integers(0, 900), st.integers(0, 300)), min_size=1)


@given(days)
def test_nothing_is_drawn_outside_the_plot(some):
    points = [p for m in marks_of(StockPlot(some)) if m.kind == "area" for p in m.points]

    assert all(-1e-6 <= x <= WIDTH + 1e-6 and -1e-6 <= y <= HEIGHT + 1e-6 for x, y in points)


@given(st.integers(1, 100_000))
def test_lines_are_few_and_cover_the_span(span):
    step = number_step(span)

    assert str(step).rstrip("0") in ("1", "2", "5")
    assert step * MOST_LINES >= span
