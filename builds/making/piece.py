"""A piece of a tray: a rectangle of floor with the walls, tabs, laps and flaps that go with it.

Everything is laid out flat in the tray's coordinates: the floor in its place, and beside each of
its sides whatever is folded up, lapped or tucked under there. Lengths *along* a side grow with x
or y; lengths *out* grow away from the floor.
"""

from dataclasses import dataclass
from typing import NamedTuple

from builds.making.blank import Line
from habitats.structure.lattice import Side


class Stretch(NamedTuple):
    """From ``start`` to ``end`` along a side."""

    start: int
    end: int

    @property
    def length_mm(self) -> int:
        return self.end - self.start


class Rect(NamedTuple):
    """A rectangle of floor; x1 < x2 and y1 < y2."""

    x1: int
    y1: int
    x2: int
    y2: int

    @property
    def width_mm(self) -> int:
        return self.x2 - self.x1

    @property
    def height_mm(self) -> int:
        return self.y2 - self.y1

    @property
    def area_mm2(self) -> int:
        return self.width_mm * self.height_mm

    def overlaps(self, other: "Rect") -> bool:
        """Whether they share floor; touching is not enough."""
        return max(self.x1, other.x1) < min(self.x2, other.x2) and max(self.y1, other.y1) < min(
            self.y2, other.y2
        )

    def along(self, side: Side) -> Stretch:
        """The whole of a side."""
        if side in (Side.N, Side.S):
            return Stretch(self.x1, self.x2)
        return Stretch(self.y1, self.y2)

    def at(self, side: Side) -> int:
        """The coordinate that stays the same along a side."""
        if side in (Side.N, Side.S):
            return self.y1 if side is Side.N else self.y2
        return self.x1 if side is Side.W else self.x2

    def beside(self, side: Side, along: Stretch, near: int, far: int) -> "Rect":
        """The rectangle beside a side, ``near`` to ``far`` out from it."""
        at = self.at(side)
        if side is Side.N:
            return Rect(along.start, at - far, along.end, at - near)
        if side is Side.S:
            return Rect(along.start, at + near, along.end, at + far)
        if side is Side.W:
            return Rect(at - far, along.start, at - near, along.end)
        return Rect(at + near, along.start, at + far, along.end)

    def edge(self, side: Side, along: Stretch) -> Line:
        """The line of a side, or of its continuation."""
        at = self.at(side)
        if side in (Side.N, Side.S):
            return Line(along.start, at, along.end, at)
        return Line(at, along.start, at, along.end)

    def across(self, side: Side, position: int, far: int) -> Line:
        """The line straight out from a side at a position along it."""
        return Line(*self.beside(side, Stretch(position, position), 0, far))


@dataclass(frozen=True, slots=True)
class PieceWall:
    """A stretch of wall on one side of a piece, with its doorways.

    ``starts_at_corner``: the piece has a wall at right angles there too. ``starts_at_seam``: the
    wall goes straight on as a neighbour's. Neither: the tray turns outward there, and the wall
    meets a neighbour's at an inner corner. The same for its end. ``flaps`` and ``laps`` are how
    far the plastic goes on past (start, end); 0 for none.
    """

    side: Side
    along: Stretch
    starts_at_corner: bool
    ends_at_corner: bool
    starts_at_seam: bool
    ends_at_seam: bool
    doorways: tuple[Stretch, ...] = ()
    flaps: tuple[int, int] = (0, 0)
    laps: tuple[int, int] = (0, 0)


class Tab(NamedTuple):
    """Plastic that goes on past a side, flat, to lie under the neighbour's floor."""

    side: Side
    along: Stretch
    depth_mm: int


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle of a tray's floor with all that is cut in one with it."""

    floor: Rect
    walls: tuple[PieceWall, ...]
    tabs: tuple[Tab, ...] = ()
