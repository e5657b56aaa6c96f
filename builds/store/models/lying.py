"""Stock of each place: how much of each item, and whether the place is empty."""

from django.db import models

from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place, PlaceQuerySet
from builds.store.models.stock import Stock


def with_counts(places: PlaceQuerySet) -> PlaceQuerySet:
    """Adds ``items``, how many different things lie there, ``offcut_count``, and ``counted_at``,
    when the whole place was last counted."""
    stocks = Stock.objects.lying().filter(place=models.OuterRef("pk"))
    offcuts = Offcut.objects.in_store().filter(place=models.OuterRef("pk"))
    return places.annotate(
        items=_count(stocks),
        offcut_count=_count(offcuts),
        counted_at=models.Max("stocktakes__made_at"),
    )


def is_empty(place: Place) -> bool:
    lies_there = place.stocks.lying().exists()
    return not lies_there and not place.offcuts.in_store().exists()


def _count(rows: "models.QuerySet[models.Model]") -> models.functions.Coalesce:
    counted = rows.order_by().values("place").annotate(n=models.Count("pk")).values("n")
    return models.functions.Coalesce(models.Subquery(counted), 0)
