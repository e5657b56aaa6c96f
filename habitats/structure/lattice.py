"""The lattice that every enclosure stands on: cells, joints and the places panels take.

Rows grow southward, columns eastward, ``z`` upward; one step is one panel. A joint is a lattice
point. A panel takes one unit square between four joints: upright in a wall that runs east-west
(``Face.EW``) or north-south (``Face.NS``), or lying flat (``Face.FLAT``).
"""

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from habitats.wording import message


class Side(StrEnum):
    """A side of a cell, as seen on the plan with north at the top."""

    N = "N"
    E = "E"
    S = "S"
    W = "W"

    @property
    def step(self) -> tuple[int, int]:
        """Rows and columns to the cell on the other side."""
        return _STEPS[self]

    @property
    def opposite(self) -> "Side":
        return _OPPOSITES[self]

    @property
    def beside(self) -> tuple["Side", "Side"]:
        """The two sides at right angles to this one."""
        return (Side.W, Side.E) if self in (Side.N, Side.S) else (Side.N, Side.S)


_STEPS = {Side.N: (-1, 0), Side.E: (0, 1), Side.S: (1, 0), Side.W: (0, -1)}
_OPPOSITES = {Side.N: Side.S, Side.E: Side.W, Side.S: Side.N, Side.W: Side.E}


class Face(StrEnum):
    """The plane a panel or a connector's disc lies in."""

    EW = "EW"
    NS = "NS"
    FLAT = "FLAT"


def counted_from_1(index: int) -> int:
    """The number of a row or column as people read it: on drawings, buttons and in sentences."""
    return index + 1


class Cell(NamedTuple):
    """One panel's square of floor."""

    row: int
    col: int

    def beyond(self, side: Side) -> "Cell":
        """The neighbouring cell across the named side."""
        rows, cols = side.step
        return Cell(self.row + rows, self.col + cols)

    @property
    def words(self) -> str:
        """Where it is, for people, who count from 1; files and keys count from 0."""
        return message(
            "row %(row)s, column %(col)s",
            row=counted_from_1(self.row),
            col=counted_from_1(self.col),
        )


class Joint(NamedTuple):
    """A lattice point; one connector holds the panels that meet there."""

    row: int
    col: int
    z: int


class PanelPlace(NamedTuple):
    """Where a panel stands: its plane and its north-west, lowest joint."""

    face: Face
    row: int
    col: int
    z: int

    @property
    def corners(self) -> tuple[Joint, Joint, Joint, Joint]:
        """The four joints, going round the panel."""
        row, col, z = self.row, self.col, self.z
        if self.face is Face.EW:
            return (
                Joint(row, col, z),
                Joint(row, col + 1, z),
                Joint(row, col + 1, z + 1),
                Joint(row, col, z + 1),
            )
        if self.face is Face.NS:
            return (
                Joint(row, col, z),
                Joint(row + 1, col, z),
                Joint(row + 1, col, z + 1),
                Joint(row, col, z + 1),
            )
        return (
            Joint(row, col, z),
            Joint(row, col + 1, z),
            Joint(row + 1, col + 1, z),
            Joint(row + 1, col, z),
        )

    @property
    def is_upright(self) -> bool:
        return self.face is not Face.FLAT


def wall_place(cell: Cell, side: Side, z: int) -> PanelPlace:
    """The upright place on the named side of a cell, from height ``z`` to ``z + 1``."""
    if side is Side.N:
        return PanelPlace(Face.EW, cell.row, cell.col, z)
    if side is Side.S:
        return PanelPlace(Face.EW, cell.row + 1, cell.col, z)
    if side is Side.W:
        return PanelPlace(Face.NS, cell.row, cell.col, z)
    return PanelPlace(Face.NS, cell.row, cell.col + 1, z)


def floor_place(cell: Cell, z: int) -> PanelPlace:
    """The flat place over a cell at height ``z``."""
    return PanelPlace(Face.FLAT, cell.row, cell.col, z)


def joints_of(places: Iterable[PanelPlace]) -> frozenset[Joint]:
    """Every lattice point that is a corner of at least one of the places."""
    return frozenset(joint for place in places for joint in place.corners)


def connected_pieces(cells: frozenset[Cell]) -> list[frozenset[Cell]]:
    """Groups of cells that touch along sides, in reading order of their first cell."""
    pieces = []
    left = set(cells)
    while left:
        frontier = [min(left)]
        piece = set(frontier)
        while frontier:
            cell = frontier.pop()
            new = {cell.beyond(side) for side in Side} & left - piece
            piece |= new
            frontier.extend(new)
        left -= piece
        pieces.append(frozenset(piece))
    return pieces


def outer_edges(cells: frozenset[Cell]) -> list[tuple[Cell, Side]]:
    """Each edge between a cell and no cell."""
    return [
        (cell, side) for cell in sorted(cells) for side in Side if cell.beyond(side) not in cells
    ]
