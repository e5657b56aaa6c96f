"""What the laundry has to do: what is planned for each pool, and which loads are under way."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db import models

from habitats.linens.models.forecasts import pool_forecast
from habitats.linens.models.linens import Linen, LinenEvent, LinenQuerySet
from habitats.linens.models.loads import WASHABLE, Load
from habitats.linens.models.not_back import WET, NotBack, not_back
from habitats.linens.models.pool_dates import PlannedWash, PoolDates
from habitats.linens.models.pools import Pool, PoolQuerySet
from habitats.rotation.rating import cotton_g
from habitats.rotation.states import State
from habitats.rotation.values import PlannedLoad

LOOK_AHEAD_DAYS = 14


class PoolLaundry(NamedTuple):
    """A pool's laundry today.

    ``planned``: the loads of its next wash day, today included; empty if none is foreseen.
    ``not_back``: what was expected back by today. ``under_way``: loads with how many of their
    linens are washing, drying and dry.
    """

    pool: Pool
    soiled: int
    set_aside: int
    planned: tuple[PlannedWash, ...]
    not_back: list[NotBack]
    under_way: list[tuple[Load, dict[str, int]]]

    @property
    def wash_day(self) -> date | None:
        return self.planned[0].on if self.planned else None


def under_way_first(pools: PoolQuerySet, today: date) -> list[Pool]:
    """Those with a load under way, then those that wash today, then the others, by name."""
    wet = set(Linen.objects.filter(pool__in=pools, state__in=WET).values_list("pool", flat=True))
    return sorted(
        pools.by_name(),
        key=lambda pool: (pool.pk not in wet, today.weekday() not in pool.wash_weekdays),
    )


def laundry_of(pools: Sequence[Pool], today: date) -> list[PoolLaundry]:
    """In the order of the pools; asks as much for many as for one."""
    foreseen = PoolDates.objects.foreseen(pools, today)
    on_their_way = under_way(pools)
    counts, missed = waiting_counts(pools), not_back(pools, today)
    return [
        PoolLaundry(
            pool=pool,
            soiled=counts[pool.pk].everyday,
            set_aside=counts[pool.pk].apart,
            planned=_next_loads(foreseen[pool.pk], today),
            not_back=[one for one in missed if one.pool == pool],
            under_way=on_their_way[pool.pk],
        )
        for pool in pools
    ]


def to_wash(pool: Pool, suspicion: str = "") -> LinenQuerySet:
    """What waits for the machine and may share it: everyday linens, or those suspected of one."""
    waiting = Linen.objects.filter(pool=pool, suspicion=suspicion).with_kind().by_label()
    return waiting.in_state(*WASHABLE)


def suspected(pool: Pool) -> dict[str, int]:
    """What linens that wait are set aside for, the longest waiting first, and how many."""
    rows = (
        Linen.objects.filter(pool=pool)
        .in_state(*WASHABLE)
        .exclude(suspicion="")
        .values("suspicion")
        .annotate(number=models.Count("pk"), oldest=models.Min("since"))
        .order_by("oldest", "-number", "suspicion")
    )
    return {row["suspicion"]: row["number"] for row in rows}


def filling(pool: Pool, waiting: Iterable[Linen], today: date) -> list[str]:
    """The labels of what goes into the machine now, of linens that may share it.

    As much as it takes: what the plan washes first goes in first, then what has waited longest;
    what does not fit any more is passed over for what does.
    """
    planned: dict[str, int] = {}
    for load in _soon(pool_forecast(pool, today).ahead.loads, today):
        for label in load.linens:
            planned.setdefault(label, len(planned))
    room_g, labels = pool.cotton_g, []
    never = len(planned)
    for linen in sorted(
        waiting, key=lambda one: (planned.get(one.label, never), one.since, one.pk)
    ):
        counted_g = cotton_g(linen.weighed(), pool.synthetic_percent)
        if counted_g <= room_g:
            labels.append(linen.label)
            room_g -= counted_g
    return labels


def _soon(loads: Iterable[PlannedLoad], today: date) -> Iterator[PlannedLoad]:
    """Those of the next days."""
    last = _look_ahead(today)
    return (load for load in loads if load.date < last)


def _next_loads(dates: PoolDates, today: date) -> tuple[PlannedWash, ...]:
    last = _look_ahead(today)
    soon = [load for load in dates.washes() if load.on < last]
    return tuple(load for load in soon if load.on == soon[0].on)


def _look_ahead(today: date) -> date:
    return today + timedelta(days=LOOK_AHEAD_DAYS)


class LoadsTogether(NamedTuple):
    """Loads of a pool and a day of which something is as far at least: ``linens`` of them are.

    ``code``: that of the first of so many ``loads``.
    """

    pool: int
    on: date
    state: State
    code: str
    loads: int
    linens: int


class _Waiting(NamedTuple):
    everyday: int = 0
    apart: int = 0


def waiting_counts(pools: Sequence[Pool]) -> dict[int, _Waiting]:
    """By pool, how many linens wait for the machine."""
    waiting = Linen.objects.filter(pool__in=pools).in_state(*WASHABLE)
    rows = waiting.values_list("pool").annotate(
        everyday=models.Count("pk", filter=models.Q(suspicion="")),
        apart=models.Count("pk", filter=~models.Q(suspicion="")),
    )
    return defaultdict(_Waiting, {pool: _Waiting(*numbers) for pool, *numbers in rows})


def under_way(pools: Sequence[Pool]) -> dict[int, list[tuple[Load, dict[str, int]]]]:
    """By pool, loads whose linens are still wet or away, oldest first."""
    counts = _wet_by_load(pools)
    found: dict[int, list[tuple[Load, dict[str, int]]]] = defaultdict(list)
    for load in Load.objects.filter(pk__in=counts).select_related("programme").order_by("pk"):
        found[load.pool_id].append((load, counts[load.pk]))
    return found


def under_way_together(pools: Sequence[Pool]) -> list[LoadsTogether]:
    """The same in short, pool by pool: those of one day that are as far, by their furthest linens.

    These are in the way of the others, so that something is done about them first.
    """
    counts = _wet_by_load(pools)
    found: dict[tuple[int, date, State], LoadsTogether] = {}
    loads = Load.objects.filter(pk__in=counts).order_by("pk")
    for pk, pool, on, code in loads.values_list("pk", "pool", "on", "code"):
        state = next(one for one in reversed(WET) if counts[pk][one])
        before = found.get((pool, on, state), LoadsTogether(pool, on, state, code, 0, 0))
        found[pool, on, state] = before._replace(
            loads=before.loads + 1, linens=before.linens + counts[pk][state]
        )
    place = {pool.pk: number for number, pool in enumerate(pools)}
    return sorted(found.values(), key=lambda one: place[one.pool])


def _wet_by_load(pools: Sequence[Pool]) -> dict[int, dict[str, int]]:
    """By load, how many of its linens are washing, drying and dry."""
    last = LinenEvent.objects.filter(linen=models.OuterRef("pk")).order_by("-pk").values("load")
    wet = Linen.objects.filter(pool__in=pools, state__in=WET).annotate(
        load=models.Subquery(last[:1])
    )
    counts: dict[int, dict[str, int]] = defaultdict(lambda: dict.fromkeys(WET, 0))
    for load, state, number in wet.values_list("load", "state").annotate(n=models.Count("pk")):
        if load:
            counts[load][state] = number
    return counts
