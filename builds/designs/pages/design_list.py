"""Designs in a list, each drawn to the same scale."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.common.figures import Figure, floor_figures
from builds.drawing.draft import outline_picture
from builds.drawing.footprint import footprint_picture
from builds.making.parts import count_panels
from habitats import measures
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.warnings import warnings_for

WIDEST_PX = 240  # the largest design of the list is drawn so wide or high
LEAST_MM_PER_PX = 6.0
BAR_MM = {measures.METRIC: 1000, measures.INCHES: 914}  # one metre, or three feet


class DesignCard(NamedTuple):
    """One design of the list; ``picture`` is a finished SVG."""

    design: Design
    picture: str
    figures: list[Figure]
    is_draft: bool


class DesignList(NamedTuple):
    """Cards, and the bar that tells their common scale: its length in px and in words."""

    cards: list[DesignCard]
    bar_px: int
    bar: str


def cards_of(designs: Iterable[Design], units: str) -> DesignList:
    """The designs with pictures and figures, drawn to one scale."""
    shown = [(design, design.shape()) for design in designs]
    scale = _mm_per_px([shape for _design, shape in shown])
    bar_mm = BAR_MM[units]
    return DesignList(
        [_card(design, shape, scale, units) for design, shape in shown],
        round(bar_mm / scale),
        "3 ft" if units == measures.INCHES else "1 m",
    )


def _mm_per_px(shapes: Sequence[Shape]) -> float:
    longest = max(
        (max(shape.rows, shape.cols) * shape.panel.size_mm for shape in shapes), default=0
    )
    return max(LEAST_MM_PER_PX, longest / WIDEST_PX)


def _card(design: Design, shape: Shape, mm_per_px: float, units: str) -> DesignCard:
    structure = structure_of(shape)
    size = Figure(_("Panel"), measures.length(shape.panel.size_mm, units))
    cells = Figure(_("Cells"), str(sum(len(level.cells) for level in shape.levels)))
    if structure is None:
        return DesignCard(design, outline_picture(shape, mm_per_px=mm_per_px), [cells, size], True)
    panels = Figure(_("Panels"), str(count_panels(structure).total))
    warnings = Figure(_("Notes"), str(len(warnings_for(structure))))
    figures = [*floor_figures(structure, units), panels, cells, size, warnings]
    picture = footprint_picture(structure, mm_per_unit=mm_per_px)
    return DesignCard(design, picture, figures, False)
