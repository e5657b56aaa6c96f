"""Stock of sheets for a plan: free sheets, and those that its own builds have reserved.

What others reserved is no part of it. When a plan is cut, its sheets are taken in that order:
its own builds', free ones, and then, only where it is said so, what others reserved; sheets that
were cut beyond these were there too, and are found first.
"""

import uuid
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from django.db import models

from builds.plans.models.builds import Build
from builds.store.models import movements, reservations
from builds.store.models.holders import ReservedFor, reserved_by_build
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.stock import Movement, Stock, left_before
from habitats.people.models.people import Person


@dataclass(frozen=True, slots=True)
class SheetStock:
    """Of one kind of sheet: so many are ``wanted``, there, and ``free`` for the plan.

    ``others``: who reserved what is not. ``free_before``: how many were free for it when it was
    asked for; None: that is not asked.
    """

    kind: SheetKind
    wanted: int
    on_hand: int
    free: int
    others: tuple[ReservedFor, ...] = ()
    free_before: int | None = None

    @property
    def short(self) -> int:
        """So many are wanted beyond what is free."""
        return max(0, self.wanted - self.free)

    @property
    def reserved_short(self) -> int:
        """So many of these are there, and reserved for others."""
        return min(self.short, self.on_hand - self.free)

    @property
    def unknown(self) -> int:
        """So many of these are nowhere in the store."""
        return self.short - self.reserved_short

    @property
    def is_shorter(self) -> bool:
        """Whether more are short than when the plan was asked for."""
        before = self.free_before
        return before is not None and self.short > max(0, self.wanted - before)


def stock_for(
    wanted: Mapping[int, int], builds: Collection[int], *, since: datetime | None = None
) -> list[SheetStock]:
    """What there is of kinds of sheet, by their keys, for a plan for these builds.

    ``since``: when the plan was asked for. The same few queries, whatever is reserved.
    """
    kinds = SheetKind.objects.filter(pk__in=wanted).with_free(builds).select_related("item")
    found = list(kinds.by_size())
    items = [one.item_id for one in found]
    others = reserved_by_build(items, but=builds)
    before = _free_before(since, items, builds) if since else {}
    return [
        SheetStock(
            one,
            wanted[one.pk],
            one.on_hand,
            one.free,
            tuple(others.get(one.item_id, ())),
            before.get(one.item_id, 0) if since else None,
        )
        for one in found
    ]


def _free_before(
    moment: datetime, items: Collection[int], builds: Collection[int]
) -> dict[int, int]:
    free = Counter[int]()
    for one in left_before(moment, Stock.objects.filter(item__in=items)):
        free[one.item_id] += one.then - one.reserved_then
    own = Movement.objects.filter(item__in=items, build__in=builds, made_at__lt=moment)
    for item, reserved in own.values_list("item").annotate(total=models.Sum("reserved_change")):
        free[item] += reserved
    return free


def release_sheets(
    builds: Iterable[Build], *, by: Person, idempotency_key: uuid.UUID
) -> dict[Item, list[tuple[Place, int]]]:
    """Reserve no more sheets for these builds. Gives how many were, where."""
    found: dict[Item, list[tuple[Place, int]]] = {}
    for build in builds:
        for item, place, reserved in reservations.reserved_by_place(build=build):
            if item.kind == Item.Kind.SHEET:
                found.setdefault(item, []).append((place, reserved))
        movements.release_all(
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, f"build {build.pk}"),
            kind=Item.Kind.SHEET,
            build=build,
        )
    return found


def cut_sheets(
    job_id: int,
    stock: SheetStock,
    first: list[tuple[Place, int]],
    *,
    even_reserved: bool,
    by: Person,
    idempotency_key: uuid.UUID,
) -> None:
    """Take what the plan wants of one kind; from the places ``first`` that were its builds'.

    ``job_id``: the key of the cutting job of the plan.
    ``even_reserved``: what is short is taken of what others reserved, as far as it goes.
    """
    item = stock.kind.item
    reserved = stock.reserved_short if even_reserved else 0
    if stock.short > reserved:
        found = uuid.uuid5(idempotency_key, f"found {stock.kind.pk}")
        stock.kind.move(
            stock.short - reserved, Movement.Why.FOUND, by=by, idempotency_key=found, job=job_id
        )
    own = _up_to(stock.wanted - reserved, first)
    free = stock.wanted - reserved - sum(count for _place, count in own)
    cut = partial(_cut, job_id, stock.kind, by=by, idempotency_key=idempotency_key)
    cut(own, "own")
    if free:
        cut(movements.places_for(item, free), "free")
    if reserved:
        cut(movements.places_for(item, reserved, even_reserved=True), "reserved")


def _cut(
    job_id: int,
    kind: SheetKind,
    places: list[tuple[Place, int]],
    word: str,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
) -> None:
    """So many sheets of each place. ``word`` tells their keys from those of other places."""
    for number, (place, count) in enumerate(places):
        nth = uuid.uuid5(idempotency_key, f"cut {kind.pk} {word} {number}")
        movements.write_off(
            kind.item, place, count, by=by, idempotency_key=nth, why=Movement.Why.CUT, job=job_id
        )


def _up_to(count: int, places: list[tuple[Place, int]]) -> list[tuple[Place, int]]:
    """So many of those in these places, from the first on."""
    found = []
    for place, some in places:
        if count and some:
            found.append((place, min(count, some)))
            count -= found[-1][1]
    return found
