"""Dimension lines: measured on the drawing, written in the reader's units.

Ends are oblique strokes, as on a builder's drawing, not arrow heads: they need no room and print
well. A chain is a row of dimensions end to end; running positions are all counted from one end,
as somebody with a straightedge marks them.

Points and offsets are in units of the finished picture.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import atan2, degrees, hypot

from habitats.drawing.pen import Anchor, Pen, Point, width_of
from habitats.drawing.styles import Letter, Style

# Lengths for a scale bar: round in millimetres, or in inches (1 inch is 25.4 mm).
ROUND_MM = (2032, 2000, 1016, 1000, 508, 500, 254, 200, 127, 100, 51, 50, 25, 20, 10)

Lengths = Callable[[int], str]

TICK = 4.0  # half the length of an end stroke, across and up
GAP = 3.0  # between the thing and its extension line, and between line and figure
ROW = 20.0  # between one row of dimensions and the next


def dimension(pen: Pen, start: Point, end: Point, offset: float, words: str) -> None:
    """A dimension from ``start`` to ``end``, ``offset`` to the left of the way walked.

    Seen with y downward: walking east, a positive offset lies north. A negative one lies on the
    right. Words wider than the stretch are written upright to the line beside it.
    """
    length = hypot(end[0] - start[0], end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    away = (along[1], -along[0])
    sign = 1 if offset >= 0 else -1

    def beside(point: Point, by: float) -> Point:
        return point[0] + away[0] * by, point[1] + away[1] * by

    for point in (start, end):
        pen.line([beside(point, sign * GAP), beside(point, offset + sign * TICK)], Style.DIMENSION)
        _tick(pen, beside(point, offset), along, away)
    pen.line([beside(start, offset), beside(end, offset)], Style.DIMENSION)
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    _figure(pen, beside(middle, offset), along, beside((0, 0), sign), words, length)


def _tick(pen: Pen, at: Point, along: Point, away: Point) -> None:
    dx, dy = (along[0] + away[0]) * TICK * 0.7, (along[1] + away[1]) * TICK * 0.7
    pen.line([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)], Style.THIN)


def _figure(pen: Pen, at: Point, along: Point, outward: Point, words: str, length: float) -> None:
    """Words above the line, readable from below or from the right."""
    turn = degrees(atan2(along[1], along[0]))
    if turn > 89 or turn <= -91:
        turn -= 180 if turn > 0 else -180
    if width_of(words, Letter.FIGURE) > length - 2:
        _running_figure(pen, (at[0] + outward[0] * 6, at[1] + outward[1] * 6), outward, 1, words)
        return
    upright = abs(turn) > 45
    dx, dy = (-GAP, 0.0) if upright else (0.0, -GAP)
    pen.text((at[0] + dx, at[1] + dy), words, Letter.FIGURE, Anchor.MIDDLE, turn)


def chain(pen: Pen, points: Sequence[Point], offset: float, words: Sequence[str]) -> None:
    """Dimensions end to end through the points; one word fewer than points."""
    for (start, end), each in zip(pairwise(points), words, strict=True):
        dimension(pen, start, end, offset, each)


def running(
    pen: Pen, origin: Point, along: Point, stops: Sequence[tuple[float, str]], offset: float
) -> None:
    """Positions counted from one end: a stroke at each stop with its figure beyond it.

    ``along`` is the unit direction; ``stops`` are distances from the origin with their words,
    nearest first; ``offset`` is to the left of the way walked, as for ``dimension``. Figures stand
    across the line and are spread where they would touch, with a bent leader to their stroke.
    """
    away = (along[1], -along[0])
    sign = 1 if offset >= 0 else -1

    def spot(distance: float, by: float) -> Point:
        return (
            origin[0] + along[0] * distance + away[0] * by,
            origin[1] + along[1] * distance + away[1] * by,
        )

    pen.line([spot(stops[0][0], offset), spot(stops[-1][0], offset)], Style.DIMENSION)
    spread = _spread([distance for distance, _words in stops], Letter.FIGURE.size * 1.15)
    for (distance, words), shown in zip(stops, spread, strict=True):
        elbow, end = offset + sign * 5, offset + sign * 14
        pen.line(
            [spot(distance, sign * GAP), spot(distance, elbow), spot(shown, end)], Style.DIMENSION
        )
        pen.circle(spot(distance, offset), 1.4, Style.SOLID)
        _running_figure(pen, spot(shown, end + sign * GAP), away, sign, words)


def _running_figure(pen: Pen, at: Point, away: Point, sign: int, words: str) -> None:
    """Words that run away from the line, base line centred on the leader."""
    centre = Letter.FIGURE.size * 0.35
    toward = (away[0] * sign, away[1] * sign)
    if abs(toward[0]) > abs(toward[1]):  # the chain is upright: figures stand level
        anchor = Anchor.START if toward[0] > 0 else Anchor.END
        pen.text((at[0], at[1] + centre), words, Letter.FIGURE, anchor)
    else:  # the chain is level: figures read from the right
        anchor = Anchor.START if toward[1] < 0 else Anchor.END
        pen.text((at[0] + centre, at[1]), words, Letter.FIGURE, anchor, -90)


def _spread(wanted: Sequence[float], least: float) -> list[float]:
    """Places as near as can be to the wanted ones, in order and no nearer than ``least``."""
    # Neighbours that would touch become one block, set evenly about the mean of their wishes.
    blocks: list[list[float]] = []
    for wish in wanted:
        blocks.append([wish])
        while len(blocks) > 1 and _start(blocks[-1], least) < _end(blocks[-2], least) + least:
            last = blocks.pop()
            blocks[-1].extend(last)
    return [_start(block, least) + i * least for block in blocks for i in range(len(block))]


def _start(block: list[float], least: float) -> float:
    return sum(block) / len(block) - (len(block) - 1) * least / 2


def _end(block: list[float], least: float) -> float:
    return _start(block, least) + (len(block) - 1) * least


def scale_bar(pen: Pen, at: Point, scale: float, lengths: Lengths, *, longest: float = 140) -> None:
    """A bar of a round length to measure by, alternately filled; ``scale`` is units a mm."""
    fitting = [one for one in ROUND_MM if longest / 3 <= one * scale <= longest]
    whole = min(fitting or ROUND_MM[-1:], key=lambda one: (_figures_in(lengths(one)), -one))
    x, y = at
    step = whole * scale / 4
    for quarter in range(4):
        left = x + quarter * step
        corners = [(left, y), (left + step, y), (left + step, y + 5), (left, y + 5)]
        pen.area([corners], Style.SOLID if quarter % 2 == 0 else Style.INSIDE)
    pen.text((x + 4 * step + 6, y + 6), lengths(whole), Letter.FIGURE, Anchor.START)


def _figures_in(words: str) -> int:
    """How many figures other than nought are read: few for a round length."""
    return sum(mark in "123456789" for mark in words)
