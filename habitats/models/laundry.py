"""What the laundry has to do: what is planned for each pool, and which loads are under way."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db import models

from habitats.models.linens import Linen, LinenEvent, LinenQuerySet
from habitats.models.loads import Load
from habitats.models.not_back import WET
from habitats.models.outlooks import Outlook, outlook_of, outlooks_of
from habitats.models.pools import Pool, PoolQuerySet
from habitats.rotation.states import State
from habitats.rotation.values import PlannedLoad

LOOK_AHEAD_DAYS = 14


class PoolLaundry(NamedTuple):
    """A pool's laundry today.

    ``planned``: the loads of its next wash day, today included; empty if none is foreseen.
    ``under_way``: loads with how many of their linens are washing, drying and dry.
    """

    pool: Pool
    soiled: int
    set_aside: int
    planned: tuple[PlannedLoad, ...]
    under_way: list[tuple[Load, dict[str, int]]]

    @property
    def wash_day(self) -> date | None:
        return self.planned[0].date if self.planned else None


def under_way_first(pools: PoolQuerySet, today: date) -> list[Pool]:
    """Those with a load under way, then those that wash today, then the others, by name."""
    wet = set(Linen.objects.filter(pool__in=pools, state__in=WET).values_list("pool", flat=True))
    return sorted(
        pools.by_name(),
        key=lambda pool: (pool.pk not in wet, today.weekday() not in pool.wash_weekdays),
    )


def laundry_of(pools: Sequence[Pool], today: date) -> list[PoolLaundry]:
    """In the order of the pools; asks as much for many as for one."""
    outlooks = outlooks_of(pools, today)
    under_way = _under_way(pools)
    counts = _counts(pools)
    return [
        PoolLaundry(
            pool=pool,
            soiled=counts[pool.pk, State.SOILED] + counts[pool.pk, State.NEW],
            set_aside=counts[pool.pk, State.SET_ASIDE],
            planned=_next_loads(_soon(outlooks[pool.pk], today)),
            under_way=under_way[pool.pk],
        )
        for pool in pools
    ]


def to_wash(pool: Pool, *, apart: bool) -> LinenQuerySet:
    """What waits for the machine: everyday linens, or those set aside."""
    waiting = Linen.objects.filter(pool=pool).with_kind().by_label()
    if apart:
        return waiting.in_state(State.SET_ASIDE)
    return waiting.in_state(State.SOILED, State.NEW).filter(suspicion="")


def planned_labels(pool: Pool, today: date, *, apart: bool) -> frozenset[str]:
    """The linens of the next planned load of this sort."""
    loads = _soon(outlook_of(pool, today), today)
    waiting = set(to_wash(pool, apart=apart).values_list("label", flat=True))
    planned = (frozenset(load.linens) & waiting for load in loads)
    return next((labels for labels in planned if labels), frozenset())


def _soon(outlook: Outlook, today: date) -> list[PlannedLoad]:
    """The planned loads of the next days."""
    last = today + timedelta(days=LOOK_AHEAD_DAYS)
    return [load for load in outlook.ahead.loads if load.date < last]


def _next_loads(loads: Sequence[PlannedLoad]) -> tuple[PlannedLoad, ...]:
    return tuple(load for load in loads if load.date == loads[0].date) if loads else ()


def _counts(pools: Sequence[Pool]) -> dict[tuple[int, str], int]:
    rows = (
        Linen.objects.filter(pool__in=pools).values("pool", "state").annotate(n=models.Count("pk"))
    )
    return defaultdict(int, {(row["pool"], row["state"]): row["n"] for row in rows})


def _under_way(pools: Sequence[Pool]) -> dict[int, list[tuple[Load, dict[str, int]]]]:
    """By pool, loads whose linens are still wet or away, oldest first."""
    last = LinenEvent.objects.filter(linen=models.OuterRef("pk")).order_by("-pk").values("load")
    wet = Linen.objects.filter(pool__in=pools, state__in=WET).annotate(
        load=models.Subquery(last[:1])
    )
    counts: dict[int, dict[str, int]] = defaultdict(lambda: dict.fromkeys(WET, 0))
    for row in wet.values("load", "state").annotate(n=models.Count("pk")):
        if row["load"]:
            counts[row["load"]][row["state"]] = row["n"]
    found: dict[int, list[tuple[Load, dict[str, int]]]] = defaultdict(list)
    for load in Load.objects.filter(pk__in=counts).select_related("programme").order_by("pk"):
        found[load.pool_id].append((load, counts[load.pk]))
    return found
