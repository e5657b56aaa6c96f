"""Front doors: wall panels that swing outward, hung on one side and latched on the other.

A door stands in the lowest tier of a level's outer wall, in the place of the wall's panel. No
connector holds it, so it holds nothing up: what lies over it rests on the joints at its ends.
Common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence

from habitats.structure.design import Design, Fitting
from habitats.structure.faults import FileFault
from habitats.structure.lattice import Joint, PanelPlace, wall_place
from habitats.structure.spans import top_of
from habitats.wording import message

DOOR = "door"


def door_panels(design: Design, doors: Iterable[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """Each door's place and its level; none for one that names no level's floor."""
    for one in doors:
        try:
            yield wall_place(*one.edge, one.z), design.level_at(one.cell, one.z)
        except LookupError:
            continue


def door_bears(design: Design, doors: Sequence[Fitting]) -> Iterator[PanelPlace | Joint]:
    """The joints at the ends of its upper edge, which the walls beside it hold."""
    for place, _level in door_panels(design, doors):
        yield from top_of(place)


def door_places(design: Design) -> frozenset[PanelPlace]:
    return frozenset(place for place, _level in door_panels(design, design.of_kind(DOOR)))


def door_faults(design: Design, doors: Sequence[Fitting]) -> list[FileFault]:
    """Doors that are not in an outer wall, in a ramp's way, or beside another door."""
    faults = []
    taken: list[PanelPlace] = []
    for number, one in enumerate(doors):
        if sentence := _misplaced(design, one, taken):
            faults.append(FileFault(f"doors[{number}]", sentence))
        taken.append(wall_place(*one.edge, one.z))
    return faults


def _misplaced(design: Design, one: Fitting, before: Iterable[PanelPlace]) -> str:
    cell, side = one.edge
    place = wall_place(cell, side, one.z)
    where = {"cell": cell.words, "side": side}
    floors = [level for level in design.levels if level.z == one.z]
    if not any(cell in level.cells and cell.beyond(side) not in level.cells for level in floors):
        return message(
            "The front door at %(cell)s, side %(side)s is in no wall. A front door stands in an "
            "outer wall of a level.",
            **where,
        )
    if any(cell.beyond(side) in level.cells for level in floors):
        return message(
            "The front door at %(cell)s, side %(side)s leads onto another level. Place it in a "
            "wall with no floor beyond it.",
            **where,
        )
    if place in _doorways(design):
        return message(
            "The front door at %(cell)s, side %(side)s is where a ramp leaves the level. Move the "
            "door or the ramp.",
            **where,
        )
    if any(other != place and _share_a_side(other, place) for other in before):
        return message(
            "The front door at %(cell)s, side %(side)s is beside another one. A wall has to stand "
            "between two doors, to hang them on.",
            **where,
        )
    return ""


def _doorways(design: Design) -> Iterator[PanelPlace]:
    """Where ramps leave their levels."""
    for wish in design.ramps:
        if wish.level < len(design.levels):
            yield wall_place(wish.cell, wish.side, design.levels[wish.level].z)


def _share_a_side(one: PanelPlace, other: PanelPlace) -> bool:
    """Whether two upright panels of one tier meet at an upright edge."""
    return one.z == other.z and not {*top_of(one)}.isdisjoint(top_of(other))
