"""Stocktakes: the items of one place, counted."""

import uuid
from collections.abc import Mapping
from typing import NamedTuple

from django.db import models, transaction
from django.utils.translation import gettext as _

from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Stock
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person


class Difference(NamedTuple):
    """What was counted of an item, beside what was thought; ``reserved`` of them are for builds."""

    item: Item
    thought: int
    counted: int
    reserved: int = 0

    @property
    def change(self) -> int:
        return self.counted - self.thought

    @property
    def fewer(self) -> int:
        return max(0, -self.change)

    @property
    def lost_reserved(self) -> int:
        """How many that builds count on are not there."""
        return max(0, self.reserved - self.counted)


class StockChanged(Exception):
    """Something came or went since the differences were shown; nothing was written."""


class StocktakeQuerySet(models.QuerySet["Stocktake"]):
    def take(
        self,
        place: Place,
        counted: Mapping[Item, int],
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        thought: Mapping[Item, int] | None = None,
    ) -> "Stocktake":
        """Write down what was counted in a place. The same key again gives the same.

        ``thought``: what the differences were reckoned from when they were shown; where that is no
        longer so, ``StockChanged`` is raised and nothing is written. Items that were not
        counted are left as they are.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(self, idempotency_key)
            if known:
                return known
            made = self.create(place=place, made_by=by, idempotency_key=idempotency_key)
            if thought is not None:
                _refuse_changed(place, thought)
            for item in sorted(counted, key=lambda one: one.pk):
                movements.count(
                    item,
                    place,
                    counted[item],
                    by=by,
                    idempotency_key=uuid.uuid5(idempotency_key, str(item.pk)),
                    stocktake=made,
                )
        return made


class Stocktake(AppendOnly):
    """A place was counted; its movements say what was found."""

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="stocktakes")

    objects = StocktakeQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["place", "-made_at"], name="stocktake_of_place")]

    def __str__(self) -> str:
        return f"stocktake of place {self.place_id}"


def differences(place: Place, counted: Mapping[Item, int]) -> list[Difference]:
    """What was counted beside what is thought now, in the given order: one query."""
    stocks = {one.item_id: one for one in Stock.objects.filter(place=place, item__in=counted)}
    empty = Stock(on_hand=0, reserved=0)
    found = [(item, number, stocks.get(item.pk, empty)) for item, number in counted.items()]
    return [Difference(item, one.on_hand, number, one.reserved) for item, number, one in found]


def _refuse_changed(place: Place, thought: Mapping[Item, int]) -> None:
    stocks = Stock.objects.filter(place=place, item__in=thought)
    locked = stocks.select_for_update(no_key=True).order_by("item_id", "place_id")
    now = {one.item_id: one.on_hand for one in locked}
    changed = [item for item, number in thought.items() if now.get(item.pk, 0) != number]
    if changed:
        raise StockChanged(
            _(
                "The stock in %(place)s has changed since you opened this page: %(items)s. "
                "Nothing was saved. Check the numbers again."
            )
            % {"place": place, "items": ", ".join(str(one) for one in changed)}
        )
