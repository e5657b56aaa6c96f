"""Blanks as their sheet plan has them cut: the direction of the flutes is then no wish any more.

A stock sheet's flutes run along its height, so a piece that lies turned on it has them along its
own width. What is drawn and told of a piece is taken from here, so that the drawing beside the
knife and the sheet plan never differ.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace

from builds.cutting import PiecePlacement
from builds.making.altering.alteration import Alteration
from builds.making.altering.lists import new_blanks
from builds.making.blank import STOCK_SHEET, Blank, BlankSet, Flute, SheetSize
from builds.sheets.pieces import lies_turned
from builds.sheets.single import WORK, SheetPlan, sheet_plan

Lay = Callable[[BlankSet, SheetSize], BlankSet]


def piece_as_cut(blank: Blank, placement: PiecePlacement) -> Blank:
    """The blank as the piece at this place of a sheet."""
    turned = lies_turned(blank, placement)
    return replace(blank, cut_flute=Flute.WIDTH if turned else Flute.HEIGHT)


def as_cut(blanks: BlankSet, sheet: SheetSize = STOCK_SHEET) -> BlankSet:
    """A design's blanks as its packet's sheet plan has them cut; what is on no sheet stays open."""
    return replace(blanks, blanks=_laid(blanks.blanks, sheet))


def alteration_as_cut(alteration: Alteration, lay: Lay = as_cut) -> Alteration:
    """The same with its new blanks as cut; ``lay`` as in ``plan_of``.

    Those of trays that stay or are cut down have the flutes they have: they stay open.
    """
    new = {one.what for one in new_blanks(alteration)}
    wanted = alteration.wanted
    to_cut = tuple(one for one in wanted.blanks.blanks if one.code in new)
    as_laid = lay(replace(wanted.blanks, blanks=to_cut), wanted.sheet)
    laid = {one.code: one for one in as_laid.blanks}
    blanks = tuple(laid.get(one.code, one) for one in wanted.blanks.blanks)
    return replace(alteration, wanted=replace(wanted, blanks=replace(wanted.blanks, blanks=blanks)))


def _laid(blanks: Iterable[Blank], sheet: SheetSize) -> tuple[Blank, ...]:
    laid = sheet_plan(blanks, sheet, work=WORK)
    return tuple(_one_as_cut(blank, _flutes_of(key, laid)) for key, blank in laid.blanks.items())


def _flutes_of(key: str, laid: SheetPlan) -> set[Flute]:
    """How the flutes of the pieces cut for a blank run: both ways where some are turned."""
    cut = (
        piece_as_cut(laid.blanks[key], one).cut_flute
        for sheet in laid.plan.sheets
        for one in sheet.placements
        if one.piece == key
    )
    return {flute for flute in cut if flute}


def _one_as_cut(blank: Blank, flutes: set[Flute]) -> Blank:
    return replace(blank, cut_flute=flutes.pop()) if len(flutes) == 1 else blank
