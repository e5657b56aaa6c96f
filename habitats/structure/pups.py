"""The pup set: a second layer of panels over the walls of the ground floor, while there are young.

Newborn guinea pigs slip through wire that holds adults. A plain panel over each wall, shifted by
half a square, halves the openings; another one closes the foot of each ramp, since young fall from
upper levels. The panels are clipped on, and come off again. What young pass and what they do not
is nowhere published: all of it is common practice, no source.
"""

from collections.abc import Iterator
from typing import NamedTuple

from habitats.structure.design import Design, PanelSize
from habitats.structure.kinds import Role
from habitats.structure.lattice import Cell, PanelPlace, Side, wall_place
from habitats.structure.structure import Structure

# Young pass a wider opening than this, measured from wire to wire.
PUP_OPENING_MM = 25
# Younger than this, they ask for the set.
PUP_DAYS = 42
LAYERS = 2
DOUBLED = frozenset({Role.WALL, Role.DOOR, Role.DIVIDER})


class PupPlace(NamedTuple):
    """Where a panel of the set is: over the wall at this place.

    ``at_foot``: across the foot of the ramp that leaves through the doorway there.
    """

    place: PanelPlace
    at_foot: bool = False


def asks_for_pup_set(panel: PanelSize) -> bool:
    """Whether young pass a wall of single wire."""
    return panel.pitch_mm > PUP_OPENING_MM


def doubled_opening_mm(panel: PanelSize) -> float:
    """How wide the openings are with the second layer."""
    return panel.pitch_mm / LAYERS


def pup_places(structure: Structure) -> tuple[PupPlace, ...]:
    """All panels of the set; none for a design without one."""
    return tuple(sorted(_places(structure))) if structure.design.pup_set else ()


def is_within(structure: Structure, one: PupPlace) -> bool:
    """Whether a hand has to reach inside for it: there is no open side to put it on from."""
    role = next(panel.role for panel in structure.panels if panel.place == one.place)
    return one.at_foot or role == Role.DIVIDER or one.place in _at_walls_of_the_room(structure)


def _places(structure: Structure) -> Iterator[PupPlace]:
    for panel in structure.panels:
        if panel.place.is_upright and panel.place.z == 0 and panel.role in DOUBLED:
            yield PupPlace(panel.place)
    levels = structure.design.levels
    for ramp in structure.ramps:
        if ramp.landing == 0:
            doorway = wall_place(ramp.cell, ramp.side, levels[ramp.level].z)
            yield PupPlace(doorway, at_foot=True)


def _at_walls_of_the_room(structure: Structure) -> frozenset[PanelPlace]:
    return frozenset(wall_place(*edge, 0) for edge in _sides_at_walls(structure.design))


def _sides_at_walls(design: Design) -> Iterator[tuple[Cell, Side]]:
    """Outer edges of the ground that nothing of it stands before, on a side with a wall."""
    cells = design.ground.cells
    for cell in cells:
        for side in design.room_walls:
            if not any(_is_past(other, cell, side) for other in cells):
                yield cell, side


def _is_past(other: Cell, cell: Cell, side: Side) -> bool:
    """Whether the other cell lies further to this side, in any row."""
    down, right = side.step
    return (other.row - cell.row) * down + (other.col - cell.col) * right > 0
