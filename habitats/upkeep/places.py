"""Where on a floor something is: a point in millimetres, and the part of the level in words.

Points are millimetres from the lattice's north-west corner, x eastward, y southward, as trays
have them; a level is known by its height ``z`` in panels, as in a design file.
"""

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from habitats.structure.design import Level
from habitats.structure.lattice import Cell
from habitats.structure.structure import Structure
from habitats.structure.words import level_words
from habitats.wording import message


class FloorPoint(NamedTuple):
    """A point of the level at height ``z``."""

    z: int
    x_mm: int
    y_mm: int


class FloorPart(NamedTuple):
    """Part of a level that has words of its own; ``where`` lies on its floor."""

    key: str
    level: str
    part: str
    where: FloorPoint

    @property
    def words(self) -> str:
        if not self.part:
            return self.level
        return message("%(level)s, %(part)s", level=self.level, part=self.part)


_Band = tuple[int, int]
# By the third from north to south, and the third from west to east.
_PARTS = (
    (message("north-west part"), message("north part"), message("north-east part")),
    (message("west part"), message("middle part"), message("east part")),
    (message("south-west part"), message("south part"), message("south-east part")),
)


def parts_of(structure: Structure) -> tuple[FloorPart, ...]:
    """The parts of all levels, from the ground up, each level from north-west to south-east."""
    return tuple(
        part
        for level in range(len(structure.design.levels))
        for part in _of_level(structure, level)
    )


def place_words(structure: Structure, where: FloorPoint) -> str:
    """Which part of which level a point is in. Raises ``LookupError`` for a height without one."""
    index = level_of(structure, where.z)
    level = structure.design.levels[index]
    size = structure.design.panel.size_mm
    cell = _nearest(level.cells, where.x_mm / size - 0.5, where.y_mm / size - 0.5)
    key = _key(level.z, _band_of(cell, level))
    return next(part.words for part in _of_level(structure, index) if part.key == key)


def level_of(structure: Structure, z: int) -> int:
    """Index of the level at this height. Raises ``LookupError`` where there is none."""
    for index, level in enumerate(structure.design.levels):
        if level.z == z:
            return index
    raise LookupError(f"no level at height {z}")


def is_at(structure: Structure, where: FloorPoint) -> bool:
    """Whether the point is on the level's floor, or in reach of it: walls have faults too."""
    try:
        level = structure.design.levels[level_of(structure, where.z)]
    except LookupError:
        return False
    size = structure.design.panel.size_mm
    reach = size / 2
    return any(
        cell.col * size - reach <= where.x_mm <= (cell.col + 1) * size + reach
        and cell.row * size - reach <= where.y_mm <= (cell.row + 1) * size + reach
        for cell in level.cells
    )


def _of_level(structure: Structure, index: int) -> Iterable[FloorPart]:
    level = structure.design.levels[index]
    size = structure.design.panel.size_mm
    cells: dict[_Band, list[Cell]] = defaultdict(list)
    for cell in sorted(level.cells):
        cells[_band_of(cell, level)].append(cell)
    for band in sorted(cells):
        row = sum(cell.row for cell in cells[band]) / len(cells[band])
        col = sum(cell.col for cell in cells[band]) / len(cells[band])
        middle = _nearest(cells[band], col, row)
        where = FloorPoint(level.z, middle.col * size + size // 2, middle.row * size + size // 2)
        part = _PARTS[band[0]][band[1]] if len(cells) > 1 else ""
        yield FloorPart(_key(level.z, band), level_words(structure, index), part, where)


def _key(z: int, band: _Band) -> str:
    return f"z{z}-{band[0]}{band[1]}"


def _band_of(cell: Cell, level: Level) -> _Band:
    """The third of the level that the cell lies in, from north to south and from west to east."""
    rows = [one.row for one in level.cells]
    cols = [one.col for one in level.cells]
    return _third(cell.row, min(rows), max(rows)), _third(cell.col, min(cols), max(cols))


def _third(line: int, first: int, last: int) -> int:
    """0, 1 or 2; of two lines 0 and 2; the only one is the middle."""
    number = last - first + 1
    if number == 1:
        return 1
    return 2 * (line - first) if number == 2 else (line - first) * 3 // number


def _nearest(cells: Iterable[Cell], col: float, row: float) -> Cell:
    return min(cells, key=lambda one: ((one.col - col) ** 2 + (one.row - row) ** 2, one))
