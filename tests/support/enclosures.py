"""Structures raised from a few words, and random ones for property tests."""

from hypothesis import strategies as st

from habitats.structure.design import Limits
from habitats.structure.lattice import Cell, connected_pieces
from habitats.structure.read import design_from
from habitats.structure.structure import Structure, raise_structure


def raised(
    *plans: list[str],
    size: int = 355,
    wall: int = 150,
    clearance: int = 0,
    rounding: int = 1,
    ramps: list[dict] | None = None,
    wall_panels: int = 2,
) -> Structure:
    """A structure with one level for each plan, one panel above the other."""
    levels = [{"z": z, "wall_panels": wall_panels, "plan": plan} for z, plan in enumerate(plans)]
    document = {
        "format": "enclosure-design/1",
        "name": "Trial",
        "species": "guinea_pig",
        "panel": {"size_mm": size, "squares": 9},
        "tray": {"wall_mm": wall, "clearance_mm": clearance, "round_mm": rounding},
        "levels": levels,
        "ramps": ramps or [],
        "guards": [],
    }
    return raise_structure(design_from(document), Limits(slope_deg=60))


@st.composite
def footprints(draw: st.DrawFn, most: int = 6) -> list[str]:
    """Plans of a connected footprint within so many rows and columns."""
    rows, cols = draw(st.integers(1, most)), draw(st.integers(1, most))
    bits = draw(st.lists(st.booleans(), min_size=rows * cols, max_size=rows * cols))
    cells = frozenset(Cell(i // cols, i % cols) for i, bit in enumerate(bits) if bit)
    piece = max(connected_pieces(cells), key=len) if cells else frozenset({Cell(0, 0)})
    return plan_of(piece)


def plan_of(cells: frozenset[Cell]) -> list[str]:
    rows = range(min(cell.row for cell in cells), max(cell.row for cell in cells) + 1)
    cols = range(min(cell.col for cell in cells), max(cell.col for cell in cells) + 1)
    return ["".join("#" if Cell(row, col) in cells else "." for col in cols) for row in rows]
