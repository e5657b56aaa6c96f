"""Facts of the store that two people may change at once, as its pages show them."""

from django.db import models
from django.utils.translation import gettext as _

from builds.store.models.deliveries import Delivery, ToReverse
from builds.store.models.items import Item
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.suppliers import PackOffer, Supplier
from habitats.basis import Fact
from habitats.common.facts import fact

# As many as one form's token has room for, and the state beside them.
MOST_ITEMS = 100


def put_away(row: Place | Item | Supplier | PackOffer) -> list[Fact]:
    words = _("archived") if row.is_put_away else _("in use")
    return [fact(row, "is_put_away", _("State"), row.is_put_away, words)]


def delivery_now(delivery: Delivery) -> list[Fact]:
    """Whether it was reversed; while it was not, what the store has of each of its items."""
    value = "reversed" if delivery.is_reversed else "received"
    words = _("reversed") if delivery.is_reversed else _("received")
    state = fact(delivery, "state", _("This delivery"), value, words)
    if delivery.is_reversed:
        return [state]
    rows = delivery.to_reverse()
    if len(rows) > MOST_ITEMS:
        told = ";".join(_figures(row) for row in rows)
        return [state, fact(delivery, "items", _("The store"), told, _("see the figures below"))]
    return [state, *(_of_item(delivery, row) for row in rows)]


def _of_item(delivery: Delivery, row: ToReverse) -> Fact:
    figures = {
        "here": row.here,
        "place": delivery.place.code,
        "elsewhere": row.elsewhere,
        "reserved": sum(one.count for one in row.reserved),
    }
    if row.is_counted:
        words = _(
            "%(here)d in %(place)s, %(elsewhere)d elsewhere, %(reserved)d reserved, counted since"
        )
    else:
        words = _("%(here)d in %(place)s, %(elsewhere)d elsewhere, %(reserved)d reserved")
    return fact(delivery, f"item {row.item.pk}", str(row.item), _figures(row), words % figures)


def _figures(row: ToReverse) -> str:
    reserved = ",".join(f"{one.build.pk if one.build else 0}={one.count}" for one in row.reserved)
    return f"{row.item.pk}:{row.here}:{row.elsewhere}:{row.moved}:{row.is_counted:d}:{reserved}"


def retired(kind: SheetKind) -> list[Fact]:
    words = _("archived") if kind.is_retired else _("in use")
    return [fact(kind, "retired_at", _("State"), kind.retired_at, words)]


def lies(offcut: Offcut) -> list[Fact]:
    is_there = type(offcut).objects.in_store().filter(pk=offcut.pk).exists()
    place: models.Model | None = offcut.place
    words = str(place or _("not recorded")) if is_there else _("no longer in the store")
    return [fact(offcut, "place", _("Place"), f"{offcut.place_id} {is_there}", words)]
