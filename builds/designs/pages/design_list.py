"""Designs in a list, each drawn to the same scale."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple, Self

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

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


class Scale(NamedTuple):
    """One scale for many pictures, and the bar that tells it: its length in px and in words."""

    mm_per_px: float
    bar_px: int
    bar: str

    @classmethod
    def of(cls, shapes: Sequence[Shape], units: str) -> Self:
        """So that the largest of the shapes is as wide or high as a picture may be."""
        sides = (max(shape.rows, shape.cols) * shape.panel.size_mm for shape in shapes)
        mm_per_px = max(LEAST_MM_PER_PX, max(sides, default=0) / WIDEST_PX)
        bar = "3 ft" if units == measures.INCHES else "1 m"
        return cls(mm_per_px, round(BAR_MM[units] / mm_per_px), bar)


class DesignList(NamedTuple):
    cards: list[DesignCard]
    scale: Scale


def cards_of(designs: Iterable[Design], units: str) -> DesignList:
    """The designs with pictures and figures, drawn to one scale."""
    shown = [(design, design.shape()) for design in designs]
    scale = Scale.of([shape for _design, shape in shown], units)
    cards = [_card(design, shape, scale.mm_per_px, units) for design, shape in shown]
    return DesignList(cards, scale)


def _card(design: Design, shape: Shape, mm_per_px: float, units: str) -> DesignCard:
    structure = structure_of(shape)
    size = Figure(_("Panel"), measures.length(shape.panel.size_mm, units))
    cells = Figure(_("Cells"), str(sum(len(level.cells) for level in shape.levels)))
    if structure is None:
        return DesignCard(design, outline_picture(shape, mm_per_px=mm_per_px), [cells, size], True)
    panels = Figure(_("Panels"), str(count_panels(structure).total))
    warnings = Figure(pgettext("about a design", "Notes"), str(len(warnings_for(structure))))
    figures = [*floor_figures(structure, units), panels, cells, size, warnings]
    picture = footprint_picture(structure, mm_per_unit=mm_per_px)
    return DesignCard(design, picture, figures, False)
