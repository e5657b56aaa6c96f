"""Pens: one description of a picture, drawn to SVG, to its bounds or to a recording.

A picture is a function that takes a pen and calls it. What the pen is decides what comes out:

    def draw(pen: Pen) -> None:
        pen.line([(0, 0), (100, 0)], Style.INK)

``SvgPen`` (svg.py) writes marks, ``BoundsPen`` measures them, so that the view box is derived
from the same description, and ``RecordingPen`` keeps them for whoever wants to look. ``Scaled``
passes on to another pen and turns millimetres into units of the finished picture.

Coordinates: x grows to the right (east), y downward (south). Lettering and dashes are measured in
units of the finished picture and never scaled.
"""

from collections.abc import Callable, Sequence
from enum import Enum
from math import cos, radians, sin
from typing import NamedTuple, Protocol

from habitats.drawing.styles import Letter, Style

Point = tuple[float, float]
Ring = Sequence[Point]


class Anchor(Enum):
    """Which part of the words stands at the given point."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Pen(Protocol):
    """What a picture calls. ``area`` takes rings: a second ring inside the first is a hole."""

    def line(self, points: Sequence[Point], style: Style) -> None: ...

    def area(self, rings: Sequence[Ring], style: Style) -> None: ...

    def circle(self, centre: Point, radius: float, style: Style) -> None: ...

    def text(
        self,
        at: Point,
        words: str,
        letter: Letter = Letter.LABEL,
        anchor: Anchor = Anchor.MIDDLE,
        turn: float = 0,
    ) -> None:
        """Words on a base line through ``at``, turned clockwise by ``turn`` degrees."""


Draw = Callable[[Pen], None]

# Width of a character in parts of the size, generous: measured on the lettering face, words have
# 0.47 and figures 0.57 to 0.63; the fallback faces are no wider.
CHARACTER_WIDTH = 0.6
DESCENT = 0.25


def width_of(words: str, letter: Letter) -> float:
    """About how wide the words come out, in units of the finished picture."""
    return len(str(words)) * letter.size * CHARACTER_WIDTH


class PenMark(NamedTuple):
    """One call of a pen, as it was made. ``rings`` holds the points; text and circles have one."""

    kind: str
    rings: tuple[tuple[Point, ...], ...]
    style: Style | Letter
    words: str = ""
    radius: float = 0
    anchor: Anchor = Anchor.MIDDLE
    turn: float = 0

    @property
    def points(self) -> tuple[Point, ...]:
        return tuple(point for ring in self.rings for point in ring)

    def draw(self, pen: Pen) -> None:
        """The same call again, on another pen."""
        at = self.rings[0][0]
        if isinstance(self.style, Letter):
            pen.text(at, self.words, self.style, self.anchor, self.turn)
        elif self.kind == "line":
            pen.line(self.rings[0], self.style)
        elif self.kind == "area":
            pen.area(self.rings, self.style)
        else:
            pen.circle(at, self.radius, self.style)


class RecordingPen:
    """Keeps every mark, in order, to look at or to draw again."""

    def __init__(self) -> None:
        self.marks: list[PenMark] = []

    def replay(self, pen: Pen) -> None:
        for mark in self.marks:
            mark.draw(pen)

    def line(self, points: Sequence[Point], style: Style) -> None:
        self.marks.append(PenMark("line", (tuple(points),), style))

    def area(self, rings: Sequence[Ring], style: Style) -> None:
        self.marks.append(PenMark("area", tuple(tuple(ring) for ring in rings), style))

    def circle(self, centre: Point, radius: float, style: Style) -> None:
        self.marks.append(PenMark("circle", ((centre,),), style, radius=radius))

    def text(
        self,
        at: Point,
        words: str,
        letter: Letter = Letter.LABEL,
        anchor: Anchor = Anchor.MIDDLE,
        turn: float = 0,
    ) -> None:
        mark = PenMark("text", ((at,),), letter, words, anchor=anchor, turn=turn)
        self.marks.append(mark)


class BoundsPen:
    """Measures what is drawn: ``box`` is (left, top, right, bottom), None if nothing was.

    With ``ink=False`` it measures the geometry alone: no line weights and no lettering.
    """

    def __init__(self, *, ink: bool = True) -> None:
        self.box: tuple[float, float, float, float] | None = None
        self._ink = ink

    def line(self, points: Sequence[Point], style: Style) -> None:
        self._take(points, self._half(style))

    def area(self, rings: Sequence[Ring], style: Style) -> None:
        for ring in rings:
            self._take(ring, self._half(style))

    def circle(self, centre: Point, radius: float, style: Style) -> None:
        self._take([centre], radius + self._half(style))

    def text(
        self,
        at: Point,
        words: str,
        letter: Letter = Letter.LABEL,
        anchor: Anchor = Anchor.MIDDLE,
        turn: float = 0,
    ) -> None:
        if self._ink:
            self._take(corners_of_text(at, words, letter, anchor, turn), 0)

    def _half(self, style: Style) -> float:
        return style.look.weight / 2 if self._ink else 0

    def _take(self, points: Sequence[Point], by: float) -> None:
        if not points:
            return
        xs, ys = [x for x, _y in points], [y for _x, y in points]
        box = (min(xs) - by, min(ys) - by, max(xs) + by, max(ys) + by)
        left, top, right, bottom = self.box or box
        self.box = (
            min(left, box[0]),
            min(top, box[1]),
            max(right, box[2]),
            max(bottom, box[3]),
        )


class Scaled:
    """A pen in millimetres over a pen in units of the finished picture."""

    def __init__(self, pen: Pen, scale: float) -> None:
        self._pen = pen
        self.scale = scale

    def at(self, point: Point) -> Point:
        return point[0] * self.scale, point[1] * self.scale

    def line(self, points: Sequence[Point], style: Style) -> None:
        self._pen.line([self.at(p) for p in points], style)

    def area(self, rings: Sequence[Ring], style: Style) -> None:
        self._pen.area([[self.at(p) for p in ring] for ring in rings], style)

    def circle(self, centre: Point, radius: float, style: Style) -> None:
        self._pen.circle(self.at(centre), radius * self.scale, style)

    def text(
        self,
        at: Point,
        words: str,
        letter: Letter = Letter.LABEL,
        anchor: Anchor = Anchor.MIDDLE,
        turn: float = 0,
    ) -> None:
        self._pen.text(self.at(at), words, letter, anchor, turn)


def corners_of_text(
    at: Point, words: str, letter: Letter, anchor: Anchor, turn: float
) -> list[Point]:
    """The corners of the rectangle that the words fill."""
    width, size = width_of(words, letter), letter.size
    left = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[anchor]
    c, s = cos(radians(turn)), sin(radians(turn))
    box = [(left + dx, dy) for dx in (0, width) for dy in (-0.8 * size, DESCENT * size)]
    return [(at[0] + dx * c - dy * s, at[1] + dx * s + dy * c) for dx, dy in box]
