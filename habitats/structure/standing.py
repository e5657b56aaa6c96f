"""Whether floors and fittings have something to stand on."""

from collections.abc import Sequence

from habitats.structure.design import Design, Level
from habitats.structure.faults import FileFault
from habitats.structure.kinds import KINDS, panels_of
from habitats.structure.lattice import (
    Cell,
    Joint,
    PanelPlace,
    Side,
    connected_pieces,
    outer_edges,
)
from habitats.structure.spans import Bearing, longest_span
from habitats.wording import counted, joined, message


def shape_faults(design: Design) -> list[FileFault]:
    """Everything about levels and fittings that keeps the design from standing."""
    faults = [*_footprint_faults(design), *_height_faults(design)]
    if not faults:
        faults = [*_carried_faults(design), *_rising_faults(design)]
    return faults + [
        fault
        for kind in KINDS.values()
        if kind.misplaced
        for fault in kind.misplaced(design, design.of_kind(kind.role))
    ]


def _footprint_faults(design: Design) -> list[FileFault]:
    """Levels without cells or in several pieces."""
    faults = []
    for index, level in enumerate(design.levels):
        pieces = connected_pieces(level.cells)
        place = f"levels[{index}].plan"
        if not pieces:
            faults.append(
                FileFault(
                    place,
                    message("This level has no cell. Mark at least one with #, or remove it."),
                    message("This level has no cell yet. Draw its first cell."),
                )
            )
        elif len(pieces) > 1:
            cell = min(pieces[1])
            faults.append(
                FileFault(
                    place,
                    message(
                        "The cells fall into %(pieces)s pieces that are not connected; one begins "
                        "at %(cell)s. Join them side to side, or draw upper ones as levels of "
                        "their own.",
                        pieces=len(pieces),
                        cell=cell.words,
                    ),
                )
            )
    return faults


def _height_faults(design: Design) -> list[FileFault]:
    """Levels out of order, or two that take the same cell at the same height."""
    faults = []
    for index, level in enumerate(design.levels):
        below = design.levels[:index]
        if out_of_order := _out_of_order(index, level, below):
            faults.append(FileFault(f"levels[{index}].z", out_of_order))
        for other in below:
            if other.z == level.z and (shared := level.cells & other.cells):
                faults.append(FileFault(f"levels[{index}].plan", _floor_twice(shared, level.z)))
    return faults


def _out_of_order(index: int, level: Level, below: Sequence[Level]) -> str:
    """What is wrong with its height after those listed before it; "" if nothing is."""
    if index == 0 and level.z != 0:
        return message("The first level is the ground, at height 0, not %(z)s.", z=level.z)
    if index and level.z < max(1, below[-1].z):
        return message(
            "Height %(z)s comes after height %(before)s. List levels from the ground up, upper "
            "ones at height 1 or more.",
            z=level.z,
            before=below[-1].z,
        )
    return ""


def _floor_twice(shared: frozenset[Cell], z: int) -> str:
    return message(
        "The cell at %(cell)s is already floor of another level at height %(z)s. Draw each cell of "
        "one height once.",
        cell=min(shared).words,
        z=z,
    )


def _carried_faults(design: Design) -> list[FileFault]:
    """Upper cells over nothing, and upper levels that no wall carries."""
    faults = []
    for index, level in enumerate(design.levels[1:], start=1):
        below = frozenset[Cell]().union(*(one.cells for one in design.levels if one.z < level.z))
        if bare := level.cells - below:
            faults.append(FileFault(f"levels[{index}].plan", _over_nothing(bare)))
        elif not _is_carried(design, index):
            faults.append(FileFault(f"levels[{index}].z", *_carried_by_none(level)))
    return faults


def _over_nothing(bare: frozenset[Cell]) -> str:
    return message(
        "The cell at %(cell)s is over nothing. Upper levels stand over cells of a lower level: add "
        "floor below it or take the cell away.",
        cell=min(bare).words,
    )


def _carried_by_none(level: Level) -> tuple[str, str]:
    """In the words of the file, and of the screen."""
    return message(
        "No wall reaches up to height %(z)s under this level. Let it share an edge with walls "
        "that high: move it to a wall, lower it or add wall_panels below.",
        z=level.z,
    ), message(
        "No wall reaches up to height %(z)s under this level. Make the walls below it that high, "
        "lower the level, or move it over such a wall.",
        z=level.z,
    )


def _rising_faults(design: Design) -> list[FileFault]:
    """Walls that go up through the floor and tray of a level above, one fault for both levels."""
    return [
        _rising_fault(design, index, over, edges)
        for index in range(len(design.levels))
        for over in range(index + 1, len(design.levels))
        if (edges := _rising_edges(design, index, over))
    ]


def _rising_edges(design: Design, index: int, over: int) -> list[tuple[Cell, Side]]:
    """Edges where a level's walls reach the floor of one over it, with that floor on both sides."""
    level, above = design.levels[index], design.levels[over]
    return [
        (cell, side)
        for cell, side in outer_edges(level.cells)
        if above.z < level.top and above.cells.issuperset((cell, cell.beyond(side)))
    ]


def _rising_fault(
    design: Design, index: int, over: int, edges: Sequence[tuple[Cell, Side]]
) -> FileFault:
    level, above = design.levels[index], design.levels[over]
    most = above.z - level.z
    return FileFault(
        f"levels[{index}].wall_panels",
        message(
            "%(wall_panels)s tiers of wall from height %(z)s rise through the floor and "
            "tray of level %(over)s, at height %(floor)s: %(edges)s. At most %(most)s can "
            "stand under it (wall_panels: %(most)s); or let level %(over)s end at these "
            "walls.",
            wall_panels=level.wall_panels,
            z=level.z,
            over=over,
            floor=above.z,
            edges=named_edges(edges),
            most=most,
        ),
        message(
            "Its walls are %(wall_panels)s panels high and rise through the floor and tray "
            "of level %(over)s: %(edges)s. Set “Walls, panels high” to %(most)s, or let "
            "level %(over)s end at these walls.",
            wall_panels=level.wall_panels,
            over=over,
            edges=named_edges(edges),
            most=most,
        ),
    )


def named_edges(edges: Sequence[tuple[Cell, Side]]) -> str:
    """Every edge by its cell and side, each cell with all its sides."""
    sides: dict[Cell, list[str]] = {}
    for cell, side in edges:
        sides.setdefault(cell, []).append(side)
    named = [
        counted(
            "side %(sides)s of %(cell)s",
            "sides %(sides)s of %(cell)s",
            len(some),
            sides=", ".join(some),
            cell=cell.words,
        )
        for cell, some in sides.items()
    ]
    return joined("; ", named)


def upright_places(design: Design) -> frozenset[PanelPlace | Joint]:
    """All that floors rest on: places of panels that stand upright, and joints held up."""
    return frozenset(
        borne
        for kind in KINDS.values()
        if kind.bears
        for borne in kind.bears(design, design.of_kind(kind.role))
    )


def parting_places(design: Design) -> dict[PanelPlace, str]:
    """Places of all that parts floors, with what it is called, whatever floor it passes."""
    return {
        place: kind.words
        for kind in KINDS.values()
        if kind.parts_floor
        for place, _level in panels_of(design, kind)
    }


def span_of(design: Design, index: int) -> int:
    """How many panels a level's floor spans at its weakest cell."""
    level = design.levels[index]
    return longest_span(level.cells, Bearing(upright_places(design), level.z).carries)


def _is_carried(design: Design, index: int) -> bool:
    """Whether anything right below holds up an edge of the level's cells."""
    level = design.levels[index]
    bearing = Bearing(upright_places(design), level.z)
    return any(bearing.carries(cell, side) for cell in level.cells for side in Side)
