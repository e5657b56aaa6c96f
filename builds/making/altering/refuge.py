"""A part of the ground where the animals can stay while the rest is altered.

A straight line cuts the ground in two; the animals may stay on one side if no work is done in it,
over it or on its walls, if it is at least half of the ground, in one piece, and no ramp leads out
of it. The line is closed by the divider that stands there, or by one for the time of the work.
Common practice, no source: it is offered, and the step says to take the animals out if in doubt.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from builds.making.altering.alteration import Alteration
from builds.making.altering.staying import beside
from builds.making.step import Parts
from habitats.structure.lattice import (
    Cell,
    Joint,
    PanelPlace,
    Side,
    connected_pieces,
    wall_place,
)
from habitats.structure.structure import Structure


@dataclass(frozen=True, slots=True)
class Refuge:
    """The cells of the refuge, on the named side of the line, and the panels that close it.

    ``borrowed`` stand there only while the work lasts; ``standing`` do so anyway.
    """

    cells: frozenset[Cell]
    side: Side
    borrowed: tuple[PanelPlace, ...]
    standing: tuple[PanelPlace, ...]


def refuge_in(
    alteration: Alteration, touched: Parts, cut_levels: Iterable[int] = ()
) -> Refuge | None:
    """The largest refuge, with the fewest borrowed panels; None if there is none.

    ``touched`` are all places and joints where anything is taken off, put on, turned or tied, and
    ``cut_levels`` are levels of the target whose tray is cut where it lies.
    """
    stands = alteration.stands
    if 0 not in alteration.staying.trays or alteration.staying.trays[0] != 0 or 0 in cut_levels:
        return None
    ground = stands.design.ground.cells
    busy = _busy(alteration, touched)
    halves = [one for one in _halves(stands) if not one[1] & busy]
    found = [
        _closed(stands, cells, side)
        for side, cells in halves
        if 2 * len(cells) >= len(ground) and len(connected_pieces(cells)) == 1
    ]
    return min(
        (one for one in found if one is not None),
        key=lambda one: (-len(one.cells), len(one.borrowed), sorted(one.cells)),
        default=None,
    )


def _busy(alteration: Alteration, touched: Parts) -> frozenset[Cell]:
    """Cells in whose column work is done, and those under ramps."""
    structures = alteration.stands, alteration.target
    lanes = (cell for one in structures for ramp in one.ramps for cell in (*ramp.lane, ramp.cell))
    beside = (cell for place in touched.places for cell in _cells_beside(place))
    round_joints = (cell for joint in touched.joints for cell in _cells_round(joint))
    return frozenset((*lanes, *beside, *round_joints))


def _cells_beside(place: PanelPlace) -> tuple[Cell, ...]:
    return beside(place) if place.is_upright else (Cell(place.row, place.col),)


def _cells_round(joint: Joint) -> Iterator[Cell]:
    for row in (joint.row - 1, joint.row):
        yield from (Cell(row, col) for col in (joint.col - 1, joint.col))


def _halves(stands: Structure) -> Iterator[tuple[Side, frozenset[Cell]]]:
    """Both sides of every straight line through the ground."""
    ground = stands.design.ground.cells
    for line in sorted({cell.row for cell in ground}):
        north = frozenset(cell for cell in ground if cell.row < line)
        yield from ((Side.N, north), (Side.S, ground - north))
    for line in sorted({cell.col for cell in ground}):
        west = frozenset(cell for cell in ground if cell.col < line)
        yield from ((Side.W, west), (Side.E, ground - west))


def _closed(stands: Structure, cells: frozenset[Cell], side: Side) -> Refuge | None:
    """The refuge with its line closed; None where there is no line to close."""
    level = stands.design.ground
    toward = side.opposite
    line = [
        wall_place(cell, toward, z)
        for cell in sorted(cells)
        if cell.beyond(toward) in level.cells - cells
        for z in range(level.z, level.top)
    ]
    standing = tuple(place for place in line if place in stands.places)
    borrowed = tuple(place for place in line if place not in stands.places)
    return Refuge(cells, side, borrowed, standing) if line else None
