"""The state of the pulls of one build, or of a batch together.

Before a pull is begun the same says what it would ask for and what would be short.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

from builds.batches.models.cutting_jobs import CuttingJob
from builds.making.blank import SheetSize
from builds.making.blanks import make_blanks
from builds.plans.models.builds import NEEDING, Build
from builds.pulls.models.accounts import Account, Amounts, PullAccount, accounts_of
from builds.pulls.models.pull_rows import Row, rows_of, rows_with_places
from builds.pulls.models.pulls import Pull, PullEnd, ShortPick
from builds.sheets import shape_of
from builds.sheets.pieces import Shape as Rectangle
from builds.store.models.items import Item
from builds.store.models.needs import CannotMake
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from habitats.designs.models.structures import structure_of
from habitats.structure.design import Design as Shape

CLOSED = (PullEnd.How.COMPLETE, PullEnd.How.SHORT)


class AtPlace(NamedTuple):
    """A place, and what to take from it: rows with how many."""

    place: Place
    rows: list[tuple[Row, int]]


@dataclass(frozen=True)  # without slots, as the two below: what is asked for is kept at hand
class Ahead:
    """What pulls that are begun now would ask for, of builds that need something."""

    accounts: tuple[Account, ...]

    @property
    def builds(self) -> list[Build]:
        """Those for which a pull would ask for something."""
        return [one.build for one in self._asking]

    @cached_property
    def rows(self) -> list[Row]:
        wanted = Counter[Item]()
        for one in self.accounts:
            wanted.update(self._wanted[one])
        counts = [(item, count, 0, count, ()) for item, count in wanted.items()]
        return rows_with_places(counts, [one.build for one in self.accounts])

    @property
    def short(self) -> list[Row]:
        return [row for row in self.rows if row.short]

    @cached_property
    def cannot(self) -> list[str]:
        """Why some cannot be reckoned, a sentence each."""
        found = []
        for one in self.accounts:
            try:
                _ = one.wanted
            except CannotMake as reason:
                found.append(str(reason))
        return found

    @property
    def uncounted(self) -> list[str]:
        return [what for one in self._asking for what in one.needs.missing]

    @property
    def _asking(self) -> list[Account]:
        return [one for one in self.accounts if self._wanted[one]]

    @cached_property
    def _wanted(self) -> dict[Account, Amounts]:
        return {one: _wanted_now(one) for one in self.accounts}


def _wanted_now(account: Account) -> Amounts:
    try:
        return {} if account.waits_for_cutting else account.own_wanted
    except CannotMake:
        return {}


@dataclass(frozen=True)
class SheetsToCut:
    """The sheets of builds, and who cuts them; ``pulls`` are those that ask for them still."""

    accounts: tuple[Account, ...]
    pulls: tuple[PullAccount, ...]

    @cached_property
    def rows(self) -> list[Row]:
        rows = rows_of(self.pulls, [one.build for one in self.accounts])
        return [row for row in rows if row.item.kind == Item.Kind.SHEET]

    @cached_property
    def jobs(self) -> list[CuttingJob]:
        """Jobs that cut for these builds, the newest first, but for those that were given up."""
        builds = [one.build.pk for one in self.accounts]
        jobs = CuttingJob.objects.filter(lines__builds__in=builds)
        found = jobs.distinct().with_state().newest_first()
        return [job for job in found if job.state != CuttingJob.State.DROPPED]

    @property
    def is_cut(self) -> bool:
        return bool(self.pulls) and all(one.is_cut for one in self.pulls)

    @property
    def is_planned(self) -> bool:
        """Whether nothing but plans that are still to be cut is left to do about the sheets."""
        still = [one for one in self.accounts if one.state in NEEDING]
        return bool(still) and all(one.is_planned or one.is_cut for one in still)

    @cached_property
    def offcuts(self) -> list[Offcut]:
        """Free offcuts large enough for one of the blanks that are still to be cut."""
        if not any(row.left for row in self.rows):
            return []
        plans = [one.plan for one in self.accounts]
        pieces = [_pieces(one.revision.shape(), one.sheet) for one in plans]
        free = Offcut.objects.free().with_place().select_related("kind").largest_first()
        return [one for one in free if any(_holds(one, some) for some in pieces)]


@dataclass(frozen=True)
class PullSheet:
    """The pulls of some builds: the latest of each, open or ended."""

    accounts: tuple[Account, ...]

    @cached_property
    def pulls(self) -> list[Pull]:
        return [one.pull for one in self._open]

    @cached_property
    def ended(self) -> list[Pull]:
        return [one.pull for one in self._ended]

    @cached_property
    def ahead(self) -> Ahead:
        open_ones = {one.pull.build_id for one in self._open}
        return Ahead(
            tuple(
                one
                for one in self.accounts
                if one.build.pk not in open_ones and one.state in NEEDING
            )
        )

    @cached_property
    def to_cut(self) -> SheetsToCut:
        """Of the open pulls; where there is none, of those that still wait to be cut."""
        closed = [one for one in self._ended if one.pull.end.how in CLOSED]
        return SheetsToCut(self.accounts, tuple(self._open or closed))

    @cached_property
    def rows(self) -> list[Row]:
        """All items but sheets, of the open pulls."""
        rows = rows_of(self._open, [one.build for one in self.accounts])
        return [row for row in rows if row.item.kind != Item.Kind.SHEET]

    @cached_property
    def shelves(self) -> list[AtPlace]:
        """What is reserved, place by place, in the order of their codes."""
        by_place: dict[Place, list[tuple[Row, int]]] = {}
        for row in self.rows:
            for one in row.lying:
                if one.reserved and row.left:
                    by_place.setdefault(one.place, []).append((row, one.reserved))
        return [AtPlace(place, by_place[place]) for place in sorted(by_place, key=_code)]

    @cached_property
    def not_reserved(self) -> list[Row]:
        return [row for row in self.rows if row.not_reserved]

    @property
    def can_reserve(self) -> bool:
        return any(row.not_reserved and row.free for row in [*self.not_reserved, *self.to_cut.rows])

    @cached_property
    def left(self) -> int:
        """Rows of which something is left to take from the shelves."""
        return sum(1 for row in self.rows if row.left)

    @property
    def done(self) -> int:
        return len(self.rows) - self.left

    @cached_property
    def short_picks(self) -> list[ShortPick]:
        """What was said to be short, of the latest pulls."""
        return [short for one in [*self._open, *self._ended] for short in one.shorts]

    @property
    def uncounted(self) -> list[str]:
        return [one for pull in self.pulls for one in pull.uncounted_sentences]

    @cached_property
    def issued(self) -> list[tuple[Item, int]]:
        """What the builds have from the store, whatever pull it was taken for."""
        issued = Counter[Item]()
        for one in self.accounts:
            issued.update(one.issued)
        return [(item, count) for item, count in issued.items() if count > 0]

    @cached_property
    def _open(self) -> list[PullAccount]:
        return [one.latest for one in self.accounts if one.latest and one.latest.pull.is_open]

    @cached_property
    def _ended(self) -> list[PullAccount]:
        return [one.latest for one in self.accounts if one.latest and not one.latest.pull.is_open]


def sheet_of(builds: Iterable[Build]) -> PullSheet:
    """Of builds loaded ``with_state()``."""
    return PullSheet(tuple(accounts_of(builds)))


def _holds(offcut: Offcut, pieces: Iterable[Rectangle]) -> bool:
    """Whether one of the pieces can be cut from it, with the flutes the right way."""
    width, height = offcut.width_mm, offcut.height_mm
    return any(
        (one.width_mm <= width and one.height_mm <= height)
        or (one.turnable and one.height_mm <= width and one.width_mm <= height)
        for one in pieces
    )


@lru_cache(maxsize=64)
def _pieces(shape: Shape, sheet: SheetSize) -> tuple[Rectangle, ...]:
    structure = structure_of(shape)
    blanks = make_blanks(structure, sheet).blanks if structure else ()
    return tuple(shape_of(blank) for blank in blanks)


def _code(place: Place) -> str:
    return place.code
