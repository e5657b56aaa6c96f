"""Joining pieces of floor that do not touch."""

from habitats.structure.lattice import Cell, outer_edges


def bridge_between(one: frozenset[Cell], other: frozenset[Cell]) -> frozenset[Cell]:
    """The fewest cells that join two pieces side to side: along a row, then along a column."""
    start, end = min(
        ((a, b) for a in _rim(one) for b in _rim(other)),
        key=lambda pair: (_steps(*pair), pair),
    )
    along = {Cell(start.row, col) for col in _from_to(start.col, end.col)}
    down = {Cell(row, end.col) for row in _from_to(start.row, end.row)}
    return frozenset(along | down) - one - other


def _rim(cells: frozenset[Cell]) -> set[Cell]:
    return {cell for cell, _side in outer_edges(cells)}


def _steps(a: Cell, b: Cell) -> int:
    return abs(a.row - b.row) + abs(a.col - b.col)


def _from_to(a: int, b: int) -> range:
    return range(min(a, b), max(a, b) + 1)
