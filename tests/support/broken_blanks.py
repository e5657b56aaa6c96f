"""Blanks, broken in one way, and what their checker says."""

from collections.abc import Callable
from dataclasses import replace

from builds.making.blank import Blank, BlankSet, Line, SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from habitats.structure.design import TrayRule
from habitats.structure.structure import Structure

EXACT = TrayRule(150, 0, 1)


def faults_of(
    structure: Structure,
    index: int,
    change: Callable[[Blank], Blank],
    sheet: SheetSize = STOCK_SHEET,
) -> str:
    """What the checker says when one blank is changed; all was well before."""
    blanks = make_blanks(structure)
    assert check_blanks(structure, blanks, sheet) == []
    return with_blanks(structure, blanks, index, change)


def with_blanks(
    structure: Structure, blanks: BlankSet, index: int, change: Callable[[Blank], Blank]
) -> str:
    pieces = list(blanks.blanks)
    pieces[index] = change(pieces[index])
    changed = replace(blanks, blanks=tuple(pieces))
    return "\n".join(check_blanks(structure, changed, STOCK_SHEET))


def moved(blank: Blank, **points: tuple[int, int]) -> Blank:
    """The blank with corners of its outline moved: ``moved(blank, c3=(5, 0))``."""
    outline = list(blank.outline)
    for name, point in points.items():
        outline[int(name[1:])] = point
    return replace(blank, outline=tuple(outline))


def without(lines: tuple[Line, ...], line: tuple[int, ...]) -> tuple[Line, ...]:
    assert line in lines
    return tuple(one for one in lines if one != line)
