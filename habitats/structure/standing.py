"""Whether floors and dividers have something to stand on, and how far floors span."""

from habitats.structure.design import Design, Divider
from habitats.structure.faults import Fault
from habitats.structure.lattice import Cell, Place, Side, outer_edges, wall_place

# A free edge is carried from one side only, so its distance to that side counts twice.
FREE_EDGE_FACTOR = 2


def floor_faults(design: Design) -> list[Fault]:
    """Upper cells over nothing, and upper levels that no wall carries."""
    faults = []
    for index, level in enumerate(design.levels[1:], start=1):
        below = frozenset[Cell]().union(*(one.cells for one in design.levels if one.z < level.z))
        bare = level.cells - below
        if bare:
            row, col = min(bare)
            faults.append(Fault(f"levels[{index}].plan",
                f"The cell at row {row}, col {col} is over nothing. Upper levels stand over cells "
                "of a lower level: add floor below it or take the cell away."))  # fmt: skip
        elif not _carried_edges(design, index):
            faults.append(Fault(f"levels[{index}].z",
                f"No wall reaches up to height {level.z} under this level. Let it share an edge "
                "with walls that high: move it to a wall, lower it or add wall_panels "
                "below."))  # fmt: skip
    return faults


def divider_faults(design: Design) -> list[Fault]:
    """Dividers that are not an inner wall of a level, or are named twice."""
    faults = []
    seen: set[Place] = set()
    for index, divider in enumerate(design.dividers):
        where = f"row {divider.row}, col {divider.col}, height {divider.z}"
        place = wall_place(divider.cell, divider.side, divider.z)
        try:
            level = design.levels[design.level_at(divider.cell, divider.z)]
        except LookupError:
            faults.append(Fault(f"dividers[{index}]", f"There is no cell at {where}. Name a cell "
                                "of a level and the height of its floor."))  # fmt: skip
            continue
        if divider.cell.beyond(divider.side) not in level.cells:
            faults.append(Fault(f"dividers[{index}].side",
                f"Side {divider.side} of the cell at {where} already is an outer wall. A divider "
                "stands between two cells of one level."))  # fmt: skip
        elif place in seen:
            faults.append(Fault(f"dividers[{index}]", f"The divider on side {divider.side} at "
                                f"{where} is named twice. Leave one out."))  # fmt: skip
        seen.add(place)
    return faults


def upright_places(design: Design) -> frozenset[Place]:
    """Places of all walls and dividers, without guards; dividers on no level stand nowhere."""
    walls = {
        wall_place(cell, side, z)
        for level in design.levels
        for cell, side in outer_edges(level.cells)
        for z in range(level.z, level.top)
    }
    dividers = {
        wall_place(one.cell, one.side, z) for one in design.dividers for z in _tiers(design, one)
    }
    return frozenset(walls | dividers)


def _tiers(design: Design, divider: Divider) -> range:
    """Heights at which a divider has panels: as high as the walls of its level."""
    try:
        index = design.level_at(divider.cell, divider.z)
    except LookupError:
        return range(0)
    return range(divider.z, design.levels[index].top)


def longest_span(design: Design, index: int) -> int:
    """How many panels a level's floor spans at its weakest cell.

    A cell spans the distance between the two carried edges north and south or east and west of
    it, whichever is less; toward a free edge the way counts twice from the carried one. Cells
    carried nowhere in their row and column count as the whole row and column, twice.
    """
    carried = _carried_edges(design, index)
    cells = design.levels[index].cells
    return max(min(_span(cells, carried, cell, way) for way in (Side.N, Side.W)) for cell in cells)


def _span(cells: frozenset[Cell], carried: frozenset[Place], cell: Cell, way: Side) -> int:
    near, near_held = _reach(cells, carried, cell, way)
    far, far_held = _reach(cells, carried, cell, way.opposite)
    total = near + far - 1
    return total if near_held and far_held else FREE_EDGE_FACTOR * total


def _reach(
    cells: frozenset[Cell], carried: frozenset[Place], cell: Cell, way: Side
) -> tuple[int, bool]:
    """Cells from this one to the edge that ends the floor's span that way; whether it is held."""
    count = 1
    while wall_place(cell, way, 0) not in carried:
        if cell.beyond(way) not in cells:
            return count, False
        cell = cell.beyond(way)
        count += 1
    return count, True


def _carried_edges(design: Design, index: int) -> frozenset[Place]:
    """Edges of a level's cells with an upright panel right below, as places at height 0."""
    level = design.levels[index]
    uprights = upright_places(design)
    return frozenset(
        wall_place(cell, side, 0)
        for cell in level.cells
        for side in Side
        if wall_place(cell, side, level.z - 1) in uprights
    )
