"""How pulls stand, for those who take: what lies where, what is short, and what else could serve.

For one build or for those of a batch together. Before a pull is begun the same says what it would
ask for and what would be short.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

from django.db import models

from builds.batches.models.cutting_jobs import CuttingJob
from builds.making.blanks import make_blanks
from builds.plans.models.builds import NEEDING, Build
from builds.pulls.models.pull_books import Books
from builds.pulls.models.pulls import Pull, PullEnd, ShortPick
from builds.sheets import shape_of
from builds.sheets.pieces import Shape as Rectangle
from builds.store.models.items import Item
from builds.store.models.movements import held_for_builds
from builds.store.models.needs import CannotMake
from builds.store.models.places import Place
from builds.store.models.sheets import Offcut
from builds.store.models.stock import Stock
from builds.store.models.suppliers import PackOffer
from habitats.models.structures import structure_of
from habitats.structure.design import Design as Shape

MOST_OTHERS = 6
CLOSED = (PullEnd.How.COMPLETE, PullEnd.How.SHORT)


class Lying(NamedTuple):
    """``kept`` of an item are kept here for these builds, and ``free`` are anybody's."""

    place: Place
    kept: int
    free: int


class Serving(NamedTuple):
    """Something else that could serve: so many of an item, free in a place."""

    item: Item
    place: Place
    free: int


@dataclass(frozen=True, slots=True)
class Row:
    """One item: so many wanted, taken, and left to take. ``said``: what was said to be short.
    ``planned``: so many are not left since a sheet plan takes them."""

    item: Item
    wanted: int
    picked: int
    left: int
    lying: tuple[Lying, ...] = ()
    said: tuple[ShortPick, ...] = ()
    others: tuple[Serving, ...] = ()
    packs: tuple[PackOffer, ...] = ()
    planned: int = 0

    @property
    def kept(self) -> int:
        return sum(one.kept for one in self.lying)

    @property
    def free(self) -> int:
        return sum(one.free for one in self.lying)

    @property
    def not_kept(self) -> int:
        """So many are left for which nothing is kept."""
        return max(0, self.left - self.kept)

    @property
    def short(self) -> int:
        """So many are left and nowhere in the store."""
        return max(0, self.not_kept - self.free)

    @property
    def free_places(self) -> list[Lying]:
        return [one for one in self.lying if one.free]


class AtPlace(NamedTuple):
    """A place, and what to take from it: rows with how many."""

    place: Place
    rows: list[tuple[Row, int]]


class PullSheet:
    """Builds loaded ``with_state()``, and their pulls: the latest of each, open or ended."""

    def __init__(self, builds: Iterable[Build]) -> None:
        self.books = Books(builds)
        self.builds = self.books.builds
        latest = [(build, self.books.latest(build)) for build in self.builds]
        self.pulls = [pull for _build, pull in latest if pull and pull.is_open]
        self.ended = [pull for _build, pull in latest if pull and not pull.is_open]
        self._not_begun = [
            build
            for build, pull in latest
            if not (pull and pull.is_open) and build.state in NEEDING  # type: ignore[attr-defined]
        ]

    # --- Before ---

    @cached_property
    def to_begin(self) -> list[Build]:
        """Builds for which a pull would ask for something."""
        return [build for build in self._not_begun if self._ahead[build.pk]]

    @cached_property
    def ahead(self) -> list[Row]:
        """What pulls that are begun now would ask for."""
        wanted = Counter[Item]()
        for build in self._not_begun:
            wanted.update(self._ahead[build.pk])
        return self._rows((item, count, 0, count, ()) for item, count in wanted.items())

    @property
    def ahead_short(self) -> list[Row]:
        return [row for row in self.ahead if row.short]

    @cached_property
    def cannot(self) -> list[str]:
        """Why some cannot be reckoned, a sentence each."""
        found = []
        for build in self._not_begun:
            try:
                self.books.wanted(build)
            except CannotMake as reason:
                found.append(str(reason))
        return found

    @cached_property
    def ahead_uncounted(self) -> list[str]:
        reckoned = [build for build in self._not_begun if self._ahead[build.pk]]
        return [one for build in reckoned for one in self.books.needs(build).missing]

    @cached_property
    def _ahead(self) -> dict[int, dict[Item, int]]:
        found: dict[int, dict[Item, int]] = {}
        for build in self._not_begun:
            try:
                wanted = self.books.without_planned(build, self.books.wanted(build))
                found[build.pk] = {} if self.books.waits_for_cutting(build) else wanted
            except CannotMake:
                found[build.pk] = {}
        return found

    # --- While it goes on ---

    @cached_property
    def rows(self) -> list[Row]:
        """All items but sheets, of the open pulls."""
        return [row for row in self._open_rows if row.item.kind != Item.Kind.SHEET]

    @cached_property
    def sheets(self) -> list[Row]:
        """Those of the open pulls; where there is none, those that still wait to be cut."""
        rows = self._open_rows if self.pulls else self._rows_of(self._to_cut)
        return [row for row in rows if row.item.kind == Item.Kind.SHEET]

    @property
    def _to_cut(self) -> list[Pull]:
        return [pull for pull in self.ended if pull.end.how in CLOSED]

    @cached_property
    def shelves(self) -> list[AtPlace]:
        """What is kept, place by place, in the order of their codes."""
        by_place: dict[Place, list[tuple[Row, int]]] = {}
        for row in self.rows:
            for one in row.lying:
                if one.kept and row.left:
                    by_place.setdefault(one.place, []).append((row, one.kept))
        return [AtPlace(place, by_place[place]) for place in sorted(by_place, key=_code)]

    @cached_property
    def not_kept(self) -> list[Row]:
        return [row for row in self.rows if row.not_kept]

    @property
    def can_keep(self) -> bool:
        return any(row.not_kept and row.free for row in [*self.not_kept, *self.sheets])

    @cached_property
    def left(self) -> int:
        """Rows of which something is left to take from the shelves."""
        return sum(1 for row in self.rows if row.left)

    @property
    def done(self) -> int:
        return len(self.rows) - self.left

    @cached_property
    def said(self) -> list[ShortPick]:
        """What was said to be short, of the latest pulls."""
        return [one for pull in [*self.pulls, *self.ended] for one in self.books.shorts(pull)]

    @property
    def uncounted(self) -> list[str]:
        return [one for pull in self.pulls for one in pull.uncounted]

    @cached_property
    def taken(self) -> list[tuple[Item, int]]:
        """What the builds have from the store, whatever pull it was taken for."""
        has = Counter[Item]()
        for build in self.builds:
            has.update(self.books.has(build))
        return [(item, count) for item, count in has.items() if count > 0]

    # --- Cutting ---

    @cached_property
    def jobs(self) -> list[CuttingJob]:
        """Jobs that cut for these builds, the newest first, but for those that were given up."""
        jobs = CuttingJob.objects.filter(lines__builds__in=[one.pk for one in self.builds])
        found = jobs.distinct().with_state().newest_first()
        return [job for job in found if job.state != CuttingJob.State.DROPPED]

    @cached_property
    def is_cut(self) -> bool:
        pulls = self.pulls or self._to_cut
        return bool(pulls) and all(self.books.is_cut(pull) for pull in pulls)

    @cached_property
    def is_planned(self) -> bool:
        """Whether nothing but plans that are still to be cut is left to do about the sheets."""
        still = [one for one in self.builds if one.state in NEEDING]  # type: ignore[attr-defined]
        return bool(still) and all(
            self.books.is_planned(one) or self.books.is_cut_for(one) for one in still
        )

    @cached_property
    def offcuts(self) -> list[Offcut]:
        """Free offcuts large enough for one of the blanks that are still to be cut."""
        if not any(row.left for row in self.sheets):
            return []
        shapes = [self.books.shape_of(build) for build in self.builds]
        free = Offcut.objects.free().with_place().select_related("kind").largest_first()
        return [one for one in free if any(_holds(one, shape) for shape in shapes)]

    # --- Read off ---

    @cached_property
    def _open_rows(self) -> list[Row]:
        return self._rows_of(self.pulls)

    def _rows_of(self, pulls: list[Pull]) -> list[Row]:
        wanted, picked, left = Counter[Item](), Counter[Item](), Counter[Item]()
        planned = Counter[Item]()
        said: dict[Item, list[ShortPick]] = {}
        for pull in pulls:
            wanted.update(self.books.lines(pull))
            picked.update(self.books.picked(pull))
            all_left = self.books.left(pull)
            own_left = self.books.without_planned(pull.build, all_left)
            left.update(own_left)
            planned.update({item: n for item, n in all_left.items() if item not in own_left})
            for one in self.books.shorts(pull):
                said.setdefault(one.item, []).append(one)
        rows = self._rows(
            (item, count, picked[item], left[item], said.get(item, ()))
            for item, count in wanted.items()
        )
        return [replace(row, planned=planned[row.item]) for row in rows]

    def _rows(self, told: Iterable[tuple[Item, int, int, int, Sequence[ShortPick]]]) -> list[Row]:
        told = list(told)
        lying = self._lying([one[0] for one in told])
        rows = [
            Row(item, wanted, picked, left, tuple(lying.get(item, ())), tuple(said))
            for item, wanted, picked, left, said in told
        ]
        return _with_others(rows)

    def _lying(self, items: list[Item]) -> dict[Item, list[Lying]]:
        held: Counter[tuple[int, int]] = held_for_builds(self.builds)
        found: dict[Item, list[Lying]] = {}
        for one in Stock.objects.filter(item__in=items).lying().with_names().by_place():
            kept = held[one.item_id, one.place_id]
            found.setdefault(one.item, []).append(Lying(one.place, kept, one.free))
        return found


def sheets_of(pulls: Sequence[Pull]) -> PullSheet:
    """The same by pulls, however they were loaded."""
    builds = Build.objects.with_state().filter(pulls__in=[one.pk for one in pulls])
    return PullSheet(builds.distinct().soonest_first())


def _with_others(rows: list[Row]) -> list[Row]:
    """For what is short: what else could serve, and the packs in which more can be bought."""
    short = [row for row in rows if row.short and row.item.kind != Item.Kind.SHEET]
    if not short:
        return rows
    free = list(_free_ones({row.item.kind for row in short}))
    offers = PackOffer.objects.live().with_names().filter(item__in=[row.item for row in short])
    packs = list(offers.by_supplier())
    return [_with_own(row, free, packs) if row in short else row for row in rows]


def _with_own(row: Row, free: list[Stock], packs: list[PackOffer]) -> Row:
    others = [
        Serving(one.item, one.place, one.free) for one in free if could_serve(one.item, row.item)
    ]
    own = tuple(one for one in packs if one.item_id == row.item.pk)
    return Row(
        row.item,
        row.wanted,
        row.picked,
        row.left,
        row.lying,
        row.said,
        tuple(others[:MOST_OTHERS]),
        own,
    )


def _free_ones(kinds: set[str]) -> "models.QuerySet[Stock]":
    free = Stock.objects.filter(item__kind__in=kinds, item__is_put_away=False)
    return free.filter(on_hand__gt=models.F("reserved")).with_names().by_place()


def servings(item: Item) -> list[Serving]:
    """All that could serve instead of it, from where it is free."""
    free = _free_ones({item.kind})
    return [Serving(one.item, one.place, one.free) for one in free if could_serve(one.item, item)]


def could_serve(other: Item, item: Item) -> bool:
    """Another item of the same kind; a panel of the same size and mesh, cloth as wide or wider."""
    if other == item or other.kind != item.kind:
        return False
    if item.kind == Item.Kind.PANEL:
        return (other.panel_mm, other.panel_squares) == (item.panel_mm, item.panel_squares)
    if item.kind == Item.Kind.CLOTH:
        return (other.cloth_mm or 0) >= (item.cloth_mm or 0)
    return item.kind in (Item.Kind.CONNECTOR, Item.Kind.TIE, Item.Kind.CLIP, Item.Kind.TAPE)


def _holds(offcut: Offcut, shape: Shape) -> bool:
    """Whether one of the shape's blanks can be cut from it, with the flutes the right way."""
    width, height = offcut.width_mm, offcut.height_mm
    return any(
        (one.width_mm <= width and one.height_mm <= height)
        or (one.turnable and one.height_mm <= width and one.width_mm <= height)
        for one in _pieces(shape)
    )


@lru_cache(maxsize=64)
def _pieces(shape: Shape) -> tuple[Rectangle, ...]:
    structure = structure_of(shape)
    return tuple(shape_of(blank) for blank in make_blanks(structure).blanks) if structure else ()


def _code(place: Place) -> str:
    return place.code
