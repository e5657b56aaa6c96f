"""The outcome of a drawing on the board: whether it can be made, its figures and its parts."""

from dataclasses import dataclass
from functools import cached_property, partial

from django.utils.translation import gettext as _

from builds.common.figures import (
    BoardFault,
    Figure,
    board_fault,
    floor_figures,
    is_large,
    part_figures,
)
from builds.common.reckonings import sheet_pieces
from habitats import measures
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of, structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.structure import Structure
from habitats.structure.warnings import Caution, warnings_for


@dataclass(frozen=True, eq=False)  # without slots: what is worked out from it is kept at hand
class Outcome:
    """Of a design as it is drawn; ``units`` are the reader's."""

    design: Design
    shape: Shape
    units: str

    @cached_property
    def faults(self) -> list[BoardFault]:
        return [board_fault(fault, self.shape, self.units) for fault in faults_of(self.shape)]

    @cached_property
    def structure(self) -> Structure | None:
        """The latest structure that stands: of this drawing, or the last one that did."""
        shape = self.design.last_sound_shape()
        return structure_of(shape) if shape else None

    @cached_property
    def figures(self) -> list[Figure]:
        if self.structure is None:
            return []
        figures = [*floor_figures(self.structure, self.units), *part_figures(self.structure)]
        if not self.is_large:
            figures.append(Figure(_("Pieces of sheet"), str(sheet_pieces(self.structure))))
        return figures

    @property
    def is_large(self) -> bool:
        """Too large for the view and the blanks to be worked out within one step: they follow."""
        return self.structure is not None and is_large(self.structure)

    @cached_property
    def warnings(self) -> tuple[Caution, ...]:
        if self.faults or self.structure is None:
            return ()
        return warnings_for(self.structure, partial(measures.length, units=self.units))

    @property
    def summary(self) -> str:
        """The state of the drawing in a breath."""
        if self.faults:
            first = self.faults[0]
            return _("Cannot be made yet. %(where)s: %(sentence)s") % {
                "where": first.where,
                "sentence": first.sentence,
            }
        return ", ".join(f"{one.name} {one.value}" for one in self.figures) + "."
