"""Several movements in one transaction: what they write is locked beforehand, in one order."""

from collections.abc import Iterable

from builds.store.models.items import Item
from builds.store.models.stock import Stock


def lock_stocks(items: Iterable[Item]) -> None:
    """Lock what lies of these items anywhere, until the end of the transaction.

    Before several are written, in whatever order: always item by item, and place by place, so that
    two who do so at once wait for each other, and never in a circle.
    """
    rows = Stock.objects.filter(item__in={one.pk for one in items})
    list(
        rows.select_for_update(of=("self",), no_key=True)
        .order_by("item_id", "place_id")
        .values_list("pk")
    )
