"""First counts of new items, many at once: the rows that ``movements.count`` would append."""

from collections.abc import Iterable
from typing import NamedTuple

from django.db import transaction
from django.utils import timezone

from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from habitats.people.models.people import Person

AT_ONCE = 500


class FirstCount(NamedTuple):
    """So many of an item lie in the place; it was in none before."""

    item: Item
    place: Place
    number: int


@transaction.atomic
def count_first(counted: Iterable[FirstCount], *, by: Person) -> None:
    """Append them all, in a few questions. The database refuses an item that was there before."""
    now = timezone.now()
    stocks, movements = [], []
    for one in counted:
        facts = {"item": one.item, "place": one.place, "number": 1, "on_hand": one.number}
        stocks.append(Stock(**facts, moved_at=now, counted_at=now))
        movements.append(
            Movement(
                **facts,
                why=Movement.Why.COUNT,
                on_hand_change=one.number,
                reserved=0,
                made_by=by,
                made_at=now,
            )
        )
    Stock.objects.bulk_create(stocks, batch_size=AT_ONCE)
    Movement.objects.bulk_create(movements, batch_size=AT_ONCE)
