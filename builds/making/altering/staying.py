"""What stays untouched while the rest is altered.

A part can stay if the same part is wanted in the same place. It stays untouched only if nothing
has to pass where it is, and if all that stays stands by itself once the rest is off:

- a tray comes and goes from above, so nothing that lies over it, stands in it or hangs from it
  stays while it goes or comes; the same for a ramp and what lies over its lane;
- a tray stays while the whole floor under it stays, a ramp while its doorway and trays do;
- a panel stays while it is carried: from the ground, by the edge of one that stays or, lying,
  by one beside it.

What is wanted in the same place but cannot stay is *lifted*: taken off and put back.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from habitats.structure.lattice import (
    Cell,
    Face,
    Joint,
    PanelPlace,
    Side,
    floor_place,
    joints_of,
    wall_place,
)
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray


@dataclass(frozen=True, slots=True)
class Staying:
    """What stays untouched, and all that is wanted where it is (``same_…``), lifted or not.

    Trays and ramps go by index, the target's to that of what stands. A tray among ``same_trays``
    may lack doorways that the target has: they are cut into it where it lies.
    """

    places: frozenset[PanelPlace]
    trays: Mapping[int, int]
    ramps: Mapping[int, int]
    same_places: frozenset[PanelPlace]
    same_trays: Mapping[int, int]
    same_ramps: Mapping[int, int]

    @property
    def joints(self) -> frozenset[Joint]:
        return joints_of(self.places)

    @property
    def lifted(self) -> int:
        """How many panels, trays and ramps are taken off only to be put back."""
        return (
            len(self.same_places)
            - len(self.places)
            + len(self.same_trays)
            - len(self.trays)
            + len(self.same_ramps)
            - len(self.ramps)
        )


def what_stays(stands: Structure, target: Structure) -> Staying:
    """What of a standing structure stays while it is made into the target, one lattice for both."""
    places = _same_places(stands, target)
    trays = dict(_same_trays(stands, target))
    ramps = dict(_same_ramps(stands, target))
    now = _Now(set(places), dict(trays), dict(ramps))
    while _loosen(now, stands, target):
        pass
    return Staying(frozenset(now.places), now.trays, now.ramps, places, trays, ramps)


class _Now(NamedTuple):
    """What may still stay; shrinks until all of it can."""

    places: set[PanelPlace]
    trays: dict[int, int]
    ramps: dict[int, int]

    @property
    def size(self) -> int:
        return len(self.places) + len(self.trays) + len(self.ramps)


# --- What is wanted where it is ---


def openings_of(structure: Structure) -> dict[PanelPlace, tuple[int, int]]:
    """The mesh squares cut out of each doorway panel, (wide, high)."""
    levels = structure.design.levels
    return {
        wall_place(ramp.cell, ramp.side, levels[ramp.level].z): ramp.doorway_squares
        for ramp in structure.ramps
    }


def _same_places(stands: Structure, target: Structure) -> frozenset[PanelPlace]:
    had, wanted = openings_of(stands), openings_of(target)
    common = stands.places & target.places
    return frozenset(place for place in common if had.get(place) == wanted.get(place))


def _same_trays(stands: Structure, target: Structure) -> Iterator[tuple[int, int]]:
    """A tray is the same where it covers the same cells: it then fits between the same wires."""
    if stands.design.tray != target.design.tray:
        return
    for index, level in enumerate(target.design.levels):
        for old, stood in enumerate(stands.design.levels):
            alike = (stood.z, stood.cells) == (level.z, level.cells)
            if alike and doorways_of(stands.trays[old]) <= doorways_of(target.trays[index]):
                yield index, old


def doorways_of(tray: Tray) -> frozenset[tuple[Cell, str, int]]:
    return frozenset((one.cell, one.side.value, one.width_mm) for one in tray.doorways)


def _same_ramps(stands: Structure, target: Structure) -> Iterator[tuple[int, int]]:
    had = {_hanging(stands, ramp): index for index, ramp in enumerate(stands.ramps)}
    for index, ramp in enumerate(target.ramps):
        if (key := _hanging(target, ramp)) in had:
            yield index, had[key]


def _hanging(structure: Structure, ramp: Ramp) -> tuple[object, ...]:
    """Where a ramp hangs, how far its head lies through the doorway, and what it is made of."""
    heights = tuple(structure.design.levels[index].z for index in (ramp.level, ramp.landing))
    return heights, ramp.cell, ramp.side, ramp.seat_mm, make_of(ramp)


def make_of(ramp: Ramp) -> tuple[object, ...]:
    """What a ramp is made of; two that agree in it are one and the same part."""
    return ramp.panels, ramp.overlap_squares, ramp.bend_squares, ramp.strip, ramp.strip_side_mm


# --- What cannot stay after all ---


def _loosen(now: _Now, stands: Structure, target: Structure) -> bool:
    """One round of the rules; whether anything had to be let go."""
    before = now.size
    for structure, trays, ramps in (
        (stands, {*now.trays.values()}, {*now.ramps.values()}),
        (target, {*now.trays}, {*now.ramps}),
    ):
        now.places.difference_update(_in_the_way(structure, trays, ramps))
    for index in [*now.trays]:
        if not now.places.issuperset(_floor_under(target, index)):
            del now.trays[index]
    for index in [*now.ramps]:
        if not _ramp_can_stay(now, target, index):
            del now.ramps[index]
    now.places.intersection_update(carried(now.places))
    return now.size < before


def _in_the_way(structure: Structure, trays: set[int], ramps: set[int]) -> Iterator[PanelPlace]:
    """Panels that lie over, or stand in, trays and ramps other than those that stay."""
    levels = structure.design.levels
    flats = [one.place for one in structure.panels if not one.place.is_upright]
    for index, level in enumerate(levels):
        if index not in trays:
            yield from _over(flats, level.cells, level.z)
            yield from _between(structure, level.cells, level.z)
    for index, ramp in enumerate(structure.ramps):
        if index not in ramps:
            yield from _over(flats, (*ramp.lane, ramp.cell), levels[ramp.level].z)


def _over(flats: Iterable[PanelPlace], cells: Iterable[Cell], z: int) -> list[PanelPlace]:
    under = frozenset(cells)
    return [flat for flat in flats if flat.z > z and Cell(flat.row, flat.col) in under]


def _between(structure: Structure, cells: frozenset[Cell], z: int) -> list[PanelPlace]:
    """Dividers and other upright panels that have cells of one floor on both sides."""
    return [
        one.place
        for one in structure.panels
        if one.place.is_upright and one.place.z >= z and cells.issuperset(beside(one.place))
    ]


def beside(place: PanelPlace) -> tuple[Cell, Cell]:
    """The cells on both sides of an upright place."""
    cell = Cell(place.row, place.col)
    return cell, cell.beyond(Side.N if place.face is Face.EW else Side.W)


def _floor_under(structure: Structure, index: int) -> list[PanelPlace]:
    level = structure.design.levels[index]
    return [floor_place(cell, level.z) for cell in level.cells] if level.z else []


def _ramp_can_stay(now: _Now, target: Structure, index: int) -> bool:
    ramp = target.ramps[index]
    doorway = wall_place(ramp.cell, ramp.side, target.design.levels[ramp.level].z)
    return doorway in now.places and {ramp.level, ramp.landing} <= now.trays.keys()


def carried(places: Iterable[PanelPlace]) -> set[PanelPlace]:
    """Those of the panels that stand by themselves, without the others."""
    waiting = set(places)
    standing = {place for place in waiting if place.is_upright and place.z == 0}
    frontier = list(standing)
    waiting -= standing
    while frontier:
        next_ones = waiting.intersection(_carries(frontier.pop()))
        waiting -= next_ones
        standing |= next_ones
        frontier.extend(next_ones)
    return standing


def _carries(place: PanelPlace) -> Iterator[PanelPlace]:
    """Places that a panel in this place holds: on its top edge, or beside it if it lies."""
    face, row, col, z = place
    if face is Face.FLAT:
        yield from (PanelPlace(face, row + down, col + right, z) for down, right in _BESIDE)
        yield from (PanelPlace(Face.EW, row, col, z), PanelPlace(Face.EW, row + 1, col, z))
        yield from (PanelPlace(Face.NS, row, col, z), PanelPlace(Face.NS, row, col + 1, z))
        return
    yield PanelPlace(face, row, col, z + 1)
    yield PanelPlace(Face.FLAT, row, col, z + 1)
    yield (
        PanelPlace(Face.FLAT, row - 1, col, z + 1)
        if face is Face.EW
        else PanelPlace(Face.FLAT, row, col - 1, z + 1)
    )


_BESIDE = ((-1, 0), (1, 0), (0, -1), (0, 1))
