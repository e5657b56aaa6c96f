"""Whether what stands may tip over: higher than its shorter side. Common practice, no source."""

from collections.abc import Iterator

from habitats.structure.anchors import ANCHOR, DEEPEST, LEAST_ANCHORS, anchor_faults, gripped
from habitats.structure.design import Fitting, footprint_mm
from habitats.structure.lattice import Cell, Side
from habitats.structure.structure import Structure

# Height as a share of the shorter side, in hundredths; above it the top is tied to a wall.
HIGHEST_SHARE = 100


def height_mm(structure: Structure) -> int:
    """From the floor of the room to the top of its highest panel."""
    return _top(structure) * structure.design.panel.size_mm


def _top(structure: Structure) -> int:
    return max(panel.place.z + panel.place.is_upright for panel in structure.panels)


def may_tip(structure: Structure) -> bool:
    shorter = min(footprint_mm(structure.design))
    return 100 * height_mm(structure) > HIGHEST_SHARE * shorter


def is_anchored(structure: Structure) -> bool:
    """Whether enough wall anchors hold it near its top."""
    lowest = _top(structure) - DEEPEST
    places = gripped(structure.design, structure.of_kind(ANCHOR))
    return sum(place.z + 1 >= lowest for place in places) >= LEAST_ANCHORS


def top_edges(structure: Structure) -> Iterator[tuple[Side, list[Fitting]]]:
    """Side by side, the anchors that can hold it near its top, from one end of the side on."""
    design, lowest = structure.design, _top(structure) - DEEPEST
    for side in Side:
        down, right = side.step

        def outward(cell: Cell, down: int = down, right: int = right) -> int:
            return cell.row * down + cell.col * right

        last = max(map(outward, design.ground.cells))
        by_cell = {
            cell: Fitting(ANCHOR, *cell, side, level.z)
            for level in design.levels
            if level.top >= lowest
            for cell in sorted(level.cells)
            if outward(cell) == last
        }
        some = [by_cell[cell] for cell in sorted(by_cell)]
        yield side, [one for one in some if not anchor_faults(design, [one])]
