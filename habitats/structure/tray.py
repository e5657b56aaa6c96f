"""The inside of a level's tray: the floor that animals have.

Inside, for n cells in a line: ``n * size - 2 * clearance``, rounded down to ``round_mm``. For a
footprint of any shape each wall takes one position on the lattice line it stands at:

- walls on the north and west of their floor at ``clearance + ceil(line)``,
- walls on the south and east of their floor at ``clearance + floor(line - 2 * clearance)``,

both rounded to ``round_mm`` and counted from the level's own north-west corner. So every
rectangle has exactly the inside above, no straight run is longer than it, no wall comes nearer
to the wire than the clearance, and all measures of one tray are whole multiples of ``round_mm``.

Coordinates are millimetres from the lattice's north-west corner, x eastward, y southward.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from habitats.structure.design import Design, Level, PanelSize, TrayRule
from habitats.structure.lattice import Cell, Side


@dataclass(frozen=True, slots=True)
class TrayDoorway:
    """The stretch of a wall's floor edge where the tray wall folds down under a ramp's head."""

    side: Side
    cell: Cell
    x1: int
    y1: int
    x2: int
    y2: int

    @property
    def width_mm(self) -> int:
        return self.x2 - self.x1 + self.y2 - self.y1


@dataclass(frozen=True, slots=True)
class TrayWall:
    """A straight wall of a tray: floor edge from ``(x1, y1)`` to ``(x2, y2)``.

    Walking along it, the floor lies on the right. ``side`` is the side of its ``cells`` that it
    closes; the cells come in walking order.
    """

    side: Side
    cells: tuple[Cell, ...]
    x1: int
    y1: int
    x2: int
    y2: int

    @property
    def length_mm(self) -> int:
        return abs(self.x2 - self.x1) + abs(self.y2 - self.y1)

    def spans(self, doorway: TrayDoorway) -> bool:
        """Whether a doorway on the wall's line leaves wall at both its ends."""
        if self.side in (Side.N, Side.S):
            return min(self.x1, self.x2) < doorway.x1 and doorway.x2 < max(self.x1, self.x2)
        return min(self.y1, self.y2) < doorway.y1 and doorway.y2 < max(self.y1, self.y2)


Ring = tuple[TrayWall, ...]


@dataclass(frozen=True, slots=True)
class Tray:
    """The inside of one level: the outer ring clockwise, then one ring for each hole."""

    level: int
    wall_mm: int
    rings: tuple[Ring, ...]
    doorways: tuple[TrayDoorway, ...] = ()

    def wall_at(self, cell: Cell, side: Side) -> TrayWall:
        """The wall on an outer side of a cell. Raises ``StopIteration`` where there is none."""
        return next(
            wall for ring in self.rings for wall in ring if wall.side is side and cell in wall.cells
        )

    @property
    def area_mm2(self) -> int:
        """Floor area inside the walls."""
        doubled = sum(wall.x1 * wall.y2 - wall.x2 * wall.y1 for ring in self.rings for wall in ring)
        return doubled // 2

    @property
    def bounds(self) -> tuple[int, int, int, int]:
        """West, north, east, south of the inside."""
        xs = [wall.x1 for wall in self.rings[0]]
        ys = [wall.y1 for wall in self.rings[0]]
        return min(xs), min(ys), max(xs), max(ys)


def inside_mm(cells_in_line: int, panel: PanelSize, rule: TrayRule) -> int:
    """Inside of a tray along a straight line of cells."""
    free = cells_in_line * panel.size_mm - 2 * rule.clearance_mm
    return free // rule.round_mm * rule.round_mm


def lay_tray(design: Design, index: int) -> Tray:
    """The tray of one level, without doorways."""
    level = design.levels[index]
    lines = _Lines(level, design.panel, design.tray)
    rings = tuple(_ring(edges, lines) for edges in _loops(level.cells))
    outer_first = sorted(rings, key=_is_hole)
    return Tray(level=index, wall_mm=design.tray.wall_mm, rings=tuple(outer_first))


def doorway_in(tray: Tray, cell: Cell, side: Side, size_mm: int, width_mm: int) -> TrayDoorway:
    """A doorway ``width_mm`` wide in the middle of a cell's side, on the tray's wall there."""
    wall = tray.wall_at(cell, side)
    along = cell.col if side in (Side.N, Side.S) else cell.row
    start = along * size_mm + (size_mm - width_mm) // 2
    end = start + width_mm
    if side in (Side.N, Side.S):
        return TrayDoorway(side, cell, start, wall.y1, end, wall.y1)
    return TrayDoorway(side, cell, wall.x1, start, wall.x1, end)


class _Lines:
    """Positions of walls by the lattice line they stand at."""

    def __init__(self, level: Level, panel: PanelSize, rule: TrayRule) -> None:
        self._panel = panel
        self._rule = rule
        self._row0 = min(cell.row for cell in level.cells)
        self._col0 = min(cell.col for cell in level.cells)

    def position(self, side: Side, cell: Cell) -> int:
        """The one coordinate that is fixed along a wall: y for N and S, x for E and W."""
        if side is Side.N:
            return self._near(cell.row, self._row0)
        if side is Side.S:
            return self._far(cell.row + 1, self._row0)
        if side is Side.W:
            return self._near(cell.col, self._col0)
        return self._far(cell.col + 1, self._col0)

    def _near(self, line: int, origin: int) -> int:
        size, step = self._panel.size_mm, self._rule.round_mm
        offset = -(-(line - origin) * size // step) * step
        return origin * size + self._rule.clearance_mm + offset

    def _far(self, line: int, origin: int) -> int:
        inside = inside_mm(line - origin, self._panel, self._rule)
        return origin * self._panel.size_mm + self._rule.clearance_mm + inside


_Edge = tuple[Side, Cell]


def _loops(cells: frozenset[Cell]) -> Iterator[list[_Edge]]:
    """Boundary edges chained clockwise round the floor (so counter-clockwise round a hole)."""
    left = {(side, cell) for cell in cells for side in Side if cell.beyond(side) not in cells}
    order = list(Side)
    while left:
        edge = min(left, key=lambda one: (one[1], order.index(one[0])))
        loop = []
        while edge in left:
            left.discard(edge)
            loop.append(edge)
            edge = _next_edge(edge, cells)
        yield loop


_CLOCKWISE = {Side.N: Side.E, Side.E: Side.S, Side.S: Side.W, Side.W: Side.N}


def _next_edge(edge: _Edge, cells: frozenset[Cell]) -> _Edge:
    """Where the boundary goes on: round this cell's corner, straight on, or round the outside."""
    side, cell = edge
    ahead_side = _CLOCKWISE[side]
    ahead = cell.beyond(ahead_side)
    if ahead not in cells:
        return ahead_side, cell
    if ahead.beyond(side) not in cells:
        return side, ahead
    return ahead_side.opposite, ahead.beyond(side)


def _ring(loop: list[_Edge], lines: _Lines) -> Ring:
    runs = _straight_runs(loop)
    fixed = [lines.position(side, run[0]) for side, run in runs]
    corners = [
        (fixed[i - 1], fixed[i]) if side in (Side.N, Side.S) else (fixed[i], fixed[i - 1])
        for i, (side, _run) in enumerate(runs)
    ]
    ends = [*corners, corners[0]]
    return tuple(
        TrayWall(side, tuple(run), x1, y1, x2, y2)
        for (side, run), ((x1, y1), (x2, y2)) in zip(runs, pairwise(ends), strict=True)
    )


def _straight_runs(loop: list[_Edge]) -> list[tuple[Side, list[Cell]]]:
    """The loop as walls, started at a corner so that no wall is split in two."""
    start = next(i for i in range(len(loop)) if loop[i - 1][0] is not loop[i][0])
    runs: list[tuple[Side, list[Cell]]] = []
    for side, cell in loop[start:] + loop[:start]:
        if runs and runs[-1][0] is side:
            runs[-1][1].append(cell)
        else:
            runs.append((side, [cell]))
    return runs


def _is_hole(ring: Ring) -> bool:
    return sum(wall.x1 * wall.y2 - wall.x2 * wall.y1 for wall in ring) < 0
