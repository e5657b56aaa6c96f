"""The measures that drawings for print go by, each with its source."""

from habitats.drawing.label_sheets import GRIDS, LabelGrid, label_size
from habitats.measures import METRIC
from habitats.source import PRACTICE, CitedFigure, cited
from habitats.wording import message


def print_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    grids = [_words(grid, units) for grid in GRIDS.values()]
    return (cited("label_sheets", message("Label sheets"), PRACTICE, *grids),)


def _words(grid: LabelGrid, units: str) -> str:
    return message(
        "%(name)s: %(count)d labels of %(size)s",
        name=grid.name,
        count=grid.labels,
        size=label_size(grid, units),
    )
