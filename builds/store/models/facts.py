"""What pages of the store show of things that two people may change at once."""

from django.db import models

from builds.store.models.deliveries import Delivery, ToReverse
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.sheets import Offcut, SheetKind
from builds.store.models.suppliers import PackOffer, Supplier
from habitats.basis import Fact
from habitats.common.facts import fact

# As many as one form's token has room for, and the state beside them.
MOST_ITEMS = 100


def put_away(row: Place | Item | Supplier | PackOffer) -> list[Fact]:
    words = "put away" if row.is_put_away else "in use"
    return [fact(row, "is_put_away", "State", row.is_put_away, words)]


def delivery_now(delivery: Delivery) -> list[Fact]:
    """Whether it was reversed; while it was not, what the store has of each of its items."""
    words = "reversed" if delivery.is_reversed else "received"
    state = fact(delivery, "state", "This delivery", words)
    if delivery.is_reversed:
        return [state]
    rows = delivery.to_reverse()
    if len(rows) > MOST_ITEMS:
        told = ";".join(_figures(row) for row in rows)
        return [state, fact(delivery, "items", "The store", told, "see the figures below")]
    return [state, *(_of_item(delivery, row) for row in rows)]


def _of_item(delivery: Delivery, row: ToReverse) -> Fact:
    reserved = sum(one.count for one in row.reserved)
    words = f"{row.here} in {delivery.place.code}, {row.elsewhere} elsewhere, {reserved} reserved"
    words += ", counted since" if row.is_counted else ""
    return fact(delivery, f"item {row.item.pk}", str(row.item), _figures(row), words)


def _figures(row: ToReverse) -> str:
    reserved = ",".join(f"{one.build.pk if one.build else 0}={one.count}" for one in row.reserved)
    return f"{row.item.pk}:{row.here}:{row.elsewhere}:{row.moved}:{row.is_counted:d}:{reserved}"


def retired(kind: SheetKind) -> list[Fact]:
    words = "put away" if kind.is_retired else "in use"
    return [fact(kind, "retired_at", "State", kind.retired_at, words)]


def lies(offcut: Offcut) -> list[Fact]:
    is_there = type(offcut).objects.in_store().filter(pk=offcut.pk).exists()
    place: models.Model | None = offcut.place
    words = str(place or "no place said") if is_there else "no longer in the store"
    return [fact(offcut, "place", "Lies in", f"{offcut.place_id} {is_there}", words)]
