"""The days ahead of one size of linen: what lies clean in the cupboard, and what hangs over.

Above the line the clean linens at the end of each day; under it, to the same scale, the enclosures
that found none that day. A dot marks a wash day, a ring one whose loads could not hold all.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from habitats.drawing.pen import Anchor, Pen, Ring
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.drawing.weights import TICK, AxisTick
from habitats.wording import message

WIDTH, HEIGHT = 264.0, 92.0
NICE = (1, 2, 5)
MOST_LINES = 4
DOT, RING = 1.8, 4.0
DOTS_BELOW = 9.0
LEFT = -8.0


class StockDay(NamedTuple):
    """``clean`` linens at its end; ``short`` enclosures that found none.

    ``is_overloaded``: its loads could not hold all that was soiled.
    """

    clean: int
    short: int = 0
    is_wash_day: bool = False
    is_overloaded: bool = False


@dataclass(frozen=True, slots=True)
class StockPlot:
    """What is drawn: days in order, at least one, and a few of them with their words."""

    days: Sequence[StockDay]
    ticks: Sequence[AxisTick] = ()


class _Frame(NamedTuple):
    """Where days and numbers come on paper: up to ``most``, and down to ``least``, 0 or below."""

    days: int
    least: int
    most: int

    def x(self, day: float) -> float:
        return WIDTH * day / self.days

    def y(self, number: float) -> float:
        return HEIGHT * (self.most - number) / (self.most - self.least)


def stock_picture(stock: StockPlot, *, title: str, description: str) -> str:
    """SVG of the plot. ``description`` says in words what it shows."""
    return finished(lambda pen: draw_stock(pen, stock), title, description, kind="stock")


def draw_stock(pen: Pen, stock: StockPlot) -> None:
    frame, step = _frame(stock)
    _draw_numbers(pen, frame, step)
    _draw_clean(pen, frame, stock.days)
    _draw_short(pen, frame, stock.days)
    pen.line([(0, frame.y(0)), (WIDTH, frame.y(0))], Style.INK)
    _draw_days(pen, frame, stock)


def number_step(span: int) -> int:
    """The smallest of 1, 2, 5, 10, 20 … with which few enough lines cover the span."""
    ten = 1
    while True:
        for one in NICE:
            if span <= one * ten * MOST_LINES:
                return one * ten
        ten *= 10


def _frame(stock: StockPlot) -> tuple[_Frame, int]:
    most = max(1, *(one.clean for one in stock.days))
    least = max(0, *(one.short for one in stock.days))
    step = number_step(most + least)
    return _Frame(len(stock.days), -least // step * step, -(-most // step) * step), step


def _draw_numbers(pen: Pen, frame: _Frame, step: int) -> None:
    for number in range(frame.least, frame.most + 1, step):
        y = frame.y(number)
        pen.line([(0, y), (WIDTH, y)], Style.WIRE_LINE)
        pen.text((LEFT, y + 4), str(abs(number)), Letter.FIGURE, Anchor.END)
    pen.text((0, -8), message("clean"), Letter.NOTE, Anchor.START)
    if frame.least:
        pen.text((WIDTH, -8), message("under the line: short"), Letter.ALARM, Anchor.END)


def _draw_clean(pen: Pen, frame: _Frame, days: Sequence[StockDay]) -> None:
    """One area with a step for each day."""
    steps = [(frame.x(0), frame.y(0))]
    for number, day in enumerate(days):
        steps += [(frame.x(number + end), frame.y(day.clean)) for end in (0, 1)]
    steps.append((frame.x(len(days)), frame.y(0)))
    pen.area([steps], Style.PAPER)
    pen.line(steps, Style.INK)


def _draw_short(pen: Pen, frame: _Frame, days: Sequence[StockDay]) -> None:
    bars = [_bar(frame, number, day.short) for number, day in enumerate(days) if day.short]
    if bars:
        pen.area(bars, Style.LACKING)


def _bar(frame: _Frame, number: int, short: int) -> Ring:
    left, right, top, bottom = (frame.x(number), frame.x(number + 1), frame.y(0), frame.y(-short))
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _draw_days(pen: Pen, frame: _Frame, stock: StockPlot) -> None:
    for number, day in enumerate(stock.days):
        if day.is_wash_day:
            at = (frame.x(number + 0.5), HEIGHT + DOTS_BELOW)
            pen.circle(at, DOT, Style.SOLID)
            if day.is_overloaded:
                pen.circle(at, RING, Style.ALARM)
    foot = HEIGHT + DOTS_BELOW + RING
    for tick in stock.ticks:
        if 0 <= tick.day < len(stock.days):
            x = frame.x(tick.day)
            pen.line([(x, foot), (x, foot + TICK)], Style.INK)
            pen.text((x, foot + TICK + 13), tick.words, Letter.FIGURE, Anchor.START)
