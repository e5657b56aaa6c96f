"""Sheet plans for the packet: sheets that are cut alike are drawn once."""

from collections import Counter
from collections.abc import Iterable, Mapping

from builds.cutting import Cut, CutSheet, NotSeparable, cut_sequence
from builds.drawing.sheets import sheet_picture
from builds.making.blank import Blank, SheetSize
from builds.making.part_names import numbered_part
from builds.packet.paper.ink import inked
from builds.packet.paper.options import Options
from builds.packet.paper.values import CutLine, SheetCard
from builds.sheets import WORK, SheetPlan, sheet_plan


def sheet_cards(
    blanks: Iterable[Blank], sheet: SheetSize, numbers: Mapping[str, int], options: Options
) -> tuple[SheetCard, ...]:
    """``numbers`` gives the number of each blank's card by its code."""
    laid = sheet_plan(blanks, sheet, work=WORK)
    alike = Counter(laid.plan.sheets)
    return tuple(
        _card(number, sheet, copies, laid, numbers, options)
        for number, (sheet, copies) in enumerate(alike.items(), start=1)
    )


def _card(
    number: int,
    sheet: CutSheet,
    copies: int,
    laid: SheetPlan,
    numbers: Mapping[str, int],
    options: Options,
) -> SheetCard:
    codes = {key: blank.code for key, blank in laid.blanks.items()}
    names = {key: numbered_part(numbers[code], code) for key, code in codes.items()}
    pieces = Counter(names[one.piece] for one in sheet.placements)
    picture = sheet_picture(
        sheet,
        names.__getitem__,
        lambda piece: str(numbers[codes[piece]]),
        lengths=options.lengths,
    )
    return SheetCard(
        number=number,
        copies=copies,
        size_mm=(sheet.stock.width, sheet.stock.height),
        picture=inked(picture, options),
        pieces=tuple(pieces.items()),
        cuts=cut_lines(sheet),
    )


def cut_lines(sheet: CutSheet, *, kerf: int = 0, trim: int = 0) -> tuple[CutLine, ...]:
    """The cuts of a sheet in words; none if no straight cuts take it apart."""
    try:
        cuts = cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        return ()
    # A sheet is drawn lying on its long side: what runs down the sheet then runs across the paper.
    is_lying = sheet.stock.height > sheet.stock.width
    return tuple(_cut_line(cut, is_lying) for cut in cuts)


def _cut_line(cut: Cut, is_lying: bool) -> CutLine:
    """Where to lay the straightedge on the part that is being cut, as it is drawn."""
    runs_down = cut.x1 == cut.x2
    return CutLine(
        number=cut.number,
        is_down=runs_down != is_lying,
        from_edge_mm=cut.x1 - cut.part.x if runs_down else cut.y1 - cut.part.y,
        length_mm=cut.part.height if runs_down else cut.part.width,
    )
