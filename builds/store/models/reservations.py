"""What is reserved of the store, read off the ledger."""

from collections import Counter
from collections.abc import Iterable
from typing import Any, NamedTuple

from django.db import models

from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import PURPOSES, Movement


class Reservation(NamedTuple):
    """So many are reserved; ``last``: the latest movement about it, with its place and purpose."""

    reserved: int
    last: Movement


def reserved_for(item: Item, place: Place, **purpose: Any) -> int:
    """How many are reserved there for this very purpose; without one, for nothing in particular."""
    return reserved_of(
        item, place, {f"{field}_id": one.pk for field, one in purpose.items() if one}
    )


def reserved_by_place(**purpose: Any) -> list[tuple[Item, Place, int]]:
    """All that is reserved for this very purpose, by place and item."""
    of = {field: purpose.get(field) for field in PURPOSES}
    rows = (
        Movement.objects.filter(**of)
        .exclude(reserved_change=0)
        .values("item", "place")
        .annotate(total=models.Sum("reserved_change"))
        .filter(total__gt=0)
    )
    reserved = {(row["item"], row["place"]): row["total"] for row in rows}
    items = Item.objects.in_bulk({item for item, _place in reserved})
    places = Place.objects.in_bulk({place for _item, place in reserved})
    found = [(items[item], places[place], count) for (item, place), count in reserved.items()]
    return sorted(found, key=lambda one: (one[1].code, one[0].name, one[0].pk))


def reserved_for_builds(builds: Iterable[models.Model]) -> Counter[tuple[int, int]]:
    """How many are reserved for all these builds together, by the keys of item and place."""
    moved = Movement.objects.filter(build__in=[one.pk for one in builds])
    rows = (
        moved.exclude(reserved_change=0)
        .values("item", "place")
        .annotate(total=models.Sum("reserved_change"))
    )
    return Counter({(row["item"], row["place"]): row["total"] for row in rows})


def reservations(item: Item) -> list[Reservation]:
    """What is reserved of the item, place by place, the latest first: two queries."""
    rows = list(
        Movement.objects.filter(item=item)
        .exclude(reserved_change=0)
        .values("place", *PURPOSES)
        .annotate(total=models.Sum("reserved_change"), last=models.Max("pk"))
        .filter(total__gt=0)
        .order_by("-last")
    )
    newest = Movement.objects.with_names().in_bulk([row["last"] for row in rows])
    return [Reservation(row["total"], newest[row["last"]]) for row in rows]


def reserved_of(item: Item, place: Place, about: dict[str, Any]) -> int:
    """How many are reserved there for what these columns of a movement tell."""
    rows = Movement.objects.filter(item=item, place=place).exclude(reserved_change=0)
    purpose = {f"{field}_id": about.get(f"{field}_id") for field in PURPOSES}
    return rows.filter(**purpose).aggregate(total=models.Sum("reserved_change"))["total"] or 0
