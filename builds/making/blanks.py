"""All blanks of a structure: the flat patterns of its trays and the strips of its ramps."""

from builds.making.blank import STOCK_SHEET, BlankSet, SheetSize
from builds.making.strips import strip_blanks
from builds.making.trays import tray_blanks
from habitats.structure.structure import Structure

__all__ = ["OVERLAP_MM", "STOCK_SHEET", "BlankSet", "SheetSize", "make_blanks"]

OVERLAP_MM = 50  # how far joined pieces reach under and over each other; common practice

# Tape for what goes askew. Common practice, no source.
TAPE_ALLOWANCE_PERCENT = 10


def make_blanks(
    structure: Structure, sheet: SheetSize = STOCK_SHEET, *, overlap_mm: int = OVERLAP_MM
) -> BlankSet:
    """Every blank of a structure: its trays from the ground up, then its ramps' strips.

    ``overlap_mm`` is at least 20. Never raises for a structure and a sheet: what cannot be made
    from the sheet is told in ``unmade``.
    """
    parts = [tray_blanks(tray, sheet, overlap_mm) for tray in structure.trays]
    parts += [strip_blanks(ramp, i, sheet, overlap_mm) for i, ramp in enumerate(structure.ramps)]
    tape = sum(part.tape_mm for part in parts)
    return BlankSet(
        blanks=tuple(blank for part in parts for blank in part.blanks),
        joins=tuple(join for part in parts for join in part.joins),
        tape_mm=-(-tape * (100 + TAPE_ALLOWANCE_PERCENT) // 100),
        unmade=tuple(one for part in parts for one in part.unmade),
    )
