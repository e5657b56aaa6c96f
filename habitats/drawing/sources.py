"""The measures that drawings for print go by, each with its source."""

from habitats.drawing.label_sheets import GRIDS, LabelGrid
from habitats.source import PRACTICE, CitedFigure, cited
from habitats.wording import Figures, message

TENTHS = 10


def print_figures() -> tuple[CitedFigure, ...]:
    grids = map(_words, GRIDS.values())
    return (cited("label_sheets", message("Label sheets"), PRACTICE, *grids),)


def _words(grid: LabelGrid) -> str:
    width, height = grid.width / TENTHS, grid.height / TENTHS
    return message(
        "%(name)s: %(count)d labels of %(width)s × %(height)s mm",
        name=grid.name,
        count=grid.labels,
        width=Figures(f"{width:g}"),
        height=Figures(f"{height:g}"),
    )
