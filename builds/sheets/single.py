"""The sheets of one design, from one kind of sheet: what its packet prints."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache, partial

from builds.cutting import Job, Layout, StockSheet, WantedPiece, cut
from builds.making.blank import STOCK_SHEET, Blank, SheetSize
from builds.making.part_names import numbered_part
from builds.sheets.pieces import shape_of

SHEET = "sheet"
# What one sheet costs where nobody has said: the plan with fewest sheets is the cheapest.
ONE_SHEET = Decimal(1)
# Where the search for fewer sheets ends: a fraction of a second. Counted and not timed, so that
# one design has one sheet plan on every machine and every day.
WORK = 20_000
KEPT = 64

# Returns the layout that is made, which depends on the job and the work alone; it may keep it.
Keeper = Callable[[Job, int, Callable[[], Layout]], Layout]
_keepers: list[Keeper] = []


def keep_by(keeper: Keeper) -> None:
    """Layouts are looked for there before they are searched: said once, where a program begins."""
    _keepers[:] = [keeper]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """Sheets to cut; ``blanks`` gives each piece's blank by its id, in the blanks' order."""

    plan: Layout
    blanks: dict[str, Blank]

    @property
    def names(self) -> dict[str, str]:
        """What each piece is called, by its id: that is its number among these blanks."""
        return {key: numbered_part(key, blank.code) for key, blank in self.blanks.items()}


def sheet_plan(
    blanks: Iterable[Blank],
    sheet: SheetSize = STOCK_SHEET,
    *,
    work: int | None = None,
) -> SheetPlan:
    """Lay the blanks out on as few sheets as the engine finds.

    ``work`` bounds the search as in ``cut``; the same work gives the same plan. None: as long as
    ``cut`` takes by itself.
    """
    by_id = _by_id(blanks)
    job = _job(by_id, sheet)
    return SheetPlan(_counted(job, work) if work else cut(job), by_id)


def job_of(blanks: Iterable[Blank], sheet: SheetSize = STOCK_SHEET) -> Job:
    """What is searched for to lay them out."""
    return _job(_by_id(blanks), sheet)


def _by_id(blanks: Iterable[Blank]) -> dict[str, Blank]:
    return {str(number): blank for number, blank in enumerate(blanks, start=1)}


def _job(by_id: dict[str, Blank], sheet: SheetSize) -> Job:
    return Job(
        pieces=tuple(_piece(key, blank) for key, blank in by_id.items()),
        stock=(StockSheet(SHEET, sheet.width_mm, sheet.height_mm, None, ONE_SHEET),),
    )


@lru_cache(maxsize=KEPT)
def _counted(job: Job, work: int) -> Layout:
    """What is told of one design is told of one plan: found once, and the same each time."""
    search = partial(cut, job, work=work)
    return _keepers[0](job, work, search) if _keepers else search()


def _piece(key: str, blank: Blank) -> WantedPiece:
    width, height, turnable = shape_of(blank)
    return WantedPiece(key, width, height, blank.quantity, rotate=turnable)
