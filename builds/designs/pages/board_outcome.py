"""The outcome of a drawing on the board: whether it can be made, its figures and its parts."""

from dataclasses import dataclass
from functools import cached_property, partial
from typing import NamedTuple

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
from builds.designs.pages.advice import TO_DO, AdviceLine, advice_of
from habitats import measures
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of, structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.faults import FileFault
from habitats.structure.remedies import Remedy, remedies_for
from habitats.structure.structure import Structure
from habitats.structure.warnings import warnings_for

MOST_WITH_REMEDIES = 3  # faults for which changes are tried; there may be very many


class FaultWithRemedies(NamedTuple):
    """A fault as the board says it, with the changes that mend it."""

    fault: BoardFault
    remedies: list[Remedy]


@dataclass(frozen=True, eq=False)  # without slots: what is worked out from it is kept at hand
class Outcome:
    """Of a design as it is drawn; ``units`` are the reader's."""

    design: Design
    shape: Shape
    units: str

    @cached_property
    def faults(self) -> list[BoardFault]:
        return [board_fault(fault, self.shape, self.units) for fault in faults_of(self.shape)]

    @property
    def is_begun(self) -> bool:
        """Nothing is wrong, but that levels have no cell yet."""
        return bool(self.faults) and all(self._is_empty(one) for one in faults_of(self.shape))

    @cached_property
    def with_remedies(self) -> list[FaultWithRemedies]:
        """The first faults, each with the changes that mend it."""
        faults = faults_of(self.shape)[:MOST_WITH_REMEDIES]
        return [
            FaultWithRemedies(words, remedies_for(self.shape, fault, faults_of))
            for fault, words in zip(faults, self.faults, strict=False)
        ]

    @property
    def faults_left(self) -> int:
        """How many are not told one by one."""
        return max(0, len(self.faults) - MOST_WITH_REMEDIES)

    def _is_empty(self, fault: FileFault) -> bool:
        what, number = fault.subject
        return what == "levels" and number is not None and not self.shape.levels[number].cells

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
    def advice(self) -> list[AdviceLine]:
        if self.faults or self.structure is None:
            return []
        return advice_of(warnings_for(self.structure, partial(measures.length, units=self.units)))

    @property
    def to_do(self) -> list[AdviceLine]:
        """What of the advice is to be mended before it is built."""
        found = {one.code: one for one in self.advice}
        return [found[code] for code in TO_DO if code in found]

    @property
    def summary(self) -> str:
        """The state of the drawing in a breath."""
        if self.is_begun:
            return _("Draw the first cell of the new level.")
        if self.faults:
            first = self.faults[0]
            return _("Cannot be made yet. %(where)s: %(sentence)s") % {
                "where": first.where,
                "sentence": first.sentence,
            }
        return ", ".join(f"{one.name} {one.value}" for one in self.figures) + "."
