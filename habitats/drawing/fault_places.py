"""A level's floor from above, on which places are marked: where faults are, or none yet to tap."""

from collections.abc import Sequence
from typing import NamedTuple

from habitats.drawing.north import north_mark
from habitats.drawing.pen import Anchor, Pen, Point, Scaled
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.structure.kinds import parting
from habitats.structure.lattice import Cell, Side, outer_edges
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.wording import message

WIDEST = 288.0  # units: what a phone has room for
FINEST_MM = 5.0  # mm to a unit
RADIUS, ARM = 9.0, 5.0  # of a mark, in units
NORTH_RADIUS = 8.0


class Marked(NamedTuple):
    """A place in mm from the lattice's north-west corner, with what stands beside it."""

    x_mm: int
    y_mm: int
    words: str = ""


class FloorDrawing(NamedTuple):
    """SVG, and how many millimetres are one unit of it: coordinates begin at the same corner."""

    svg: str
    mm_per_unit: float


def floor_drawing(
    structure: Structure, level: int, marks: Sequence[Marked], *, title: str, description: str
) -> FloorDrawing:
    """The level with its walls, doorways and the ramps that land on it, as large as a phone has."""
    size = structure.design.panel.size_mm
    cells = structure.design.levels[level].cells
    rows, cols = [cell.row for cell in cells], [cell.col for cell in cells]
    widest = max(max(lines) - min(lines) + 1 for lines in (rows, cols)) * size
    mm_per_unit = max(FINEST_MM, widest / WIDEST)

    # Beside the floor and no lower, so that taps are counted from the same corner.
    east, south = (max(cols) + 1) * size / mm_per_unit, (max(rows) + 1) * size / mm_per_unit

    def draw(pen: Pen) -> None:
        _draw_floor(Scaled(pen, 1 / mm_per_unit), structure, level)
        north_mark(pen, (east + 13, south - NORTH_RADIUS), radius=NORTH_RADIUS)
        for mark in marks:
            _draw_mark(pen, (mark.x_mm / mm_per_unit, mark.y_mm / mm_per_unit), mark.words)

    return FloorDrawing(finished(draw, title, description, kind="places"), mm_per_unit)


def _draw_floor(mm: Scaled, structure: Structure, level: int) -> None:
    cells = structure.design.levels[level].cells
    size = structure.design.panel.size_mm
    for cell in sorted(cells):
        mm.area([_square(cell, size)], Style.PAPER)
    for cell in sorted(cells):
        for side in (Side.E, Side.S):
            if cell.beyond(side) in cells:
                mm.line(_edge(cell, side, size), Style.HIDDEN)
    for ramp in structure.ramps:
        if ramp.landing == level:
            _draw_ramp(mm, ramp, size)
    doorways = {(ramp.cell, ramp.side) for ramp in structure.ramps if ramp.level == level}
    for edge in sorted(outer_edges(cells)):
        mm.line(_edge(*edge, size), Style.THIN if edge in doorways else Style.HEAVY)
    z = structure.design.levels[level].z
    for cell, side in parting(structure.design, z):
        if cell in cells:
            mm.line(_edge(cell, side, size), Style.INK)


def _draw_ramp(mm: Scaled, ramp: Ramp, size: int) -> None:
    """The lane that the ramp lies over, with its name."""
    for cell in ramp.lane:
        mm.area([_square(cell, size, inset=size // 8)], Style.CHANNEL)
    xs = [(cell.col + 0.5) * size for cell in ramp.lane]
    ys = [(cell.row + 0.5) * size for cell in ramp.lane]
    mm.text((sum(xs) / len(xs), sum(ys) / len(ys)), message("ramp"), Letter.NOTE)


def _draw_mark(pen: Pen, at: Point, words: str) -> None:
    """A cross in a ring: told from all else without colour."""
    x, y = at
    pen.circle(at, RADIUS, Style.JOINT)
    pen.circle(at, RADIUS, Style.ALARM)
    for dy in (ARM, -ARM):
        pen.line([(x - ARM, y - dy), (x + ARM, y + dy)], Style.ALARM)
    if words:
        pen.text((x + RADIUS + 4, y + 4), words, Letter.ALARM, Anchor.START)


def _square(cell: Cell, size: int, inset: int = 0) -> list[Point]:
    left, top = cell.col * size + inset, cell.row * size + inset
    right, bottom = (cell.col + 1) * size - inset, (cell.row + 1) * size - inset
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _edge(cell: Cell, side: Side, size: int) -> list[Point]:
    north_west, north_east, south_east, south_west = _square(cell, size)
    return {
        Side.N: [north_west, north_east],
        Side.E: [north_east, south_east],
        Side.S: [south_west, south_east],
        Side.W: [north_west, south_west],
    }[side]
