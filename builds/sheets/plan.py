"""A plan over all builds, and the share of each build in it.

A placement's piece is called after the build and the blank it is cut for, both counted from 1:
``"3.2"`` is the second blank of the third build.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property, lru_cache
from typing import NamedTuple

from builds.cutting import (
    Cut,
    CutSheet,
    Layout,
    NotSeparable,
    Offcut,
    PiecePlacement,
    StockSheet,
    cut_sequence,
)
from builds.making.blank import Blank, SheetSize
from builds.making.part_names import numbered_part
from builds.making.unmade import Unmade
from builds.sheets.as_cut import piece_as_cut
from builds.sheets.order import SheetOffer

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class MadeLine:
    """A line of the order as it is cut: the blanks of one of its builds, made for ``sheet``."""

    design: str
    code: str
    count: int
    who_for: str
    sheet: SheetSize
    blanks: tuple[Blank, ...]
    joins: int
    tape_mm: int
    unmade: tuple[Unmade, ...] = ()


@dataclass(frozen=True, slots=True)
class Trial:
    """One way that was weighed: the sizes its blanks were made for, line by line, and its plan."""

    sheets_for: tuple[SheetSize, ...]
    cost: Decimal
    sheets: int
    joins: int
    unplaced: int
    is_taken: bool = False


@dataclass(frozen=True, slots=True)
class SheetBuild:
    """One enclosure to cut for; ``copy`` counts those of its line from 1."""

    number: int
    line: int
    copy: int
    made: MadeLine


class CutPiece(NamedTuple):
    """One piece as it comes off the sheets, its ``blank`` with the flutes as it is cut.

    ``sheet`` is the number of the sheet, ``cut`` of the cut that frees the piece there; None if
    the piece is the whole sheet, or no straight cuts take the sheet apart.
    """

    build: SheetBuild
    blank: Blank
    sheet: int
    cut: int | None
    placement: PiecePlacement


class Missing(NamedTuple):
    """So many of a build's blank are on no sheet, and why."""

    build: SheetBuild
    blank: Blank
    quantity: int
    reason: str


class Kept(NamedTuple):
    """An offcut worth keeping: the number of its sheet, what that was cut from, and where."""

    sheet: int
    stock: StockSheet
    offcut: Offcut


class Share(NamedTuple):
    """What the plan holds for one build; ``cost`` is its share by area, in whole cents."""

    build: SheetBuild
    pieces: tuple[CutPiece, ...]
    missing: tuple[Missing, ...]
    area_mm2: int
    cost: Decimal

    @property
    def sheets(self) -> tuple[int, ...]:
        return tuple(sorted({piece.sheet for piece in self.pieces}))


@dataclass(frozen=True)  # without slots, so that what is worked out from it is kept at hand
class CuttingPlan:
    """Sheets to cut for a whole order; sheets are counted from 1 in the order of ``plan``."""

    made: tuple[MadeLine, ...]
    offer: SheetOffer
    plan: Layout
    trials: tuple[Trial, ...] = ()

    @cached_property
    def builds(self) -> tuple[SheetBuild, ...]:
        return tuple(_each_build(self.made))

    def number_of(self, piece: str) -> str:
        """The number that no other piece of the plan has: ``2``, or of several builds ``3.2``.

        The last part is the number of the blank's card in the packet of its build, where the
        plan makes the blanks of the same sheet.
        """
        return piece if len(self.builds) > 1 else piece.rpartition(".")[2]

    def name_of(self, piece: str) -> str:
        """What a piece is called: its number and its part."""
        return numbered_part(self.number_of(piece), self.wanted(piece)[1].code)

    def wanted(self, piece: str) -> tuple[SheetBuild, Blank]:
        """The build and the blank that a piece of this id is for."""
        build_number, blank_number = (int(part) for part in piece.split("."))
        build = self.builds[build_number - 1]
        return build, build.made.blanks[blank_number - 1]

    def cuts(self, sheet: CutSheet) -> tuple[Cut, ...]:
        """Its cuts in order; none if no straight cuts take it apart."""
        return _cuts(sheet, self.offer.kerf, self.offer.trim)

    @cached_property
    def pieces(self) -> tuple[CutPiece, ...]:
        """Every piece, sheet by sheet, in the order in which the cuts free them."""
        return tuple(
            piece
            for number, sheet in enumerate(self.plan.sheets, start=1)
            for piece in self._pieces_of(number, sheet)
        )

    def _pieces_of(self, number: int, sheet: CutSheet) -> list[CutPiece]:
        cuts = self.cuts(sheet)
        freed = [
            CutPiece(build, piece_as_cut(blank, one), number, freeing_cut(one, cuts), one)
            for one in sheet.placements
            for build, blank in [self.wanted(one.piece)]
        ]
        return sorted(freed, key=lambda piece: (piece.cut or 0, piece.placement.y))

    @cached_property
    def missing(self) -> tuple[Missing, ...]:
        return tuple(
            Missing(*self.wanted(one.piece), one.quantity, one.reason) for one in self.plan.unplaced
        )

    @property
    def whole(self) -> tuple[int, ...]:
        """Line by line, for how many of its builds every piece is on the sheets."""
        lacking = {one.build.number for one in self.missing}
        found = [0] * len(self.made)
        for build in self.builds:
            found[build.line] += build.number not in lacking and not build.made.unmade
        return tuple(found)

    @property
    def offcuts_to_keep(self) -> tuple[Kept, ...]:
        """Offcuts with both sides as long as the least that is useful, sheet by sheet."""
        return tuple(
            Kept(number, sheet.stock, offcut)
            for number, sheet in enumerate(self.plan.sheets, start=1)
            for offcut in sheet.offcuts
            if min(offcut.width, offcut.height) >= self.offer.least_offcut
        )

    @property
    def taken(self) -> Counter[str]:
        """How many of each stock id are cut up."""
        return Counter(sheet.stock.id for sheet in self.plan.sheets)

    @cached_property
    def shares(self) -> tuple[Share, ...]:
        """What it holds for each build; pieces, areas and costs add up to the whole."""
        by_build: dict[int, list[CutPiece]] = {build.number: [] for build in self.builds}
        for piece in self.pieces:
            by_build[piece.build.number].append(piece)
        areas = [sum(_area(piece) for piece in pieces) for pieces in by_build.values()]
        costs = split_cost(self.plan.cost, areas)
        missing: dict[int, list[Missing]] = {number: [] for number in by_build}
        for one in self.missing:
            missing[one.build.number].append(one)
        return tuple(
            Share(build, tuple(pieces), tuple(missing[build.number]), area, cost)
            for build, pieces, area, cost in zip(
                self.builds, by_build.values(), areas, costs, strict=True
            )
        )

    @property
    def joins(self) -> int:
        return sum(one.joins * one.count for one in self.made)

    @property
    def tape_mm(self) -> int:
        return sum(one.tape_mm * one.count for one in self.made)

    @property
    def unmade(self) -> tuple[tuple[MadeLine, str], ...]:
        """What no sheet on offer can make at all, and why."""
        return tuple((one, unmade.sentence) for one in self.made for unmade in one.unmade)


def _each_build(made: tuple[MadeLine, ...]) -> Iterator[SheetBuild]:
    number = 0
    for line, one in enumerate(made):
        for copy in range(1, one.count + 1):
            number += 1
            yield SheetBuild(number, line, copy, one)


@lru_cache(maxsize=1024)
def _cuts(sheet: CutSheet, kerf: int, trim: int) -> tuple[Cut, ...]:
    try:
        return cut_sequence(sheet, kerf=kerf, trim=trim)
    except NotSeparable:
        return ()


def freeing_cut(placement: PiecePlacement, cuts: tuple[Cut, ...]) -> int | None:
    """The number of the last cut across a part that still holds the piece; None without cuts."""
    return max((cut.number for cut in cuts if _holds(cut, placement)), default=None)


def _holds(cut: Cut, placement: PiecePlacement) -> bool:
    part = cut.part
    return (
        part.x <= placement.x
        and part.y <= placement.y
        and placement.x + placement.width <= part.x + part.width
        and placement.y + placement.height <= part.y + part.height
    )


def _area(piece: CutPiece) -> int:
    return piece.placement.width * piece.placement.height


def split_cost(cost: Decimal, areas: list[int]) -> list[Decimal]:
    """The cost in whole cents by area; what rounding leaves goes to the largest remainders."""
    whole = sum(areas)
    if not whole:
        return [Decimal(0)] * len(areas)
    cents = int(cost / CENT)
    shares = [cents * area // whole for area in areas]
    by_remainder = sorted(range(len(areas)), key=lambda i: (-(cents * areas[i] % whole), i))
    for index in by_remainder[: cents - sum(shares)]:
        shares[index] += 1
    return [share * CENT for share in shares]
