"""What is foreseen of each pool: when it runs out, what is washed when, when its wash is back.

Kept, since all of it takes long to work out where there are many pools. It is forgotten at every
change that touches it. A forecast is slow: Today makes a few of those that are missing, a page
about pools those of its pools, `manage.py read_enclosures` all.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple, Self

from django.db import connection, models, transaction
from django.db.models import OuterRef, Subquery

from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.forecasts import PoolForecast, pool_forecasts
from habitats.linens.models.linens import Linen, LinenEvent, LinenQuerySet
from habitats.linens.models.not_back import WET
from habitats.linens.models.pools import Pool, Programme
from habitats.readings.models.readings import Reading
from habitats.rotation.states import State

AT_ONCE = 2  # forecasts that Today waits for
WASHES_AHEAD_DAYS = 14  # so far ahead loads are kept, the last day included


class PlannedWash(NamedTuple):
    """A load that is foreseen; ``linens`` is how many go in."""

    on: date
    linens: int
    programme: str


class PoolDatesQuerySet(models.QuerySet["PoolDates"]):
    def fresh(self, today: date, at_most: int | None = AT_ONCE) -> Self:
        """Of open pools. Of the forecasts that are missing a few are made."""
        self.make_missing(today, at_most)
        return self.filter(pool__closed_on__isnull=True)

    def foreseen(self, pools: Iterable[Pool], today: date) -> Mapping[int, "PoolDates"]:
        """Of each of these pools, by its key: what is missing is made, however many it are.

        What is told of the wash alone (``back_on``) may be missing.
        """
        by_key = {pool.pk: pool for pool in pools}
        there = Standing.objects.on(today).filter(home__pool__in=by_key)
        # First who lives there: of which it may be known only now that it changed.
        Reading.objects.make_missing(today, pk__in=there.values("enclosure"))
        known = {one.pool_id: one for one in self.filter(pool__in=by_key, as_of=today)}
        missing = [pool for key, pool in by_key.items() if key not in known]
        return {**known, **{one.pool_id: one for one in self._foresee(missing, today)}}

    def make_missing(self, today: date, at_most: int | None = AT_ONCE) -> None:
        if _ANY_MISSING(today=today):
            self._ask_the_wash()
            self._foresee(_UNFORESEEN(today=today)[:at_most], today)

    def _foresee(self, pools: Sequence[Pool], today: date) -> list["PoolDates"]:
        """Forecasts are made, and kept of those pools of which nothing changed meanwhile."""
        if not pools:
            return []
        keys = [one.pk for one in pools]
        before = dict(_TIMES_FORGOTTEN(pools=keys))
        if len(before) < len(keys):
            new = [PoolDates(pool=one) for one in pools if one.pk not in before]
            PoolDates.objects.bulk_create(_in_one_order(new), ignore_conflicts=True)
            # Where another page made one meanwhile and it was forgotten, it counts more than this.
            before |= {one.pool_id: one.times_forgotten for one in new}
        forecasts = pool_forecasts(pools, today)
        found = [PoolDates.told_by(one, forecasts[one.pk], today) for one in pools]
        with transaction.atomic():
            # Locked: who changes something now waits, and then forgets what is written here. Who
            # is changing something already is not waited for: this would be forgotten at once.
            rows = (
                PoolDates.objects.filter(pool__in=keys)
                .order_by("pool_id")
                .select_for_update(no_key=True, skip_locked=True)
            )
            now = dict(rows.values_list("pool", "times_forgotten"))
            kept = [one for one in found if now.get(one.pool_id) == before[one.pool_id]]
            self._keep(kept, *FORESEEN)
        return found

    def _ask_the_wash(self) -> None:
        pools = {one.pk: one for one in _UNASKED()}
        if not pools:
            return
        # Of one pool, where somebody has just changed something, it is written once.
        only = next(iter(pools)) if len(pools) == 1 else None
        first = dict(
            _FIRST_WASHED_OF(pool=only)
            if only
            else _first_washed(Linen.objects.filter(pool__in=pools))
        )
        rows = [
            PoolDates(
                pool=one,
                is_wash_known=True,
                back_on=one.expected_back(first[key]) if first.get(key) else None,
            )
            for key, one in pools.items()
        ]
        for row in rows:  # one by one: none is held while another is waited for
            self._keep([row], "is_wash_known", "back_on")

    def _keep(self, rows: Sequence["PoolDates"], *fields: str) -> None:
        PoolDates.objects.bulk_create(
            _in_one_order(rows),
            update_conflicts=True,
            unique_fields=["pool"],
            update_fields=list(fields),
        )

    def forget(self) -> None:
        self.update(as_of=date.min, is_wash_known=False, times_forgotten=_ONCE_MORE)

    def forget_forecasts(self) -> None:
        if connection.features.has_select_for_update:
            # An update takes its rows in any order, and would meet another's in a circle.
            rows = self.order_by("pool_id").select_for_update(of=("self",), no_key=True)
            list(rows.values_list("pk"))
        self.update(as_of=date.min, times_forgotten=_ONCE_MORE)


class PoolDates(models.Model):
    """``runs_out_on``: as foreseen on the day ``as_of``; None: no change is without a linen.

    ``loads``: those foreseen, as ``[day, number of linens, programme]``. ``is_drawn_from``: animals
    live where its linens lie. ``times_forgotten`` tells who is making a forecast whether something
    changed meanwhile. ``back_on``: the first day on which something in the wash is expected back;
    None: nothing is.
    """

    pool = models.OneToOneField(Pool, on_delete=models.CASCADE, related_name="dates")
    as_of = models.DateField(default=date.min)
    times_forgotten = models.PositiveIntegerField(default=0)
    runs_out_on = models.DateField(null=True)
    is_drawn_from = models.BooleanField(default=False)
    loads = models.JSONField(default=list)
    is_wash_known = models.BooleanField(default=False)
    back_on = models.DateField(null=True)

    objects = PoolDatesQuerySet.as_manager()

    def __str__(self) -> str:
        return f"dates of pool {self.pool_id}"

    @classmethod
    def told_by(cls, pool: Pool, forecast: PoolForecast, today: date) -> "PoolDates":
        """What is kept of a forecast, as a row that is not saved."""
        last = today + timedelta(days=WASHES_AHEAD_DAYS)
        return cls(
            pool=pool,
            as_of=today,
            runs_out_on=forecast.first_dry,
            is_drawn_from=bool(forecast.inputs.needs),
            loads=[
                [load.date.isoformat(), len(load.linens), load.programme]
                for load in forecast.ahead.loads
                if load.date <= last
            ],
        )

    def washes(self) -> list[PlannedWash]:
        """The loads foreseen, soonest first."""
        return [
            PlannedWash(date.fromisoformat(on), linens, programme)
            for on, linens, programme in self.loads
        ]


def _in_one_order(rows: Iterable[PoolDates]) -> list[PoolDates]:
    """Two pages that write some of the same wait for each other, and never in a circle."""
    return sorted(rows, key=lambda one: one.pool_id)


def _first_washed(linens: LinenQuerySet) -> "models.QuerySet[Linen, Any]":
    """By pool, the first day on which something that is in the wash was washed."""
    washed = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING)
    return (
        linens.in_state(*WET)
        .order_by()
        .annotate(washed_on=Subquery(washed.order_by("-pk").values("on")[:1]))
        .values("pool")
        .annotate(first=models.Min("washed_on"))
        .values_list("pool", "first")
    )


FORESEEN = ("as_of", "runs_out_on", "is_drawn_from", "loads")
_ONCE_MORE = models.F("times_forgotten") + 1
_ANY_MISSING = written(
    lambda: (
        Pool.objects.live()
        .exclude(dates__as_of=given("today", date), dates__is_wash_known=True)
        .values_list("pk")[:1]
    )
)
_UNASKED = written(lambda: Pool.objects.live().exclude(dates__is_wash_known=True))
_UNFORESEEN = written(
    lambda: (
        Pool.objects.live()
        .exclude(dates__as_of=given("today", date))
        .order_by("dates__as_of", "pk")
    )
)
_FIRST_WASHED_OF = written(lambda: _first_washed(Linen.objects.filter(pool=given("pool", Pool))))
_TIMES_FORGOTTEN = written(
    lambda: PoolDates.objects.filter(pool__in=given_keys("pools")).values_list(
        "pool", "times_forgotten"
    )
)


def forget_dates(sender: type[models.Model], instance: models.Model, **_: Any) -> None:
    """For ``post_save`` and ``post_delete`` of what they are made of."""
    if isinstance(instance, Pool | Programme | LinenEvent | LinenChange | Standing):
        PoolDates.objects.filter(pool__in=_pools_of(instance)).forget()
    else:
        PoolDates.objects.forget()


def forget_forecasts_of(sender: object, readings: Sequence[Reading], **_: Any) -> None:
    """For ``readings_kept``: who lives there asks for linens."""
    homes = Home.objects.filter(pk__in={one.home_id for one in readings if one.home_id})
    PoolDates.objects.filter(pool__in=homes.values("pool")).forget_forecasts()


def _pools_of(instance: Pool | Programme | LinenEvent | LinenChange | Standing) -> Any:
    match instance:
        case Pool():
            return [instance.pk]
        case Programme():
            return [instance.pool_id]
        case LinenEvent():
            # It may have come from another pool.
            return LinenEvent.objects.filter(linen=instance.linen_id).values("pool")
        case Standing():
            # Where it stands from now on, or where it stood.
            return Home.objects.filter(pk=instance.home_id).values("pool")
        case LinenChange():
            standing = models.Q(readings__enclosure__spots=instance.spot_id)
            return Home.objects.filter(standing).values("pool")
