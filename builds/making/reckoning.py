"""The result of a design, worked out once: what pages, print and commands show."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from builds.making.assembly import order_of_work
from builds.making.blank import STOCK_SHEET, BlankSet, SheetSize
from builds.making.blanks import make_blanks
from builds.making.parts import PartList, list_parts
from builds.making.step import Step
from habitats.measures import length
from habitats.structure.caution import Caution
from habitats.structure.design import Design, Limits
from habitats.structure.structure import Structure, raise_structure
from habitats.structure.warnings import warnings_for


@dataclass(frozen=True, slots=True)
class Reckoning:
    """A design reckoned: its structure, blanks, parts, steps in order, and warnings.

    ``sheet``: what its blanks are made for.
    """

    structure: Structure
    blanks: BlankSet
    parts: PartList
    steps: tuple[Step, ...]
    warnings: tuple[Caution, ...]
    sheet: SheetSize = STOCK_SHEET


def plan_of(
    design: Design,
    limits: Limits | None = None,
    *,
    sheet: SheetSize = STOCK_SHEET,
    lengths: Callable[[int], str] = length,
    lay: Callable[[BlankSet, SheetSize], BlankSet] | None = None,
) -> Reckoning:
    """Reckon a design. ``lengths`` writes millimetres in the reader's units into instructions.

    ``lay`` returns the blanks as a sheet plan has them cut (``builds.sheets.as_cut``); without
    it the flutes of those that may be turned stay open. ``limits`` None: the usual slope.

    Raises ``BadDesign`` naming every reason why it cannot stand.
    """
    structure = raise_structure(design, limits)
    made = make_blanks(structure, sheet)
    blanks = lay(made, sheet) if lay else made
    parts = list_parts(structure, blanks)
    return Reckoning(
        structure=structure,
        blanks=blanks,
        parts=parts,
        steps=order_of_work(structure, blanks, parts, lengths=lengths),
        warnings=warnings_for(structure, lengths),
        sheet=sheet,
    )


def told_in(reckoning: Reckoning, lengths: Callable[[int], str]) -> Reckoning:
    """The same, told to one who reads lengths in other units."""
    structure, blanks, parts = reckoning.structure, reckoning.blanks, reckoning.parts
    return replace(
        reckoning,
        steps=order_of_work(structure, blanks, parts, lengths=lengths),
        warnings=warnings_for(structure, lengths),
    )
