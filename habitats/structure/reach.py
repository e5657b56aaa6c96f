"""Which parts of a floor people reach with a hand, to clean it and to take an animal out.

All sides are open but those where a wall of the room stands. Over a wall a hand reaches
``REACH_MM`` from it, where the floor is open above; under a floor or a lid it reaches only through
a front door, as far. Common practice, no source.
"""

from collections.abc import Iterable
from typing import NamedTuple

from habitats.structure.design import Design
from habitats.structure.doors import DOOR
from habitats.structure.lattice import Cell, Side, outer_edges

REACH_MM = 700

Edge = tuple[Cell, Side]


class OutOfReach(NamedTuple):
    """Cells of one level: those that a front door would bring within reach, under cover, and those
    too far in from every open side."""

    covered: tuple[Cell, ...]
    far: tuple[Cell, ...]


def out_of_reach(design: Design, index: int) -> OutOfReach:
    """What of a level nobody reaches, in reading order."""
    level, size = design.levels[index], design.panel.size_mm
    sides = open_edges(design)
    doors = [one.edge for one in design.of_kind(DOOR) if one.z == level.z and one.edge in sides]
    covered, far = [], []
    for cell in sorted(level.cells):
        if reaches(cell, doors, size):
            continue
        if not reaches(cell, sides, size):
            far.append(cell)
        elif design.cover_over(cell, level.z) is not None:
            covered.append(cell)
    return OutOfReach(tuple(covered), tuple(far))


def open_edges(design: Design) -> frozenset[Edge]:
    """Edges of the footprint that people can stand at: all but those at a wall of the room."""
    cells = design.ground.cells
    last = {
        Side.N: min(cell.row for cell in cells),
        Side.S: max(cell.row for cell in cells),
        Side.W: min(cell.col for cell in cells),
        Side.E: max(cell.col for cell in cells),
    }

    def is_at_wall(cell: Cell, side: Side) -> bool:
        line = cell.row if side in (Side.N, Side.S) else cell.col
        return side in design.room_walls and line == last[side]

    return frozenset(edge for edge in outer_edges(cells) if not is_at_wall(*edge))


def reaches(cell: Cell, edges: Iterable[Edge], size_mm: int) -> bool:
    """Whether the middle of the cell is within reach of an edge, seen from above.

    Everything is doubled to stay whole.
    """
    x, y = (2 * cell.col + 1) * size_mm, (2 * cell.row + 1) * size_mm
    for (row, col), side in edges:
        left, top = 2 * col * size_mm, 2 * row * size_mm
        right, bottom = left + 2 * size_mm, top + 2 * size_mm
        x1, x2 = {Side.W: (left, left), Side.E: (right, right)}.get(side, (left, right))
        y1, y2 = {Side.N: (top, top), Side.S: (bottom, bottom)}.get(side, (top, bottom))
        across = max(x1 - x, 0, x - x2)
        down = max(y1 - y, 0, y - y2)
        if across * across + down * down <= (2 * REACH_MM) ** 2:
            return True
    return False
