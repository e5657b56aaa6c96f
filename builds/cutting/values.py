"""What a cutting job asks and what a plan answers.

Whole millimetres. The origin is the top left corner of the sheet, x grows to the right and y down.
Kerf is the material a cut turns to dust: neighbours keep at least that distance. Trim is lost along
each outer edge of a stock sheet, so the usable part of a sheet is smaller by twice the trim.
Costs are exact decimals, so that a plan's cost can be compared with its bound.
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class WantedPiece:
    """One kind of piece wanted; `rotate` says whether it may be turned by 90 degrees."""

    id: str
    width: int
    height: int
    quantity: int = 1
    rotate: bool = True


@dataclass(frozen=True, slots=True)
class StockSheet:
    """One kind of sheet; `quantity` None means that any number can be had, `cost` is for one."""

    id: str
    width: int
    height: int
    quantity: int | None
    cost: Decimal

    @property
    def area(self) -> int:
        return self.width * self.height


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be cut from what.

    `guillotine`: each cut runs straight across the part it cuts. `stages` then bounds how often
    the direction of the cuts may change: 3 is across the sheet, into strips, into pieces; None is
    as often as it takes. Cuts that only free a single piece from waste are not counted.
    `seconds` is how long the caller means to wait. Of plans that cost the same, the one with the
    largest offcut is taken; an offcut is worth keeping if both its sides have `least_offcut`.
    """

    pieces: tuple[WantedPiece, ...]
    stock: tuple[StockSheet, ...]
    kerf: int = 0
    trim: int = 0
    guillotine: bool = True
    stages: int | None = 3
    seconds: float = 2.0
    least_offcut: int = 150


@dataclass(frozen=True, slots=True)
class PiecePlacement:
    """One piece on a sheet; `width` and `height` as it lies there, turned if `rotated`."""

    piece: str
    x: int
    y: int
    width: int
    height: int
    rotated: bool


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle of a sheet that is left over."""

    x: int
    y: int
    width: int
    height: int

    @property
    def area(self) -> int:
        return self.width * self.height


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One stock sheet as it is cut; offcuts largest first."""

    stock: StockSheet
    placements: tuple[PiecePlacement, ...]
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True, slots=True)
class Unplaced:
    """So many of a piece are on no sheet, and why: a sentence for the person who asked."""

    piece: str
    quantity: int
    reason: str


@dataclass(frozen=True, slots=True)
class Layout:
    """Sheets to cut, and how good that is.

    `lower_bound`: no plan that places the same pieces costs less than this.
    `optimal`: every piece that fits a sheet is placed and the cost meets the bound.
    """

    sheets: tuple[CutSheet, ...]
    cost: Decimal
    lower_bound: Decimal
    optimal: bool
    unplaced: tuple[Unplaced, ...]

    @property
    def used_fraction(self) -> float:
        """Area of the pieces by area of the sheets they are cut from; 0 without sheets."""
        whole = sum(sheet.stock.area for sheet in self.sheets)
        used = sum(p.width * p.height for sheet in self.sheets for p in sheet.placements)
        return used / whole if whole else 0.0
