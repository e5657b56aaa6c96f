"""All blanks of a structure: the flat patterns of its trays and the strips of its ramps."""

from collections.abc import Collection, Iterable, Sequence

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
    return _together(parts)


def blanks_with_old(
    structure: Structure,
    sheet: SheetSize,
    old: SheetSize,
    levels: Collection[int],
    ramps: Collection[int],
) -> BlankSet:
    """The same where the trays of these levels and the strips of these ramps were made before, for
    an ``old`` kind of sheet: joined from other pieces."""
    parts = [
        tray_blanks(tray, old if tray.level in levels else sheet, OVERLAP_MM)
        for tray in structure.trays
    ]
    parts += [
        strip_blanks(ramp, i, old if i in ramps else sheet, OVERLAP_MM)
        for i, ramp in enumerate(structure.ramps)
    ]
    return _together(parts)


def _together(parts: Sequence[BlankSet]) -> BlankSet:
    return BlankSet(
        blanks=tuple(blank for part in parts for blank in part.blanks),
        joins=tuple(join for part in parts for join in part.joins),
        tape_mm=_with_allowance(sum(part.tape_mm for part in parts)),
        unmade=tuple(one for part in parts for one in part.unmade),
    )


def tape_for(
    structure: Structure,
    levels: Iterable[int],
    ramps: Iterable[int],
    sheet: SheetSize = STOCK_SHEET,
) -> int:
    """Tape in mm for the trays of these levels and the strips of these ramps, with allowance."""
    trays = (tray_blanks(structure.trays[one], sheet, OVERLAP_MM) for one in levels)
    strips = (strip_blanks(structure.ramps[one], one, sheet, OVERLAP_MM) for one in ramps)
    return _with_allowance(sum(one.tape_mm for one in (*trays, *strips)))


def _with_allowance(tape_mm: int) -> int:
    return -(-tape_mm * (100 + TAPE_ALLOWANCE_PERCENT) // 100)
