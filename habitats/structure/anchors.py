"""Wall anchors: brackets that hold the top of an enclosure to a wall of the room.

An anchor grips the upper edge of a level's outer wall, at the side that stands at a wall of the
room. It carries nothing and is no panel. What is too high for its depth stands firm with two of
them near its top. Common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence

from habitats.structure.design import Design, Fitting
from habitats.structure.doors import door_places
from habitats.structure.faults import FileFault
from habitats.structure.lattice import Cell, PanelPlace, wall_place
from habitats.wording import message

ANCHOR = "anchor"
# What tips over is held at so many places; one alone lets it turn about itself.
LEAST_ANCHORS = 2
# An anchor holds what may tip over if it grips no more panels than this below the highest edge.
DEEPEST = 1


def anchor_panels(_design: Design, _anchors: Iterable[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """None: an anchor grips a panel that stands already."""
    return iter(())


def gripped(design: Design, anchors: Iterable[Fitting]) -> dict[PanelPlace, int]:
    """The panels that they grip at the upper edge, each with its level; none for those off it."""
    found = {}
    for one in anchors:
        try:
            index = design.level_at(one.cell, one.z)
        except LookupError:
            continue
        found[wall_place(*one.edge, design.levels[index].top - 1)] = index
    return dict(sorted(found.items()))


def anchor_faults(design: Design, anchors: Sequence[Fitting]) -> list[FileFault]:
    """Anchors that are in no outer wall of the whole enclosure, or on a front door."""
    return [
        FileFault(f"anchors[{number}]", sentence)
        for number, one in enumerate(anchors)
        if (sentence := _misplaced(design, one))
    ]


def _misplaced(design: Design, one: Fitting) -> str:
    cell, side = one.edge
    where = {"cell": cell.words, "side": side}
    floors = [level for level in design.levels if level.z == one.z and cell in level.cells]
    if not floors or cell.beyond(side) in floors[0].cells:
        return message(
            "The wall anchor at %(cell)s, side %(side)s is at no wall. A wall anchor grips an "
            "outer wall of a level.",
            **where,
        )
    if cell.beyond(side) in _all_cells(design):
        return message(
            "The wall anchor at %(cell)s, side %(side)s faces floor. Place it on an outside that "
            "stands at a wall of the room.",
            **where,
        )
    if not gripped(design, [one]).keys().isdisjoint(door_places(design)):
        return message(
            "The wall anchor at %(cell)s, side %(side)s is on a front door, which swings. Move the "
            "anchor or the door.",
            **where,
        )
    return ""


def _all_cells(design: Design) -> frozenset[Cell]:
    return frozenset[Cell]().union(*(level.cells for level in design.levels))
