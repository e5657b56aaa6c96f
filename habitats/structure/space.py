"""What the structure gives the animals: floor, clear height, straight runs.

Floor is the inside of the trays. Areas are whole mm² inside and cm² for people.
"""

from dataclasses import dataclass
from itertools import pairwise

from habitats.structure.design import Level
from habitats.structure.kinds import parting
from habitats.structure.lattice import Cell, Side
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray, inside_mm

MM2_PER_CM2 = 100


@dataclass(frozen=True, slots=True)
class Floor:
    """Floor area by level, in mm²; the first is the ground."""

    by_level_mm2: tuple[int, ...]

    @property
    def ground_mm2(self) -> int:
        return self.by_level_mm2[0]

    @property
    def upper_mm2(self) -> int:
        """All upper levels together. Whether they count is for a rule set to say."""
        return sum(self.by_level_mm2[1:])


def floor_of(structure: Structure) -> Floor:
    return Floor(tuple(tray.area_mm2 for tray in structure.trays))


def as_cm2(area_mm2: int) -> int:
    """Whole square centimetres, to the nearest."""
    return round(area_mm2 / MM2_PER_CM2)


def clear_height_mm(structure: Structure, level: int, cell: Cell) -> int | None:
    """From a cell's floor up to the floor or lid above it; None where it is open above."""
    design = structure.design
    z = design.levels[level].z
    cover = design.cover_over(cell, z)
    return None if cover is None else (cover - z) * design.panel.size_mm


def share_at_least(structure: Structure, level: int, height_mm: int) -> float:
    """Share of a level's floor, 0 to 1, that is clear to at least this height.

    Where it is open above, the walls are what limits the height.
    """
    design = structure.design
    areas = floor_by_cell(structure.trays[level], design.panel.size_mm)
    wall_mm = design.levels[level].wall_panels * design.panel.size_mm
    tall = sum(
        area
        for cell, area in areas.items()
        if (clear_height_mm(structure, level, cell) or wall_mm) >= height_mm
    )
    return tall / sum(areas.values())


def floor_by_cell(tray: Tray, size_mm: int) -> dict[Cell, int]:
    """The inside of a tray in mm², shared out to the lattice's cells it lies in."""
    walls = [wall for ring in tray.rings for wall in ring]
    west, north, east, south = tray.bounds
    xs = _cuts([wall.x1 for wall in walls], west, east, size_mm)
    ys = _cuts([wall.y1 for wall in walls], north, south, size_mm)
    areas: dict[Cell, int] = {}
    for y1, y2 in pairwise(ys):
        for x1, x2 in pairwise(xs):
            if _is_inside(tray, x1 + x2, y1 + y2):
                cell = Cell((y1 + y2) // (2 * size_mm), (x1 + x2) // (2 * size_mm))
                areas[cell] = areas.get(cell, 0) + (x2 - x1) * (y2 - y1)
    return areas


def _cuts(walls: list[int], least: int, most: int, size_mm: int) -> list[int]:
    lines = range(least // size_mm * size_mm, most + 1, size_mm)
    return sorted({*walls, *(line for line in lines if least <= line <= most)})


def _is_inside(tray: Tray, doubled_x: int, doubled_y: int) -> bool:
    """Whether a point, given twice as large to stay whole, lies inside: odd walls to its west."""
    crossed = sum(
        wall.side in (Side.E, Side.W)
        and 2 * wall.x1 < doubled_x
        and 2 * min(wall.y1, wall.y2) < doubled_y < 2 * max(wall.y1, wall.y2)
        for ring in tray.rings
        for wall in ring
    )
    return crossed % 2 == 1


def longest_run_mm(structure: Structure, level: int = 0) -> int:
    """Longest straight line inside a level's tray, along a wall; what parts floors ends it."""
    return _inside(structure, max(_runs(structure, level)))


def shortest_side_mm(structure: Structure, level: int = 0) -> int:
    """Width of the narrowest part of a level: the shortest line from wall to wall."""
    return _inside(structure, min(_runs(structure, level)))


def _inside(structure: Structure, cells: int) -> int:
    return inside_mm(cells, structure.design.panel, structure.design.tray)


def _runs(structure: Structure, index: int) -> list[int]:
    """Cells in every straight line from wall to wall, in both directions."""
    level = structure.design.levels[index]
    return [length for way in (Side.E, Side.S) for length in _runs_along(structure, level, way)]


def _runs_along(structure: Structure, level: Level, way: Side) -> list[int]:
    closed = {
        edge
        for cell, side in parting(structure.design, level.z)
        for edge in ((cell, side), (cell.beyond(side), side.opposite))
    }

    def goes_on(cell: Cell, side: Side) -> bool:
        return cell.beyond(side) in level.cells and (cell, side) not in closed

    lengths = []
    for start in sorted(level.cells):
        if goes_on(start, way.opposite):
            continue
        length, cell = 1, start
        while goes_on(cell, way):
            cell = cell.beyond(way)
            length += 1
        lengths.append(length)
    return lengths
