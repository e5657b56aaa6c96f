"""The lines of a pull as its page shows them: place, shortage, alternative."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from django.db import models

from builds.plans.models.builds import Build
from builds.pulls.models.accounts import PullAccount
from builds.pulls.models.pulls import ShortPick
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.reservations import reserved_for_builds
from builds.store.models.stock import Stock
from builds.store.models.suppliers import PackOffer

MOST_OTHERS = 6
# An item with how many are wanted, issued and left, and what was said to be short of it.
ItemCounts = tuple[Item, int, int, int, Sequence[ShortPick]]


class Lying(NamedTuple):
    """``reserved`` of an item are for these builds here, and ``free`` are anybody's."""

    place: Place
    reserved: int
    free: int


class Serving(NamedTuple):
    """Something else that could serve: so many of an item, free in a place."""

    item: Item
    place: Place
    free: int


@dataclass(frozen=True, slots=True)
class Row:
    """One item: so many wanted, issued, and left to take. ``short_picks``: what was reported short.
    ``planned``: so many are not left since a sheet plan takes them."""

    item: Item
    wanted: int
    issued: int
    left: int
    lying: tuple[Lying, ...] = ()
    short_picks: tuple[ShortPick, ...] = ()
    others: tuple[Serving, ...] = ()
    packs: tuple[PackOffer, ...] = ()
    planned: int = 0

    @property
    def reserved(self) -> int:
        return sum(one.reserved for one in self.lying)

    @property
    def free(self) -> int:
        return sum(one.free for one in self.lying)

    @property
    def not_reserved(self) -> int:
        """So many are left for which nothing is reserved."""
        return max(0, self.left - self.reserved)

    @property
    def short(self) -> int:
        """So many are left and nowhere in the store."""
        return max(0, self.not_reserved - self.free)

    @property
    def free_places(self) -> list[Lying]:
        return [one for one in self.lying if one.free]


def rows_of(accounts: Sequence[PullAccount], builds: Sequence[Build]) -> list[Row]:
    """Several pulls as one. What is reserved for the builds counts as theirs."""
    wanted, issued, left = Counter[Item](), Counter[Item](), Counter[Item]()
    planned = Counter[Item]()
    short_picks: dict[Item, list[ShortPick]] = {}
    for one in accounts:
        wanted.update(one.asked)
        issued.update(one.issued)
        left.update(one.own_left)
        planned.update({item: n for item, n in one.left.items() if item not in one.own_left})
        for short in one.shorts:
            short_picks.setdefault(short.item, []).append(short)
    counts = [
        (item, count, issued[item], left[item], short_picks.get(item, ()))
        for item, count in wanted.items()
    ]
    return [replace(row, planned=planned[row.item]) for row in rows_with_places(counts, builds)]


def rows_with_places(counts: Sequence[ItemCounts], builds: Sequence[Build]) -> list[Row]:
    lying = _lying([one[0] for one in counts], builds)
    rows = [
        Row(item, wanted, issued, left, tuple(lying.get(item, ())), tuple(short_picks))
        for item, wanted, issued, left, short_picks in counts
    ]
    return _with_others(rows)


def _lying(items: Iterable[Item], builds: Sequence[Build]) -> dict[Item, list[Lying]]:
    for_builds: Counter[tuple[int, int]] = reserved_for_builds(builds)
    found: dict[Item, list[Lying]] = {}
    for one in Stock.objects.filter(item__in=items).lying().with_names().by_place():
        reserved = for_builds[one.item_id, one.place_id]
        found.setdefault(one.item, []).append(Lying(one.place, reserved, one.free))
    return found


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
        row.issued,
        row.left,
        row.lying,
        row.short_picks,
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
    alike = (
        Item.Kind.CONNECTOR,
        Item.Kind.TIE,
        Item.Kind.CLIP,
        Item.Kind.ANCHOR,
        Item.Kind.TAPE,
        Item.Kind.HIDE,
        Item.Kind.WATER,
        Item.Kind.HAY,
    )
    return item.kind in alike
