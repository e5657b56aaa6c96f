"""An animal's weights over time: its own line, the upper guide beside it, and where it fell.

Days are counted from any day; their words are given, so that nothing here knows a calendar.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import NamedTuple

from habitats.drawing.pen import Anchor, Pen, Point
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.wording import message

WIDTH, HEIGHT = 290.0, 180.0
# As many as fit beside each other with their lettering.
MOST_GRAM_TICKS = 6
NICE = (1, 2, 5)
DOT = 3.2
RING = 7.0
TICK = 4.0
GUIDE_WORDS_WIDTH = 70.0


class Weighed(NamedTuple):
    """``fell``: by so many per cent since the weighing before, in words; empty if it did not."""

    day: int
    grams: int
    fell: str = ""


class AxisTick(NamedTuple):
    """A day with its words, under the plot."""

    day: int
    words: str


@dataclass(frozen=True, slots=True)
class Weights:
    """What is drawn. ``weighed`` in time, at least one; ``guide`` as (day, grams), or empty."""

    weighed: Sequence[Weighed]
    guide: Sequence[tuple[int, float]] = ()
    ticks: Sequence[AxisTick] = ()


class _Frame(NamedTuple):
    """What days and grams the plot shows, and where they come on paper."""

    first_day: int
    last_day: int
    least: int
    most: int

    def at(self, day: float, grams: float) -> Point:
        x = WIDTH * (day - self.first_day) / (self.last_day - self.first_day)
        y = HEIGHT * (self.most - grams) / (self.most - self.least)
        return x, y


def weights_picture(weights: Weights, *, title: str, description: str) -> str:
    """SVG of the plot. ``description`` says in words what it shows."""
    return finished(lambda pen: draw_weights(pen, weights), title, description, kind="weights")


def draw_weights(pen: Pen, weights: Weights) -> None:
    frame = _frame(weights)
    _draw_grams(pen, frame)
    _draw_days(pen, frame, weights.ticks)
    _draw_guide(pen, frame, weights.guide)
    _draw_weighed(pen, frame, weights.weighed)


def gram_step(least: float, most: float) -> int:
    """The smallest of 1, 2, 5, 10, 20 … with which few enough lines cover the span."""
    ten = 1
    while True:
        for one in NICE:
            step = one * ten
            if ceil(most / step) - floor(least / step) <= MOST_GRAM_TICKS:
                return step
        ten *= 10


def _frame(weights: Weights) -> _Frame:
    days = [one.day for one in weights.weighed] + [day for day, _ in weights.guide]
    grams = [one.grams for one in weights.weighed] + [amount for _, amount in weights.guide]
    # A single weighing has room around it.
    least, most = min(grams) * 0.95, max(grams) * 1.05
    step = gram_step(least, most)
    first, last = min(days), max(days)
    if first == last:
        first, last = first - 1, last + 1
    return _Frame(first, last, floor(least / step) * step, ceil(most / step) * step)


def _draw_grams(pen: Pen, frame: _Frame) -> None:
    step = gram_step(frame.least, frame.most)
    for grams in range(frame.least, frame.most + 1, step):
        left, right = frame.at(frame.first_day, grams), frame.at(frame.last_day, grams)
        pen.line([left, right], Style.WIRE_LINE if grams > frame.least else Style.INK)
        pen.text((left[0] - 8, left[1] + 4), str(grams), Letter.FIGURE, Anchor.END)
    pen.text((-8, -14), message("grams"), Letter.NOTE, Anchor.END)


def _draw_days(pen: Pen, frame: _Frame, ticks: Sequence[AxisTick]) -> None:
    for one in ticks:
        if not frame.first_day <= one.day <= frame.last_day:
            continue
        x, y = frame.at(one.day, frame.least)
        pen.line([(x, y), (x, y + TICK)], Style.INK)
        pen.text((x, y + TICK + 13), one.words, Letter.FIGURE)


def _draw_guide(pen: Pen, frame: _Frame, guide: Sequence[tuple[int, float]]) -> None:
    if not guide:
        return
    line = [frame.at(day, grams) for day, grams in guide]
    pen.line(line, Style.HIDDEN)
    x, y = line[-1]
    # Above a line that comes up steeply, under one that runs level.
    beside = next((at for at in reversed(line) if at[0] < x - GUIDE_WORDS_WIDTH), line[0])
    rises = beside[1] - y > 10
    pen.text((x, y - 6 if rises else y + 16), message("upper guide"), Letter.NOTE, Anchor.END)


def _draw_weighed(pen: Pen, frame: _Frame, weighed: Sequence[Weighed]) -> None:
    points = [frame.at(one.day, one.grams) for one in weighed]
    if len(points) > 1:
        pen.line(points, Style.INK)
    # Every dot is a weighing; where they would run together the line alone tells enough.
    if len(points) <= WIDTH / (3 * DOT):
        for point in points:
            pen.circle(point, DOT, Style.SOLID)
    for one, (x, y) in zip(weighed, points, strict=True):
        if one.fell:
            pen.circle((x, y), RING, Style.ALARM)
            anchor = Anchor.END if x > WIDTH / 2 else Anchor.START
            aside = -RING - 4 if x > WIDTH / 2 else RING + 4
            pen.text((x + aside, y + 16), one.fell, Letter.ALARM, anchor)
