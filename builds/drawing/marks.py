"""Connectors and ties in a view from a corner: discs that lie as the real ones do."""

from collections.abc import Callable, Iterator
from enum import Enum
from math import cos, pi, sin
from typing import NamedTuple

from builds.drawing.space import Corner, Vec, minus, on_paper, plus
from builds.making.ties import TieSpot
from habitats.drawing.pen import Point, Scaled
from habitats.drawing.styles import Style
from habitats.structure.connectors import Stance
from habitats.structure.lattice import Face, Joint, PanelPlace
from habitats.structure.spans import top_of

Outline = Callable[[Point, float], list[Point]]
# What stands for a mark in a legend: a disc of a style, or what is new by its outline.
Sample = Style | Outline


def lozenge(at: Point, radius: float) -> list[Point]:
    """The sign of a wall anchor, alike from every side."""
    x, y = at
    return [(x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y)]


def gable(at: Point, radius: float) -> list[Point]:
    """The sign of a hide: a house."""
    x, y = at
    return [
        (x - radius, y + radius),
        (x - radius, y),
        (x, y - radius),
        (x + radius, y),
        (x + radius, y + radius),
    ]


def wedge(at: Point, radius: float) -> list[Point]:
    """The sign of a place for water: a drop."""
    x, y = at
    return [(x, y - radius), (x + 0.8 * radius, y + radius), (x - 0.8 * radius, y + radius)]


def bar(at: Point, radius: float) -> list[Point]:
    """The sign of a place for hay: a rack."""
    x, y = at
    across = 0.45 * radius
    return [
        (x - radius, y - across),
        (x + radius, y - across),
        (x + radius, y + across),
        (x - radius, y + across),
    ]


_OUTLINES: dict[str, Outline] = {
    "ANCHOR": lozenge,
    "NEW_ANCHOR": lozenge,
    "TAKEN_ANCHOR": lozenge,
    "HIDE": gable,
    "WATER": wedge,
    "HAY": bar,
}


class MarkKind(Enum):
    """What is marked by a disc or a sign: a radius in units on paper, and how it is drawn."""

    JOINT = (1.7, Style.JOINT)
    NEW_JOINT = (7.0, Style.NEW_SOLID)
    TIE = (3.6, Style.TIE)
    TAKEN_JOINT = (6.0, Style.TAKEN_JOINT)
    TURNED_JOINT = (8.0, Style.TURNED)
    ANCHOR = (5.0, Style.SOLID)
    NEW_ANCHOR = (9.0, Style.NEW_SOLID)
    TAKEN_ANCHOR = (8.0, Style.TAKEN_JOINT)
    HIDE = (7.5, Style.NEW_SOLID)
    WATER = (6.5, Style.NEW_SOLID)
    HAY = (8.5, Style.NEW_SOLID)

    @property
    def radius(self) -> float:
        return self.value[0]

    @property
    def style(self) -> Style:
        return self.value[1]

    @property
    def outline(self) -> Outline | None:
        """None for a disc."""
        return _OUTLINES.get(self.name)


class Mark(NamedTuple):
    """A sign at a point in space, drawn before all that is nearer than ``nearness``.

    It lies as its ``stance`` says; without one it is drawn alike from every side.
    """

    nearness: int
    at: Vec
    kind: MarkKind
    stance: Stance | None = None

    def __lt__(self, other: tuple[object, ...]) -> bool:
        assert isinstance(other, Mark)
        return (*self[:2], self.kind.name) < (*other[:2], other.kind.name)


# In a disc's plane two axes to go round by, and the axis that its ribs point along.
AXES: dict[Face, tuple[Vec, Vec, Vec]] = {
    Face.EW: ((1, 0, 0), (0, 0, 1), (0, 1, 0)),
    Face.NS: ((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    Face.FLAT: ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
}
DISC_CORNERS = 16
PIN_LENGTH = 1.8  # of the line from the disc's middle out of its ribs, in radii


def paint_mark(mm: Scaled, mark: Mark, corner: Corner) -> None:
    radius = mark.kind.radius / mm.scale
    if outline := mark.kind.outline:
        mm.area([outline(on_paper(mark.at, corner), radius)], mark.kind.style)
        return
    if mark.stance is None:
        mm.circle(on_paper(mark.at, corner), radius, mark.kind.style)
        return
    ring, pin = disc(mark.at, mark.stance, radius), pin_of(mark.at, mark.stance, radius)
    mm.area([[on_paper(point, corner) for point in ring]], mark.kind.style)
    # Bare paper on both sides, so that the pin is seen where it runs along a panel's edge.
    for style in (Style.GAP, Style.HEAVY):
        mm.line([on_paper(point, corner) for point in pin], style)


def disc(at: Vec, stance: Stance, radius: float) -> list[Vec]:
    """The outline of a connector that sits so."""
    across, up, _out = AXES[stance.plane]
    return [
        plus(plus(at, across, radius * cos(turn)), up, radius * sin(turn))
        for turn in (2 * pi * number / DISC_CORNERS for number in range(DISC_CORNERS))
    ]


def pin_of(at: Vec, stance: Stance, radius: float) -> list[Vec]:
    """From its middle out of its ribs."""
    _across, _up, out = AXES[stance.plane]
    return [at, plus(at, out, stance.ribs * PIN_LENGTH * radius)]


def point_of(joint: Joint) -> Vec:
    return float(joint.col), float(joint.row), float(joint.z)


def anchor_point(place: PanelPlace) -> Vec:
    """The middle of the upper edge that an anchor grips."""
    ends = [point_of(joint) for joint in top_of(place)]
    return plus(ends[0], minus(ends[1], ends[0]), 0.5)


def tie_points(spot: TieSpot) -> Iterator[Vec]:
    """Where the ties of one spot are drawn: spread along its seam, or beside its corner."""
    ends = [point_of(joint) for joint in spot.joints]
    if len(ends) == 2:
        for number in range(spot.count):
            part = (number + 1) / (spot.count + 1)
            yield plus(ends[0], minus(ends[1], ends[0]), part)
    elif ends:
        for place in spot.places:
            corners = [point_of(one) for one in place.corners]
            across = corners[(corners.index(ends[0]) + 2) % 4]
            yield plus(ends[0], minus(across, ends[0]), 0.12)
