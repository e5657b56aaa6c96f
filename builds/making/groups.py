"""Which panels go up in one step: few enough that the step's picture can be read."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence, Set
from itertools import groupby
from typing import NamedTuple

from habitats.structure.lattice import Face, PanelPlace, Side, wall_place
from habitats.structure.structure import Structure

MOST_PANELS = 8  # in one step; ours


class PanelGroup(NamedTuple):
    """Panels put up together, walls also ``inner`` if they stand round an opening in the floor.

    ``sides`` says how many walls stand on which side, in walking order, clockwise.
    """

    places: tuple[PanelPlace, ...]
    sides: tuple[tuple[Side, int], ...] = ()
    inner: bool = False


# Of a structure and a level, places of one height to put up, and all that stand.
Grouping = Callable[[Structure, int, Sequence[PanelPlace], Set[PanelPlace]], list[PanelGroup]]


class _Stretch(NamedTuple):
    """A piece of one straight wall, short enough for one step."""

    side: Side
    places: tuple[PanelPlace, ...]


def round_the_floor(
    structure: Structure, level: int, own: Sequence[PanelPlace], _standing: Set[PanelPlace]
) -> list[PanelGroup]:
    """Some walls of one tier of a level, going round each ring of its floor.

    Whole walls are taken together up to ``MOST_PANELS``, so that walls which meet in a corner hold
    each other up; longer walls are split evenly.
    """
    heights = {place.z for place in own}
    groups = []
    for ring_index, ring in enumerate(structure.trays[level].rings):
        stretches: list[_Stretch] = []
        for wall in ring:
            places = [wall_place(cell, wall.side, z) for cell in wall.cells for z in heights]
            pieces = split_evenly([place for place in places if place in own])
            stretches += [_Stretch(wall.side, piece) for piece in pieces]
        groups += [_wall_group(some, inner=ring_index > 0) for some in _packed(stretches)]
    return groups


def in_lines(
    _structure: Structure, _level: int, own: Sequence[PanelPlace], _standing: Set[PanelPlace]
) -> list[PanelGroup]:
    """Upright panels, those in one line together."""
    return [PanelGroup(places) for places in straight_runs(own)]


def outward(
    _structure: Structure, _level: int, own: Sequence[PanelPlace], standing: Set[PanelPlace]
) -> list[PanelGroup]:
    """Flat panels, from what carries them outward."""
    return [PanelGroup(places) for places in spread(own, standing)]


def evenly(
    _structure: Structure, _level: int, own: Sequence[PanelPlace], _standing: Set[PanelPlace]
) -> list[PanelGroup]:
    """As few steps as can be."""
    return [PanelGroup(places) for places in split_evenly(own)]


def split_evenly(places: Sequence[PanelPlace]) -> list[tuple[PanelPlace, ...]]:
    """The places in as few pieces of at most ``MOST_PANELS`` as can be, of like size."""
    if not places:
        return []
    pieces = -(-len(places) // MOST_PANELS)
    bounds = [len(places) * i // pieces for i in range(pieces + 1)]
    return [tuple(places[bounds[i] : bounds[i + 1]]) for i in range(pieces)]


def straight_runs(places: Iterable[PanelPlace]) -> list[tuple[PanelPlace, ...]]:
    """Upright places, those in one line together."""

    def line(place: PanelPlace) -> tuple[Face, int, int]:
        return place.face, place.z, place.row if place.face is Face.EW else place.col

    ordered = sorted(places, key=lambda place: (line(place), place))
    return [piece for _, run in groupby(ordered, line) for piece in split_evenly([*run])]


def spread(places: Iterable[PanelPlace], standing: Set[PanelPlace]) -> list[tuple[PanelPlace, ...]]:
    """Flat places from what carries them outward: first those on uprights, then their neighbours.

    Places that nothing carries come last: they are for whoever checks the order to refuse.
    """
    left = sorted(places)
    laid: list[PanelPlace] = []
    carried = set(standing)
    while left:
        layer = [place for place in left if _rests(place, carried)] or left
        laid += layer
        carried.update(layer)
        left = [place for place in left if place not in carried]
    return split_evenly(laid)


def _rests(flat: PanelPlace, carried: Set[PanelPlace]) -> bool:
    row, col, z = flat.row, flat.col, flat.z
    under = (
        PanelPlace(Face.EW, row, col, z - 1),
        PanelPlace(Face.EW, row + 1, col, z - 1),
        PanelPlace(Face.NS, row, col, z - 1),
        PanelPlace(Face.NS, row, col + 1, z - 1),
    )
    beside = (
        PanelPlace(Face.FLAT, row - 1, col, z),
        PanelPlace(Face.FLAT, row + 1, col, z),
        PanelPlace(Face.FLAT, row, col - 1, z),
        PanelPlace(Face.FLAT, row, col + 1, z),
    )
    return any(place in carried for place in (*under, *beside))


def _packed(stretches: list[_Stretch]) -> list[list[_Stretch]]:
    """Neighbouring stretches together while there is room in the step."""
    packs: list[list[_Stretch]] = []
    for stretch in stretches:
        room = MOST_PANELS - sum(len(one.places) for one in packs[-1]) if packs else 0
        if len(stretch.places) <= room:
            packs[-1].append(stretch)
        else:
            packs.append([stretch])
    return packs


def _wall_group(stretches: list[_Stretch], *, inner: bool) -> PanelGroup:
    return PanelGroup(
        places=tuple(place for stretch in stretches for place in stretch.places),
        sides=tuple(Counter(one.side for one in stretches for _ in one.places).items()),
        inner=inner,
    )
