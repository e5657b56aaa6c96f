"""The footprint of an enclosure, small, for lists drawn to one scale."""

from builds.drawing.plan import cell_ring, edge_of
from habitats.drawing.north import north_mark
from habitats.drawing.pen import Pen, Point, Scaled
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.lattice import Side, outer_edges
from habitats.structure.structure import Structure
from habitats.wording import counted, joined, message

MM_PER_UNIT = 16.0
NORTH_RADIUS = 8.0  # small, as the footprint is


def footprint_picture(structure: Structure, *, mm_per_unit: float = MM_PER_UNIT) -> str:
    """Ground in outline, upper levels hatched; the same ``mm_per_unit`` makes pictures compare."""
    design = structure.design
    uppers = len(design.levels) - 1
    over = (
        counted("One upper level, hatched.", "%(count)d upper levels, hatched.", uppers)
        if uppers
        else message("No upper level.")
    )
    cells = counted(
        "%(count)d cell seen from above, north at the top.",
        "%(count)d cells seen from above, north at the top.",
        len(design.ground.cells),
    )

    def draw(pen: Pen) -> None:
        draw_footprint(Scaled(pen, 1 / mm_per_unit), structure)
        lines = [joint for joint in structure.joints if joint.z == 0]
        east, north = max(one.col for one in lines), min(one.row for one in lines)
        units = design.panel.size_mm / mm_per_unit
        middle = (east * units + 1.75 * NORTH_RADIUS, north * units + 2.5 * NORTH_RADIUS)
        north_mark(pen, middle, radius=NORTH_RADIUS)

    return finished(
        draw,
        message("Footprint of %(design)s", design=design.name),
        joined(" ", [cells, over]),
        kind="footprint",
    )


def draw_footprint(mm: Pen, structure: Structure) -> None:
    design = structure.design
    size = design.panel.size_mm
    mm.area([cell_ring(cell, size) for cell in sorted(design.ground.cells)], Style.PAPER)
    for level in design.levels[1:]:
        mm.area([cell_ring(cell, size) for cell in sorted(level.cells)], Style.UNDER)
    for index, level in enumerate(design.levels):
        style = Style.THIN if index else Style.INK
        for cell, side in outer_edges(level.cells):
            mm.line(edge_of(cell, side, size), style)
    for line in _inner_lines(structure):
        mm.line(line, Style.MESH)


def _inner_lines(structure: Structure) -> list[list[Point]]:
    """Joints between cells of the ground, faint: they let one count."""
    cells, size = structure.design.ground.cells, structure.design.panel.size_mm
    return [
        edge_of(cell, side, size)
        for cell in sorted(cells)
        for side in (Side.E, Side.S)
        if cell.beyond(side) in cells
    ]
