"""The buttons that lie over the plan: cells to make floor, edges for fittings and ramps."""

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.drawing.draft import may_be_floor, window_of
from habitats.structure.design import Design, Fitting
from habitats.structure.kinds import At, Kind, spot_of
from habitats.structure.lattice import Cell, Side, counted_from_1, wall_place

EDGES = {
    Side.N: gettext_lazy("Row %(row)d, column %(col)d, north edge"),
    Side.E: gettext_lazy("Row %(row)d, column %(col)d, east edge"),
    Side.S: gettext_lazy("Row %(row)d, column %(col)d, south edge"),
    Side.W: gettext_lazy("Row %(row)d, column %(col)d, west edge"),
}


class GridButton(NamedTuple):
    """One button: what it sends, what it is called, whether it is on; ``side`` for an edge."""

    id: str
    value: str
    name: str
    on: bool
    side: str = ""

    @property
    def attributes(self) -> SafeString:
        """In one go, and no more than needed: there may be seven hundred on a page."""
        edge = format_html(' class="edge edge-{}"', self.side) if self.side else ""
        return format_html(
            'id="{}" name="{}" value="{}"{} aria-pressed="{}" aria-label="{}"',
            self.id,
            "edge" if self.side else "cell",
            self.value,
            edge,
            "true" if self.on else "false",
            self.name,
        )


GridRow = list[list[GridButton]]


def floor_grid(design: Design, level: int) -> list[GridRow]:
    """A button for each cell that is or may become floor."""
    cells = design.levels[level].cells

    def spots(cell: Cell) -> Iterator[GridButton]:
        if may_be_floor(design, cell):
            yield _cell_spot(cell, cell in cells)

    return _grid(design, spots)


def fitting_grid(
    design: Design, level: int, kind: Kind, fittings: Iterable[Fitting]
) -> list[GridRow]:
    """A button for each edge of the level where a fitting of this kind may stand.

    ``fittings`` are those that do.
    """
    cells, z = design.levels[level].cells, design.levels[level].z
    stand = {spot_of(one) for one in fittings if one.kind == kind.role}
    inner = kind.at is At.INNER_EDGE

    def spots(cell: Cell) -> Iterator[GridButton]:
        # Each inner edge is named from one side only.
        for side in (Side.E, Side.S) if inner else Side:
            if cell in cells and (cell.beyond(side) in cells) is inner:
                yield _edge_spot(cell, side, wall_place(cell, side, z) in stand)

    return _grid(design, spots)


def ramp_grid(design: Design, level: int) -> list[GridRow]:
    """A button for each outer edge of the level with lower floor beyond it."""
    stands = design.levels[level]
    lower = {cell for one in design.levels if one.z < stands.z for cell in one.cells}
    same = {cell for one in design.levels if one.z == stands.z for cell in one.cells}
    leave = {(one.cell, one.side) for one in design.ramps if one.level == level}

    def spots(cell: Cell) -> Iterator[GridButton]:
        for side in Side:
            beyond = cell.beyond(side)
            offered = cell in stands.cells and beyond in lower and beyond not in same
            if offered or (cell, side) in leave:
                yield _edge_spot(cell, side, (cell, side) in leave)

    return _grid(design, spots)


def _grid(design: Design, spots: Callable[[Cell], Iterator[GridButton]]) -> list[GridRow]:
    window = window_of(design)
    return [[list(spots(Cell(row, col))) for col in window.cols] for row in window.rows]


def spot_id(cell: Cell, side: Side | None = None) -> str:
    """The button's id. Dashes for minus signs would read as separators, so: ``n1`` for -1."""
    row, col = (str(one).replace("-", "n") for one in cell)
    return f"at-{row}-{col}" + (f"-{side}" if side else "")


def _numbers(cell: Cell) -> dict[str, int]:
    return {"row": counted_from_1(cell.row), "col": counted_from_1(cell.col)}


def _cell_spot(cell: Cell, on: bool) -> GridButton:
    name = _("Row %(row)d, column %(col)d") % _numbers(cell)
    return GridButton(spot_id(cell), f"{cell.row},{cell.col}", name, on)


def _edge_spot(cell: Cell, side: Side, on: bool) -> GridButton:
    name = EDGES[side] % _numbers(cell)
    return GridButton(spot_id(cell, side), f"{cell.row},{cell.col},{side}", name, on, side.value)
