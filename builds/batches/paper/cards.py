"""Sheets of a plan as they are shown and printed: those that are cut alike are one card."""

from collections.abc import Sequence
from typing import NamedTuple

from django.utils.translation import gettext as _

from builds.cutting import CutSheet, PiecePlacement
from builds.drawing.dimension import Lengths
from builds.drawing.sheets import sheet_picture
from builds.packet.paper.sheet_cards import cut_lines
from builds.packet.paper.values import CutLine
from builds.sheets import CuttingPlan, SheetBuild, sheets_alike
from builds.sheets.plan import freeing_cut
from habitats.measures import size
from habitats.wording import joined, message


class PieceRow(NamedTuple):
    """Where one place of the sheet goes; ``whom`` names the build for each sheet of the card.

    ``numbers`` are those of its pieces, sheet by sheet.
    """

    numbers: str
    cut: int | None
    part: str
    size: str
    whom: str


class CuttingCard(NamedTuple):
    """Sheets that are cut alike. ``numbers`` are theirs; ``used`` is the part that is used."""

    numbers: tuple[int, ...]
    stock: str
    is_offcut: bool
    size_mm: tuple[int, int]
    picture: str
    cuts: tuple[CutLine, ...]
    rows: tuple[PieceRow, ...]
    used: float

    @property
    def heading(self) -> str:
        numbers = {"numbers": ranges(self.numbers)}
        if len(self.numbers) == 1:
            return _("Sheet %(numbers)s") % numbers
        return _("Sheets %(numbers)s, all cut alike") % numbers


def cards_of(plan: CuttingPlan, lengths: Lengths) -> tuple["LazyCard", ...]:
    """A card for each way a sheet is cut; drawn when it is asked for its ``card``."""
    alike = sheets_alike(plan.plan.sheets)
    return tuple(LazyCard(plan, tuple(numbers), lengths) for numbers in alike.values())


class LazyCard(NamedTuple):
    """A card not drawn yet: of a long plan only the page that is shown is drawn."""

    plan: CuttingPlan
    numbers: tuple[int, ...]
    lengths: Lengths

    @property
    def card(self) -> CuttingCard:
        plan, offer = self.plan, self.plan.offer
        sheets = [plan.plan.sheets[number - 1] for number in self.numbers]
        stock = sheets[0].stock
        return CuttingCard(
            numbers=self.numbers,
            stock=offer.name_of(stock.id),
            is_offcut=offer.is_offcut(stock.id),
            size_mm=(stock.width, stock.height),
            picture=picture_of(plan, self.numbers, self.lengths),
            cuts=cut_lines(sheets[0], kerf=offer.kerf, trim=offer.trim),
            rows=_rows(plan, self.numbers, self.lengths),
            used=sum(one.width * one.height for one in sheets[0].placements) / stock.area,
        )


def picture_of(plan: CuttingPlan, numbers: Sequence[int], lengths: Lengths) -> str:
    """The drawing of sheets that are cut alike: pieces named by number and part; of many sheets
    with the number on the first and on the last of them.
    """
    sheets = [plan.plan.sheets[number - 1] for number in numbers]
    places = {one.piece: _same_place(sheets, one) for one in sheets[0].placements}
    return sheet_picture(
        sheets[0],
        lambda piece: joined(" ", [_key(plan, places[piece]), _parts(plan, places[piece])]),
        lambda piece: _key(plan, places[piece]),
        lengths=lengths,
        kerf=plan.offer.kerf,
        trim=plan.offer.trim,
        title=_("Sheet %(sheet)s: pieces and cuts") % {"sheet": ranges(numbers)},
    )


def _same_place(sheets: Sequence[CutSheet], first: PiecePlacement) -> list[PiecePlacement]:
    index = sheets[0].placements.index(first)
    return [sheet.placements[index] for sheet in sheets]


def _key(plan: CuttingPlan, places: Sequence[PiecePlacement]) -> str:
    """The number of the piece, or those on the first and on the last of several sheets."""
    numbers = [plan.number_of(one.piece) for one in places]
    return numbers[0] if len(numbers) == 1 else f"{numbers[0]} … {numbers[-1]}"


def _parts(plan: CuttingPlan, places: Sequence[PiecePlacement]) -> str:
    """What the place is cut for, each part once: pieces of one size may be different parts."""
    names = dict.fromkeys(plan.wanted(one.piece)[1].name for one in places)
    return joined(message(" or "), [*names])


def _rows(plan: CuttingPlan, numbers: Sequence[int], lengths: Lengths) -> tuple[PieceRow, ...]:
    sheets = [plan.plan.sheets[number - 1] for number in numbers]
    cuts = plan.cuts(sheets[0])
    rows = []
    for places in zip(*(sheet.placements for sheet in sheets), strict=True):
        first = places[0]
        row = PieceRow(
            numbers=", ".join(plan.number_of(one.piece) for one in places),
            cut=freeing_cut(first, cuts),
            part=_parts(plan, places),
            size=_as_drawn(first, sheets[0], lengths),
            whom=_whom([plan.wanted(one.piece)[0] for one in places], numbers),
        )
        rows.append(row)
    return tuple(sorted(rows, key=lambda row: row.cut or 0))


def _as_drawn(placement: PiecePlacement, sheet: CutSheet, lengths: Lengths) -> str:
    """Across and down the paper, on which a sheet is drawn lying on its long side."""
    sides = (placement.width, placement.height)
    is_lying = sheet.stock.height > sheet.stock.width
    across, down = sides[::-1] if is_lying else sides
    return size((across, down), lengths)


def _whom(builds: Sequence[SheetBuild], numbers: Sequence[int]) -> str:
    named = [f"{build.number} {build_name(build)}" for build in builds]
    if len(named) == 1:
        return named[0]
    return "; ".join(
        _("sheet %(number)d: %(name)s") % {"number": number, "name": name}
        for number, name in zip(numbers, named, strict=True)
    )


def build_name(build: SheetBuild) -> str:
    """For whom it is, or the design where nobody is named."""
    return build.made.who_for or build.made.design


def ranges(numbers: Sequence[int]) -> str:
    """``1, 3–5``: numbers in a row are told by the first and the last."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )
