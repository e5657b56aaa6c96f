"""Liners: the rectangles of cloth that cover every floor of an enclosure.

Sizes are whole millimetres, (width, length): east-west and north-south.
"""

from typing import NamedTuple

from habitats.structure.design import Design
from habitats.structure.kinds import parting
from habitats.structure.lattice import Cell, Side
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray

Size = tuple[int, int]


class Liner(NamedTuple):
    """A rectangle of cloth for one level, (west, north, east, south) on the lattice in mm."""

    level: int
    west: int
    north: int
    east: int
    south: int

    @property
    def size(self) -> Size:
        return self.east - self.west, self.south - self.north


def liners_for(structure: Structure) -> tuple[Liner, ...]:
    """The liners of every tray: one a level for a rectangle, else as few as two cuts find.

    They meet on lattice lines where the floor goes on and end at the tray's walls elsewhere, so
    every part of the floor is covered; at an inner corner a liner may turn up by the clearance.
    None lies under what parts a floor, which stands before the liners are laid.
    """
    return tuple(
        _liner(tray, structure.design.panel.size_mm, rectangle)
        for tray, level in zip(structure.trays, structure.design.levels, strict=True)
        for rectangle in _rectangles(level.cells, _divided(structure.design, level.z))
    )


_Pair = frozenset[Cell]


def _divided(design: Design, z: int) -> frozenset[_Pair]:
    """Pairs of neighbouring cells of one height that a fitting parts."""
    return frozenset(frozenset((cell, cell.beyond(side))) for cell, side in parting(design, z))


class _Rectangle(NamedTuple):
    """Cells from ``top`` to ``bottom`` and ``left`` to ``right``, both ends counted."""

    top: int
    left: int
    bottom: int
    right: int

    @property
    def turned(self) -> "_Rectangle":
        return _Rectangle(self.left, self.top, self.right, self.bottom)

    def edge(self, side: Side) -> frozenset[Cell]:
        rows, cols = range(self.top, self.bottom + 1), range(self.left, self.right + 1)
        if side in (Side.N, Side.S):
            row = self.top if side is Side.N else self.bottom
            return frozenset(Cell(row, col) for col in cols)
        col = self.left if side is Side.W else self.right
        return frozenset(Cell(row, col) for row in rows)


def _rectangles(cells: frozenset[Cell], divided: frozenset[_Pair]) -> tuple[_Rectangle, ...]:
    """The cells in rectangles along the rows, or along the columns if those are fewer."""
    along_rows = _cut_up(cells, divided)
    turned_pairs = frozenset(_turned(pair) for pair in divided)
    along_cols = tuple(one.turned for one in _cut_up(_turned(cells), turned_pairs))
    return min(along_rows, along_cols, key=len)


def _turned(cells: frozenset[Cell]) -> frozenset[Cell]:
    return frozenset(Cell(cell.col, cell.row) for cell in cells)


def _cut_up(cells: frozenset[Cell], divided: frozenset[_Pair]) -> tuple[_Rectangle, ...]:
    """From the first cell left, as far along its row as the floor goes on, then as far down."""

    def goes_on(cell: Cell, side: Side) -> bool:
        return cell.beyond(side) in left and {cell, cell.beyond(side)} not in divided

    rectangles = []
    left = set(cells)
    while left:
        top, first = min(left)
        last = first
        while goes_on(Cell(top, last), Side.E):
            last += 1
        bottom = top
        while all(
            goes_on(Cell(bottom, col), Side.S)
            and (col == last or goes_on(Cell(bottom + 1, col), Side.E))
            for col in range(first, last + 1)
        ):
            bottom += 1
        rectangles.append(_Rectangle(top, first, bottom, last))
        left -= {Cell(row, col) for row in range(top, bottom + 1) for col in range(first, last + 1)}
    return tuple(rectangles)


def _liner(tray: Tray, size_mm: int, rectangle: _Rectangle) -> Liner:
    lines = {
        Side.W: rectangle.left,
        Side.N: rectangle.top,
        Side.E: rectangle.right + 1,
        Side.S: rectangle.bottom + 1,
    }
    west, north, east, south = (
        _wall_mm(tray, side, rectangle.edge(side), default=line * size_mm)
        for side, line in lines.items()
    )
    return Liner(tray.level, west, north, east, south)


def _wall_mm(tray: Tray, side: Side, edge: frozenset[Cell], default: int) -> int:
    """Where the tray's wall stands if it closes the whole edge, else the lattice line."""
    for ring in tray.rings:
        for wall in ring:
            if wall.side is side and edge <= set(wall.cells):
                return wall.y1 if side in (Side.N, Side.S) else wall.x1
    return default
