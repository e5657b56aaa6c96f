"""The measures that drawings for print go by, each with its source."""

from habitats.drawing.label_sheets import GRIDS, LabelGrid
from habitats.source import PRACTICE, CitedFigure, cited

TENTHS = 10


def print_figures() -> tuple[CitedFigure, ...]:
    grids = map(_words, GRIDS.values())
    return (cited("label_sheets", "Label sheets", PRACTICE, *grids),)


def _words(grid: LabelGrid) -> str:
    width, height = grid.width / TENTHS, grid.height / TENTHS
    return f"{grid.name}: {grid.labels} labels of {width:g} × {height:g} mm"
