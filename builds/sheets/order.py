"""The order: builds to cut for, and the sheets on offer."""

from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from builds.cutting import StockSheet
from builds.making.altering.laying import Laying
from builds.making.altering.least import alter
from builds.making.altering.lists import new_blank_set
from builds.making.blank import BlankSet, SheetSize
from builds.making.blanks import make_blanks
from habitats.structure.structure import Structure


class Altered(NamedTuple):
    """What stands, made for ``sheet``, and how the drawing lies over it."""

    structure: Structure
    laying: Laying
    sheet: SheetSize


@dataclass(frozen=True, slots=True)
class OrderLine:
    """So many builds of one design; ``who_for`` is empty for nobody in particular.

    ``alters``: what is altered into it, so that only new trays and strips are cut.
    """

    design: str
    code: str
    count: int
    who_for: str
    structure: Structure
    alters: Altered | None = None

    def blanks_for(self, sheet: SheetSize) -> BlankSet:
        """What is cut for one of its builds, made for a sheet of this size."""
        if self.alters is None:
            return make_blanks(self.structure, sheet)
        standing, laying, old = self.alters
        change = alter(standing, self.structure, laying=laying, sheet=sheet, old_sheet=old)
        return new_blank_set(change)


@dataclass(frozen=True, slots=True)
class OfferedSheet:
    """A kind of sheet, or an offcut, to cut from; ``name`` is what people call it."""

    stock: StockSheet
    name: str
    is_offcut: bool = False


@dataclass(frozen=True, slots=True)
class SheetOffer:
    """What may be cut from, and how.

    ``stages`` 3 or None, ``kerf``, ``trim`` and ``least_offcut`` are those of a cutting job.
    ``join_cost`` is what a join counts for in tape and work: tray blanks are joined from more
    pieces than the sheets ask for where that saves more sheet than it; None: never.
    ``seconds`` is how long the search may take.
    """

    stock: tuple[OfferedSheet, ...]
    kerf: int = 0
    trim: int = 0
    stages: int | None = 3
    least_offcut: int = 150
    join_cost: Decimal | None = None
    seconds: float = 2.0

    @property
    def sizes(self) -> tuple[SheetSize, ...]:
        """Usable sizes of the whole sheets, largest first: what blanks are made for."""
        usable = {
            (one.stock.width - 2 * self.trim, one.stock.height - 2 * self.trim)
            for one in self.stock
            if not one.is_offcut
        }
        by_area = sorted(usable, key=lambda size: (-size[0] * size[1], size))
        return tuple(SheetSize(*size) for size in by_area)

    def name_of(self, stock_id: str) -> str:
        return next(one.name for one in self.stock if one.stock.id == stock_id)

    def is_offcut(self, stock_id: str) -> bool:
        return any(one.is_offcut for one in self.stock if one.stock.id == stock_id)


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """Lines to cut for, from what is offered."""

    lines: tuple[OrderLine, ...]
    offer: SheetOffer
