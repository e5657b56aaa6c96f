"""Supports: panels that stand under an upper floor where it spans too far.

A support stands upright on the floor below, between two cells, and reaches up to the floor above.
It holds up the edge over it, and the two joints at that edge's ends: from such a joint a floor's
edge reaches one panel on, to the next joint that is held. Common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from habitats.structure.design import Design, Fitting, Level
from habitats.structure.faults import FileFault
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, Side, wall_place
from habitats.structure.ramp import Ramp
from habitats.structure.spans import LONGEST_SPAN, Bearing, longest_span, span_at, top_of
from habitats.wording import message

SUPPORT = "support"
# Up to so many places every pair of them is tried.
MOST_PAIRED = 40


def support_panels(design: Design, supports: Iterable[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """Each panel's place and the level that it stands on; none where no floor is above."""
    for one in supports:
        index, top = _floor_at(design, one), _top(design, one)
        if index is not None and top is not None:
            yield from ((wall_place(*one.edge, z), index) for z in range(one.z, top))


def support_bears(design: Design, supports: Sequence[Fitting]) -> Iterator[PanelPlace | Joint]:
    """What floors rest on: its upper edge, and both ends of that."""
    for place, _level in support_panels(design, supports):
        yield place
        yield from top_of(place)


def _floor_at(design: Design, one: Fitting) -> int | None:
    """The level whose floor is on both its sides."""
    cell, side = one.edge
    for index, level in enumerate(design.levels):
        if level.z == one.z and level.cells.issuperset((cell, cell.beyond(side))):
            return index
    return None


def _top(design: Design, one: Fitting) -> int | None:
    """Height of the lowest floor above it."""
    cell, side = one.edge
    over = [z for at in (cell, cell.beyond(side)) for z in design.floors_over(at, one.z)]
    return min(over, default=None)


# --- Those that are drawn one by one ---


def support_faults(design: Design, supports: Sequence[Fitting]) -> list[FileFault]:
    """Supports that are not between two cells of one level, or have no floor above."""
    return [
        FileFault(f"supports[{number}]", sentence)
        for number, one in enumerate(supports)
        if (sentence := _misplaced(design, one))
    ]


def _misplaced(design: Design, one: Fitting) -> str:
    where = {"cell": one.cell.words, "side": one.edge[1], "z": one.z}
    if _floor_at(design, one) is None:
        return message(
            "The support at %(cell)s, side %(side)s, height %(z)s stands on no floor. A support "
            "stands between two cells of one level.",
            **where,
        )
    if _top(design, one) is None:
        return message(
            "Over the support at %(cell)s, side %(side)s, height %(z)s is no floor. Place it under "
            "an upper level.",
            **where,
        )
    return ""


def unsupported_supports(
    design: Design, supports: Sequence[Fitting], places: frozenset[PanelPlace]
) -> list[FileFault]:
    """Supports on an upper floor that nothing carries right below, given all other panels."""
    standing = places.union(place for place, _level in support_panels(design, supports))
    return [
        FileFault(
            f"supports[{number}]",
            message(
                "Nothing stands under the support at %(cell)s, side %(side)s, height %(z)s: it "
                "would press on the middle of a floor. Place a support below it too.",
                cell=one.cell.words,
                side=one.edge[1],
                z=one.z,
            ),
        )
        for number, one in enumerate(supports)
        if one.z and wall_place(*one.edge, one.z - 1) not in standing
    ]


# --- Those that are worked out ---


def auto_supports(
    design: Design, ramps: Iterable[Ramp], places: frozenset[PanelPlace]
) -> tuple[Fitting, ...]:
    """The fewest found that keep every floor's span within the limit, given all other panels.

    They keep clear of ramps and doorways and close no part of a floor off. Floors are taken from
    the top down: what stands on one floor has to be carried from below.
    """
    plan = _Plan(design, tuple(ramps), places)
    for index in reversed(range(1, len(design.levels))):
        plan.support(design.levels[index])
    return tuple(sorted(plan.found, key=lambda one: (one.z, *one.edge)))


_Column = tuple[Fitting, ...]  # supports one over the other, the highest first
_Columns = dict[PanelPlace, _Column]  # by the place right below the floor


@dataclass
class _Plan:
    """Supports as they are found, floor by floor."""

    design: Design
    ramps: tuple[Ramp, ...]
    places: frozenset[PanelPlace]

    def __post_init__(self) -> None:
        self.found: set[Fitting] = set()

    def support(self, level: Level) -> None:
        """Find those under one floor."""
        standing = self._standing
        bearing = Bearing(self._bearing, level.z)
        spans = longest_span(level.cells, bearing.carries)
        if spans <= LONGEST_SPAN:
            return
        columns = {
            place: column
            for place in _edges(level)
            if place not in standing and (column := self._column(place, standing)) is not None
        }
        least = longest_span(level.cells, bearing.with_supports(columns).carries)
        if least >= spans:
            return
        search = _Search(level.cells, bearing, max(least, LONGEST_SPAN))
        sets = [some for some in search.sets(columns) if self._leaves_whole(columns, some)]
        if sets:
            best = min(sets, key=lambda some: self._cost(search, columns, some))
            self.found.update(one for place in best for one in columns[place])

    @property
    def _standing(self) -> frozenset[PanelPlace]:
        own = (place for place, _level in support_panels(self.design, sorted(self.found, key=_key)))
        return self.places.union(own)

    @property
    def _bearing(self) -> Iterator[PanelPlace | Joint]:
        yield from self.places
        yield from support_bears(self.design, [*self.found])

    def _column(self, place: PanelPlace, standing: frozenset[PanelPlace]) -> _Column | None:
        """What stands under this edge of a floor, down to what carries; None: nothing can."""
        cell, side = _edge(place)
        cells = {cell, cell.beyond(side)}
        below = [one for one in self.design.levels if one.z <= place.z and one.cells & cells]
        floors = [one for one in below if one.z == max(level.z for level in below)]
        floor = next((one for one in floors if one.cells >= cells), None)
        if floor is None or self._is_kept_clear(floor.z, cell, side):
            return None
        here = Fitting(SUPPORT, *cell, side, floor.z)
        under = place._replace(z=floor.z - 1)
        if floor.z == 0 or under in standing:
            return (here,)
        rest = self._column(under, standing)
        return None if rest is None else (here, *rest)

    def _is_kept_clear(self, z: int, cell: Cell, side: Side) -> bool:
        """Whether a ramp needs the room there: its lane, its landing, and both ends of its way."""
        ends = {cell, cell.beyond(side)}
        levels = self.design.levels
        return any(
            (levels[ramp.landing].z == z and bool(ends.intersection(ramp.lane)))
            or (levels[ramp.level].z == z and ramp.cell in ends)
            for ramp in self.ramps
        )

    def _leaves_whole(self, columns: _Columns, some: frozenset[PanelPlace]) -> bool:
        """Whether each floor still is in as many pieces as before."""
        new = {one for place in some for one in columns[place]}
        standing = self._standing
        for level in self.design.levels:
            closed = {wall_place(*one.edge, one.z) for one in new if one.z == level.z}
            if closed and _pieces(level, standing | closed) != _pieces(level, standing):
                return False
        return True

    def _cost(
        self, search: "_Search", columns: _Columns, some: frozenset[PanelPlace]
    ) -> tuple[int, int, list[PanelPlace]]:
        """Panels; then how far the floor spans in all; then places, so that it is settled."""
        panels = {
            place for place in some for place, _level in support_panels(self.design, columns[place])
        }
        return len(panels), search.spans(some), sorted(some)


@dataclass(frozen=True)
class _Search:
    """Sets of places for supports that keep the span of a floor within ``most``."""

    cells: frozenset[Cell]
    bearing: Bearing
    most: int

    def sets(self, columns: Iterable[PanelPlace]) -> Iterator[frozenset[PanelPlace]]:
        """Few at a time first; then what is left when needless ones are taken out of many."""
        places = sorted(columns)
        small = 2 if len(places) <= MOST_PAIRED else 1
        for count in range(1, small + 1):
            found = [
                frozenset(some) for some in combinations(places, count) if self._is_enough(some)
            ]
            yield from found
            if found:
                return
        for of_face in (Face.EW, Face.NS):
            line = [one for one in places if one.face is of_face]
            if self._is_enough(line):
                yield self._thinned(line)
        yield self._thinned(places)

    def spans(self, some: Iterable[PanelPlace]) -> int:
        bearing = self.bearing.with_supports(some)
        return sum(self._span(bearing, cell) for cell in self.cells)

    def _span(self, bearing: Bearing, cell: Cell) -> int:
        return span_at(self.cells, bearing.carries, cell, self.most)

    def _is_enough(self, some: Iterable[PanelPlace]) -> bool:
        bearing = self.bearing.with_supports(some)
        return all(self._span(bearing, cell) <= self.most for cell in self._weakest_first)

    @cached_property
    def _weakest_first(self) -> list[Cell]:
        return sorted(self.cells, key=lambda cell: (-self._span(self.bearing, cell), cell))

    def _thinned(self, places: Sequence[PanelPlace]) -> frozenset[PanelPlace]:
        left = set(places)
        bearing = self.bearing.with_supports(places)
        for place in places:
            carried = [edge for edge in _meeting(place) if bearing.carries(*_edge(edge))]
            bearing.remove(place)
            lost = [edge for edge in carried if not bearing.carries(*_edge(edge))]
            near = (cell for edge in lost for cell in self._strip_over(edge, bearing))
            if any(self._span(bearing, cell) > self.most for cell in near):
                bearing.add(place)
            else:
                left.remove(place)
        return frozenset(left)

    def _strip_over(self, edge: PanelPlace, bearing: Bearing) -> Iterator[Cell]:
        """Cells of the strip of floor that crosses the edge, up to what carries it."""
        for start, way in _both_ways(edge):
            cell = start
            while cell in self.cells:
                yield cell
                if bearing.carries(cell, way):
                    break
                cell = cell.beyond(way)


def _key(one: Fitting) -> tuple[int, Cell, Side]:
    return (one.z, *one.edge)


def _edges(level: Level) -> list[PanelPlace]:
    """The places right below all edges of a floor."""
    return sorted({wall_place(cell, side, level.z - 1) for cell in level.cells for side in Side})


def _edge(place: PanelPlace) -> tuple[Cell, Side]:
    """The cell north or west of an upright place, and its side."""
    if place.face is Face.EW:
        return Cell(place.row - 1, place.col), Side.S
    return Cell(place.row, place.col - 1), Side.E


def _both_ways(edge: PanelPlace) -> tuple[tuple[Cell, Side], tuple[Cell, Side]]:
    """The cells on both sides of an edge, each with the way that leads on from the edge."""
    cell, side = _edge(edge)
    return (cell, side.opposite), (cell.beyond(side), side)


def _meeting(place: PanelPlace) -> Iterator[PanelPlace]:
    """The edge itself, and all that share a joint with it."""
    for joint in top_of(place):
        row, col = joint.row, joint.col
        yield PanelPlace(Face.EW, row, col, place.z)
        yield PanelPlace(Face.EW, row, col - 1, place.z)
        yield PanelPlace(Face.NS, row, col, place.z)
        yield PanelPlace(Face.NS, row - 1, col, place.z)


def _pieces(level: Level, closed: frozenset[PanelPlace]) -> int:
    """In how many parts a floor falls for animals that walk."""
    left, count = set(level.cells), 0
    while left:
        count += 1
        frontier = [left.pop()]
        while frontier:
            cell = frontier.pop()
            new = {
                cell.beyond(side)
                for side in Side
                if cell.beyond(side) in left and wall_place(cell, side, level.z) not in closed
            }
            left -= new
            frontier.extend(new)
    return count
