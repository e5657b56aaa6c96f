"""A floor of any shape cut into rectangles, for pieces that can be folded.

A floor needs a cut at every inner corner, running on along one of the two walls that meet there:
eastward or westward, or else northward or southward. A choice of direction for each inner corner,
and of which direction runs through where two cuts meet, makes a partition; its cost is the sum of
its rectangles' costs. With few inner corners every choice is tried. With more, choices are
changed one at a time, and two at a time where one cut serves both, as long as that helps.

So the partition is the best of this family for up to six inner corners, and a good one beyond.
Held against all partitions of every floor in 3 x 4 cells, it has the fewest rectangles.
"""

from collections.abc import Callable, Iterable, Iterator
from itertools import product
from typing import NamedTuple

from builds.making.piece import Rect
from builds.making.walls import TrayEdge
from habitats.structure.lattice import Side

# A square of the grid: (column, row).
Square = tuple[int, int]

# What a rectangle costs, worst first; partitions add up their rectangles' costs.
Cost = tuple[int, ...]

# Up to so many inner corners every choice is tried: 2 x 64 of them.
FEW_CORNERS = 6

# Looking at this many grid squares, counted again for each choice tried, is enough. It bounds the
# time for floors with very many inner corners.
MOST_LOOKS = 60_000


class Grid(NamedTuple):
    """A floor on the lines through its walls: which of the squares (column, row) are floor."""

    xs: tuple[int, ...]
    ys: tuple[int, ...]
    floor: frozenset[Square]


class _Corner(NamedTuple):
    """An inner corner at a grid point, and the way its cuts go: -1 or 1 along x and y."""

    column: int
    row: int
    step_x: int
    step_y: int


class _Choice(NamedTuple):
    """For each inner corner whether its cut is level (along x), and which way runs through."""

    level: tuple[bool, ...]
    level_first: bool


def partition(edge: TrayEdge, cost: Callable[[Rect], Cost]) -> tuple[Rect, ...]:
    """Rectangles that cover the floor once, in reading order. Equal costs: the first found."""
    grid = grid_of(edge)
    cutter = _Cutter(grid)

    def total(choice: _Choice) -> Cost:
        return add_up(cost(rect) for rect in cutter.rectangles(choice))

    if len(cutter.corners) <= FEW_CORNERS:
        choices = (
            _Choice(level, first)
            for first in (True, False)
            for level in product((True, False), repeat=len(cutter.corners))
        )
        best = min(choices, key=total)
    else:
        tries = max(4, MOST_LOOKS // len(grid.floor))
        best = _improved(cutter, total, tries)
    return tuple(sorted(cutter.rectangles(best), key=lambda rect: (rect.y1, rect.x1)))


def grid_of(edge: TrayEdge) -> Grid:
    """The floor inside the walls: going east along a row, W walls let in and E walls let out."""
    xs = sorted({at for side, at in edge.walls if side in (Side.W, Side.E)})
    ys = sorted({at for side, at in edge.walls if side in (Side.N, Side.S)})
    crossings: list[set[int]] = [set() for _ in ys]
    for (side, at), stretches in edge.walls.items():
        if side in (Side.W, Side.E):
            for stretch in stretches:
                for row in range(ys.index(stretch.start), ys.index(stretch.end)):
                    crossings[row] ^= {xs.index(at)}
    floor = set()
    for row, columns in enumerate(crossings):
        ends = sorted(columns)
        for start, end in zip(ends[::2], ends[1::2], strict=True):
            floor |= {(column, row) for column in range(start, end)}
    return Grid(tuple(xs), tuple(ys), frozenset(floor))


def add_up(costs: Iterable[Cost]) -> Cost:
    """Costs added place by place."""
    return tuple(sum(place) for place in zip(*costs, strict=True))


def _inner_corners(grid: Grid) -> tuple[_Corner, ...]:
    """Grid points with floor in three of their four quarters."""
    corners = []
    for row in range(1, len(grid.ys) - 1):
        for column in range(1, len(grid.xs) - 1):
            missing = [
                (x, y) for y in (-1, 0) for x in (-1, 0) if (column + x, row + y) not in grid.floor
            ]
            if len(missing) == 1:
                x, y = missing[0]
                corners.append(_Corner(column, row, -1 if x == 0 else 1, -1 if y == 0 else 1))
    return tuple(corners)


def _improved(cutter: "_Cutter", total: Callable[[_Choice], Cost], tries: int) -> _Choice:
    """The best choice met while making one move at a time, from all level or all upright."""
    starts = [_Choice((level,) * len(cutter.corners), level) for level in (True, False)]
    best = min(starts, key=total)
    least = total(best)
    moves = cutter.moves()
    tried = last_gain = 0
    while tried < tries and tried - last_gain < len(moves):
        indexes = moves[tried % len(moves)]
        other = _flipped(best, indexes)
        tried += 1
        if (now := total(other)) < least:
            best, least, last_gain = other, now, tried
    return best


def _flipped(choice: _Choice, indexes: tuple[int, ...]) -> _Choice:
    """The other direction for these corners: the first decides for all; none: what runs through."""
    if not indexes:
        return choice._replace(level_first=not choice.level_first)
    level = list(choice.level)
    for index in indexes:
        level[index] = not choice.level[indexes[0]]
    return choice._replace(level=tuple(level))


class _Cutter:
    """Cuts a grid by a choice and reads off the rectangles.

    A cut is kept as the edges it follows: a level edge (column, row) lies north of that square,
    an upright one west of it.
    """

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self._reading_order = sorted(grid.floor, key=lambda square: (square[1], square[0]))
        self.corners = _inner_corners(grid)

    def rectangles(self, choice: _Choice) -> Iterator[Rect]:
        level, upright = self._cuts(choice)
        xs, ys, floor = self._grid
        seen: set[Square] = set()
        for west, north in self._reading_order:
            if (west, north) in seen:
                continue
            east, south = west + 1, north + 1
            while (east, north) in floor and (east, north) not in upright:
                east += 1
            while (west, south) in floor and (west, south) not in level:
                south += 1
            seen.update(product(range(west, east), range(north, south)))
            yield Rect(xs[west], ys[north], xs[east], ys[south])

    def moves(self) -> list[tuple[int, ...]]:
        """What to flip: nothing but the order, one corner, or two that one straight cut serves."""
        served: dict[tuple[bool, frozenset[Square]], list[int]] = {}
        for index, corner in enumerate(self.corners):
            served.setdefault((True, frozenset(self._level_run(corner, set()))), []).append(index)
            served.setdefault((False, frozenset(self._upright_run(corner, set()))), []).append(
                index
            )
        pairs = [tuple(indexes) for indexes in served.values() if len(indexes) > 1]
        return [(), *((index,) for index in range(len(self.corners))), *pairs]

    def _cuts(self, choice: _Choice) -> tuple[set[Square], set[Square]]:
        level: set[Square] = set()
        upright: set[Square] = set()
        for now_level in (choice.level_first, not choice.level_first):
            for corner, is_level in zip(self.corners, choice.level, strict=True):
                if is_level is now_level and not _served(corner, level, upright):
                    if is_level:
                        level.update(self._level_run(corner, upright))
                    else:
                        upright.update(self._upright_run(corner, level))
        return level, upright

    def _level_run(self, corner: _Corner, upright: set[Square]) -> list[Square]:
        """Edges of a level cut from a corner to the next wall or upright cut."""
        floor, row, step = self._grid.floor, corner.row, corner.step_x
        column = corner.column if step > 0 else corner.column - 1
        run = []
        while (column, row) in floor and (column, row - 1) in floor:
            run.append((column, row))
            end = column + 1 if step > 0 else column
            if (end, row) in upright or (end, row - 1) in upright:
                break
            column += step
        return run

    def _upright_run(self, corner: _Corner, level: set[Square]) -> list[Square]:
        """Edges of an upright cut from a corner to the next wall or level cut."""
        floor, column, step = self._grid.floor, corner.column, corner.step_y
        row = corner.row if step > 0 else corner.row - 1
        run = []
        while (column, row) in floor and (column - 1, row) in floor:
            run.append((column, row))
            end = row + 1 if step > 0 else row
            if (column, end) in level or (column - 1, end) in level:
                break
            row += step
        return run


def _served(corner: _Corner, level: set[Square], upright: set[Square]) -> bool:
    """Whether another corner's cut already runs along one of the corner's walls."""
    column = corner.column if corner.step_x > 0 else corner.column - 1
    row = corner.row if corner.step_y > 0 else corner.row - 1
    return (column, corner.row) in level or (corner.column, row) in upright
