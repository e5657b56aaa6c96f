"""Two days of each pool that Today tells of: when it runs out, when its wash should be back.

Kept, since both take long to work out where there are many pools. They are forgotten at every
change that touches them. A forecast is slow: a page makes a few of those that are missing,
`manage.py read_enclosures` all.
"""

from collections.abc import Sequence
from datetime import date
from typing import Any, Self

from django.db import models
from django.db.models import OuterRef, Subquery

from habitats.common.written import given, written
from habitats.homes.models.homes import Home
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.forecasts import pool_forecasts
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.not_back import WET
from habitats.linens.models.pools import Pool, Programme
from habitats.readings.models.readings import Reading
from habitats.rotation.states import State

AT_ONCE = 2  # forecasts that a page waits for


class PoolDatesQuerySet(models.QuerySet["PoolDates"]):
    def fresh(self, today: date, at_most: int | None = AT_ONCE) -> Self:
        """Of open pools. Of the forecasts that are missing a few are made."""
        self.make_missing(today, at_most)
        return self.filter(pool__closed_on__isnull=True)

    def make_missing(self, today: date, at_most: int | None = AT_ONCE) -> None:
        if _ANY_MISSING(today=today):
            self._make_missing(today, at_most)

    def _make_missing(self, today: date, at_most: int | None) -> None:
        self._ask_the_wash()
        missing = Pool.objects.live().exclude(dates__as_of=today).order_by("dates__as_of", "pk")
        pools = list(missing[:at_most])
        if pools:
            forecasts = pool_forecasts(pools, today)
            rows = [
                PoolDates(pool=one, as_of=today, runs_out_on=forecasts[one.pk].first_dry)
                for one in pools
            ]
            self._keep(rows, "as_of", "runs_out_on")

    def _ask_the_wash(self) -> None:
        pools = {one.pk: one for one in Pool.objects.live().exclude(dates__is_wash_known=True)}
        if not pools:
            return
        washed = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING)
        wet = Linen.objects.filter(pool__in=pools).in_state(*WET).order_by()
        first = dict(
            wet.annotate(washed_on=Subquery(washed.order_by("-pk").values("on")[:1]))
            .values("pool")
            .annotate(first=models.Min("washed_on"))
            .values_list("pool", "first")
        )
        rows = [
            PoolDates(
                pool=one,
                is_wash_known=True,
                back_on=one.expected_back(first[key]) if first.get(key) else None,
            )
            for key, one in pools.items()
        ]
        self._keep(rows, "is_wash_known", "back_on")

    def _keep(self, rows: Sequence["PoolDates"], *fields: str) -> None:
        PoolDates.objects.bulk_create(
            rows, update_conflicts=True, unique_fields=["pool"], update_fields=list(fields)
        )

    def forget(self) -> None:
        self.update(as_of=date.min, is_wash_known=False)

    def forget_forecasts(self) -> None:
        self.update(as_of=date.min)


class PoolDates(models.Model):
    """``runs_out_on``: as foreseen on the day ``as_of``; None: no change is without a linen.

    ``back_on``: the first day on which something in the wash is expected back; None: nothing is.
    """

    pool = models.OneToOneField(Pool, on_delete=models.CASCADE, related_name="dates")
    as_of = models.DateField(default=date.min)
    runs_out_on = models.DateField(null=True)
    is_wash_known = models.BooleanField(default=False)
    back_on = models.DateField(null=True)

    objects = PoolDatesQuerySet.as_manager()

    def __str__(self) -> str:
        return f"dates of pool {self.pool_id}"


_ANY_MISSING = written(
    lambda: (
        Pool.objects.live()
        .exclude(dates__as_of=given("today", date), dates__is_wash_known=True)
        .values_list("pk")[:1]
    )
)


def forget_dates(sender: type[models.Model], instance: models.Model, **_: Any) -> None:
    """For ``post_save`` and ``post_delete`` of what they are made of."""
    if isinstance(instance, Pool | Programme | LinenEvent | LinenChange):
        PoolDates.objects.filter(pool__in=_pools_of(instance)).forget()
    else:
        PoolDates.objects.forget()


def forget_forecasts_of(sender: object, readings: Sequence[Reading], **_: Any) -> None:
    """For ``readings_kept``: who lives there asks for linens."""
    homes = Home.objects.filter(pk__in={one.home_id for one in readings if one.home_id})
    PoolDates.objects.filter(pool__in=homes.values("pool")).forget_forecasts()


def _pools_of(instance: Pool | Programme | LinenEvent | LinenChange) -> Any:
    match instance:
        case Pool():
            return [instance.pk]
        case Programme():
            return [instance.pool_id]
        case LinenEvent():
            # It may have come from another pool.
            return LinenEvent.objects.filter(linen=instance.linen_id).values("pool")
        case LinenChange():
            standing = models.Q(readings__enclosure__spots=instance.spot_id)
            return Home.objects.filter(standing).values("pool")
