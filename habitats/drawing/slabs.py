"""A floor laid out in slabs across its longer side, each of an exact area, from one end on.

Floors are rings of level and upright edges, millimetres, y southward, as trays have them. The
end that slabs are laid towards is where a floor that is too small would have to go on.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from typing import NamedTuple

from habitats.drawing.pen import Point, Ring
from habitats.structure.lattice import Side

Floor = tuple[tuple[Point, ...], ...]
Line = tuple[Point, Point]


class Bar(NamedTuple):
    """A stretch of the floor in which it is equally wide: from ``u1`` to ``u2`` along it."""

    u1: float
    u2: float
    spans: tuple[tuple[float, float], ...]

    @property
    def width(self) -> float:
        return sum(v2 - v1 for v1, v2 in self.spans)

    @property
    def area(self) -> float:
        return (self.u2 - self.u1) * self.width


@dataclass(frozen=True)
class Slabs:
    """A floor seen along ``towards``: u grows that way, v across it."""

    towards: Side
    bars: tuple[Bar, ...]

    @cached_property
    def area(self) -> float:
        return sum(bar.area for bar in self.bars)

    def between(self, least: float, most: float) -> list[Ring]:
        """The part of the floor from one area to another, counted from its beginning."""
        return [
            self._rectangle(u1, u2, span)
            for bar, u1, u2 in self._parts(least, most)
            for span in bar.spans
        ]

    def across(self, area: float) -> list[Line]:
        """The line across the floor at which so much of it is behind one."""
        for bar, u1, _u2 in self._parts(area, self.area):
            return [(self._at(u1, v1), self._at(u1, v2)) for v1, v2 in bar.spans]
        return []

    def beyond(self, area: float, least: float = 0) -> Ring:
        """A rectangle of this area past the floor's end, on the longest edge it has there.

        With ``least`` without so much of it, from the edge on.
        """
        last = self.bars[-1]
        v1, v2 = max(last.spans, key=lambda span: span[1] - span[0])
        width = v2 - v1
        return self._rectangle(last.u2 + least / width, last.u2 + area / width, (v1, v2))

    def parted(self, ring: Ring, area: float) -> tuple[list[Line], list[Line]]:
        """The ring's edges as far as they bound the first so much of the floor, and the others."""
        cut = next((u1 for _bar, u1, _u2 in self._parts(area, self.area)), self.bars[-1].u2)
        before, after = [], []
        for edge in pairwise([*ring, ring[0]]):
            (u1, v1), (u2, v2) = sorted(_TO_ALONG[self.towards](*point) for point in edge)
            middle = min(max(cut, u1), u2)
            if u1 < middle or u1 == u2 < cut:
                before.append((self._at(u1, v1), self._at(middle, v2)))
            if middle < u2 or u1 == u2 >= cut:
                after.append((self._at(middle, v1), self._at(u2, v2)))
        return before, after

    def _parts(self, least: float, most: float) -> Iterator[tuple[Bar, float, float]]:
        """Bars that lie between the areas, and how far along it they do."""
        ends = [0.0, *accumulate(bar.area for bar in self.bars)]
        for bar, (first, last) in zip(self.bars, pairwise(ends), strict=True):
            low, high = max(least, first), min(most, last)
            if low < high:
                width = bar.width
                yield bar, bar.u1 + (low - first) / width, bar.u1 + (high - first) / width

    def _rectangle(self, u1: float, u2: float, span: tuple[float, float]) -> Ring:
        v1, v2 = span
        return [self._at(u1, v1), self._at(u2, v1), self._at(u2, v2), self._at(u1, v2)]

    def _at(self, u: float, v: float) -> Point:
        return _FROM_ALONG[self.towards](u, v)


_Turn = Callable[[float, float], Point]
_TO_ALONG: dict[Side, _Turn] = {
    Side.E: lambda x, y: (x, y),
    Side.W: lambda x, y: (-x, y),
    Side.S: lambda x, y: (y, x),
    Side.N: lambda x, y: (-y, x),
}
_FROM_ALONG: dict[Side, _Turn] = {
    Side.E: lambda u, v: (u, v),
    Side.W: lambda u, v: (-u, v),
    Side.S: lambda u, v: (v, u),
    Side.N: lambda u, v: (v, -u),
}


def slabs_of(floor: Floor) -> Slabs:
    """The floor along its longer side, towards the end that has the longer edge."""
    xs, ys = ([point[axis] for ring in floor for point in ring] for axis in (0, 1))
    is_wide = max(xs) - min(xs) >= max(ys) - min(ys)
    ways = (Side.E, Side.W) if is_wide else (Side.S, Side.N)
    return max((_slabs(floor, way) for way in ways), key=_longest_end)


def _longest_end(slabs: Slabs) -> float:
    return max(v2 - v1 for v1, v2 in slabs.bars[-1].spans)


def _slabs(floor: Floor, towards: Side) -> Slabs:
    along = [[_TO_ALONG[towards](*point) for point in ring] for ring in floor]
    stops = sorted({u for ring in along for u, _v in ring})
    return Slabs(
        towards, tuple(Bar(u1, u2, _spans(along, (u1 + u2) / 2)) for u1, u2 in pairwise(stops))
    )


def _spans(rings: Sequence[Ring], u: float) -> tuple[tuple[float, float], ...]:
    """Where the line across at ``u`` is on the floor."""
    crossed = sorted(
        v
        for ring in rings
        for (u1, v), (u2, _v) in pairwise([*ring, ring[0]])
        if min(u1, u2) < u < max(u1, u2)
    )
    return tuple(zip(crossed[::2], crossed[1::2], strict=True))
