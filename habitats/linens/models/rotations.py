"""What goes round in a pool today, as the inputs of a forecast.

An enclosure that nobody lives in needs no change. A linen that was never washed waits for the
wash like a soiled one; one that is mended, retired or lost is not counted on, nor is one that was
expected back from the wash before today and was not brought back.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from django.db.models import OuterRef, QuerySet, Subquery

from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.standing import Standing
from habitats.linens.models.dues import DueDay, due_days
from habitats.linens.models.linens import Linen, LinenEvent, LinenKind
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize
from habitats.rotation.cloth import mass_g
from habitats.rotation.goods import UNKNOWN_GRAMS_PER_M2
from habitats.rotation.rating import DrumLinen, cotton_g
from habitats.rotation.states import State
from habitats.rotation.values import ForecastInputs, Laundry, LinenNeed, LinenToday, WashStage

DAYS_AHEAD = 42

_WHERE = {
    State.NEW: WashStage.SOILED,
    State.FIRST_WASHED: WashStage.CLEAN,
    State.CLEAN: WashStage.CLEAN,
    State.IN_USE: WashStage.IN_USE,
    State.SOILED: WashStage.SOILED,
    State.SET_ASIDE: WashStage.SOILED,
    State.WASHING: WashStage.WASHING,
    State.DRYING: WashStage.WASHING,
    State.DRY: WashStage.WASHING,
}


def forecast_inputs_by_pool(
    pools: Sequence[Pool], today: date, days: int = DAYS_AHEAD
) -> dict[int, ForecastInputs]:
    """These pools as they stand today, by their keys, with as many queries as for one.

    Each with all enclosures of the homes that draw from it; ``days``: how far ahead is asked.
    """
    dues = _dues_by_pool(pools, today)
    linens = _linens_by_pool(pools)
    kinds, sizes = _kinds(), {one.pk: one for one in _ALL_SIZES()}
    return {
        pool.pk: _inputs(pool, dues[pool.pk], linens[pool.pk], kinds, sizes, today, days)
        for pool in pools
    }


def _inputs(
    pool: Pool,
    dues: Sequence[DueDay],
    linens: Sequence["_Linen"],
    kinds: "_Kinds",
    sizes: dict[int, LinenSize],
    today: date,
    days: int,
) -> ForecastInputs:
    size_of = {str(due.spot_id): str(due.size_id) for due in dues}
    pieces = tuple(_pieces(linens, size_of, pool, today))
    wanted = {due.size_id for due in dues} | {one.size_id for one in linens}
    return ForecastInputs(
        start=today,
        days=days,
        sizes=_masses(pool, [sizes[key] for key in sorted(wanted)], linens, kinds),
        needs=tuple(_needs(dues, {piece.enclosure for piece in pieces})),
        pieces=pieces,
        laundry=Laundry(
            wash_weekdays=pool.wash_weekdays,
            loads_per_day=pool.loads_a_day,
            load_g=pool.cotton_g,
            days_to_clean=pool.days_to_clean,
        ),
    )


def _dues_by_pool(pools: Sequence[Pool], today: date) -> dict[int, list[DueDay]]:
    pool_of = dict(_DRAWING(pools=[one.pk for one in pools], day=today))
    found: dict[int, list[DueDay]] = defaultdict(list)
    for due in due_days(list(pool_of), today):
        found[pool_of[due.enclosure_id]].append(due)
    return found


def _needs(dues: Iterable[DueDay], lined: Container[str | None]) -> Iterator[LinenNeed]:
    """``lined``: the needs in which pieces lie.

    Where nothing lay yet a linen was wanted when they moved in, as if changed an interval before.
    """
    for due in dues:
        id, size = str(due.spot_id), str(due.size_id)
        last = due.last_changed or due.on - timedelta(days=due.interval_days)
        yield LinenNeed(id, size, due.interval_days, last, not due.is_bare and id not in lined)


class _Linen(NamedTuple):
    """As much of a linen as a forecast asks for: a large pool has some hundreds."""

    pool_id: int
    label: str
    size_id: int
    kind_id: int
    state: str
    since: date
    spot_id: int | None
    suspicion: str
    washed_on: date | None


def _linens_by_pool(pools: Sequence[Pool]) -> dict[int, list[_Linen]]:
    """Those counted on, the longest rested first, with ``washed_on`` for those in the wash."""
    found: dict[int, list[_Linen]] = defaultdict(list)
    # A foster draws from one.
    rows = _COUNTED_ON(pool=pools[0]) if len(pools) == 1 else _counted_on().filter(pool__in=pools)
    for linen in map(_Linen._make, rows):
        found[linen.pool_id].append(linen)
    return found


def _counted_on() -> "QuerySet[Linen, Any]":
    washed = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING)
    return (
        Linen.objects.filter(state__in=_WHERE)
        .annotate(washed_on=Subquery(washed.order_by("-pk").values("on")[:1]))
        .order_by("since", "pk")
        .values_list(*_Linen._fields)
    )


class _Kinds(NamedTuple):
    """All kinds by their keys, and by sort those that are in use."""

    all: dict[int, LinenKind]
    by_sort: dict[str, set[LinenKind]]


def _kinds() -> _Kinds:
    kinds, by_sort = {one.pk: one for one in _ALL_KINDS()}, defaultdict(set)
    for kind in kinds.values():
        if kind.put_away_on is None:
            by_sort[kind.sort].add(kind)
    return _Kinds(kinds, by_sort)


def _pieces(
    linens: Iterable[_Linen], needs: Mapping[str, str], pool: Pool, today: date
) -> Iterator[LinenToday]:
    """``needs``: the size that each need asks for.

    A linen in an enclosure that nobody lives in, or too large for its spot, is in use nowhere.
    """
    for linen in linens:
        at, size = _WHERE[State(linen.state)], str(linen.size_id)
        lies_in = str(linen.spot_id) if needs.get(str(linen.spot_id)) == size else None
        ready = None
        if at is WashStage.WASHING:
            back = pool.expected_back(linen.washed_on or linen.since)
            ready = back if back >= today else None
        yield LinenToday(linen.label, size, at, lies_in, ready, bool(linen.suspicion))


def _masses(
    pool: Pool, sizes: Iterable[LinenSize], linens: Iterable[_Linen], kinds: _Kinds
) -> dict[str, int]:
    """What the heaviest linen of each size counts for in the drum, in grams of cotton.

    Of a size that there is none of, what its sort's heaviest goods would.
    """
    used: dict[int, set[LinenKind]] = defaultdict(set)
    for linen in linens:
        used[linen.size_id].add(kinds.all[linen.kind_id])
    return {
        str(size.pk): max(
            (_counted_g(kind, size, pool) for kind in used[size.pk] or kinds.by_sort[size.sort]),
            default=mass_g(size.width_mm, size.length_mm, 1, UNKNOWN_GRAMS_PER_M2),
        )
        for size in sizes
    }


def _counted_g(kind: LinenKind, size: LinenSize, pool: Pool) -> int:
    is_synthetic = kind.fibre == LinenKind.Fibre.SYNTHETIC
    return cotton_g(DrumLinen(kind.mass_g(size), is_synthetic), pool.synthetic_percent)


_DRAWING = written(
    lambda: (
        Standing.objects.on(given("day", date))
        .filter(home__pool__in=given_keys("pools"))
        .values_list("enclosure", "home__pool")
    )
)
_COUNTED_ON = written(lambda: _counted_on().filter(pool=given("pool", Pool)))
_ALL_KINDS = written(lambda: LinenKind.objects.all())
_ALL_SIZES = written(lambda: LinenSize.objects.all())
