"""The measures that drawings for print go by, each with its source."""

from habitats.decimals import trimmed_tenths
from habitats.drawing.label_sheets import GRIDS, LabelGrid
from habitats.source import PRACTICE, CitedFigure, cited
from habitats.wording import message

TENTHS = 10


def print_figures() -> tuple[CitedFigure, ...]:
    grids = map(_words, GRIDS.values())
    return (cited("label_sheets", message("Label sheets"), PRACTICE, *grids),)


def _words(grid: LabelGrid) -> str:
    width, height = grid.width / TENTHS, grid.height / TENTHS
    return message(
        "%(name)s: %(count)d labels of %(width)s mm × %(height)s mm",
        name=grid.name,
        count=grid.labels,
        width=trimmed_tenths(width),
        height=trimmed_tenths(height),
    )
