"""What goes round in a pool today, as the question of a forecast.

An enclosure that nobody lives in needs no change. A linen that was never washed waits for the
wash like a soiled one; one that is mended, retired or lost is not counted on.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import Exists, OuterRef, Subquery

from habitats.models.linen_changes import LinenChange
from habitats.models.linens import Linen, LinenEvent, LinenKind
from habitats.models.pools import Pool
from habitats.models.readings import Reading
from habitats.models.spots import LinenSize, Spot, SpotQuerySet
from habitats.models.stays import Standing, Stay
from habitats.rotation.cloth import mass_g
from habitats.rotation.intervals import Interval, change_interval
from habitats.rotation.rating import Weighed, cotton_g
from habitats.rotation.states import State
from habitats.rotation.values import At, Laundry, Need, Piece, Round
from habitats.structure.design import Species

DAYS_AHEAD = 42
# Two layers of heavy fleece: common practice, no source. For sizes nobody has goods for yet.
UNKNOWN_GRAMS_PER_M2 = 600

_WHERE = {
    State.NEW: At.SOILED,
    State.FIRST_WASHED: At.CLEAN,
    State.CLEAN: At.CLEAN,
    State.IN_USE: At.IN_USE,
    State.SOILED: At.SOILED,
    State.SET_ASIDE: At.SOILED,
    State.WASHING: At.WASHING,
    State.DRYING: At.WASHING,
    State.DRY: At.WASHING,
}


class Due(NamedTuple):
    """A spot and when its linen is changed next. ``linen`` None: none is known to lie there.

    ``on`` may be past. ``interval``: how often, and why.
    """

    spot: Spot
    linen: Linen | None
    last_changed: date | None
    on: date
    interval: Interval


def dues_of(spots: SpotQuerySet, today: date) -> list[Due]:
    """When each of these spots is due, soonest first; only those where somebody lives today.

    Asks the same few questions for three spots or three thousand.
    """
    lived_in = Stay.objects.on(today).filter(enclosure=OuterRef("enclosure"))
    last = LinenChange.objects.filter(spot=OuterRef("pk")).order_by("-on", "-pk")
    found = (
        spots.lined()
        .filter(Exists(lived_in))
        .select_related("enclosure", "enclosure__change_plan", "size", "linen")
        .annotate(
            changed_on=Subquery(last.values("on")[:1]),
            moved_in=Subquery(lived_in.values("since")[:1]),
        )
    )
    spots_there = list(found)
    readings = _readings({one.enclosure_id for one in spots_there}, spots, today)
    dues = (_due(one, readings[one.enclosure_id], today) for one in spots_there)
    return sorted(dues, key=lambda due: (due.on, due.spot.pk))


def round_of(pool: Pool, today: date, days: int = DAYS_AHEAD) -> Round:
    """The pool as it stands today, with all enclosures of the homes that draw from it."""
    return rounds_of([pool], today, days)[pool.pk]


def rounds_of(pools: Sequence[Pool], today: date, days: int = DAYS_AHEAD) -> dict[int, Round]:
    """The rounds of these pools by their keys, with as many questions as for one."""
    dues = _dues_by_pool(pools, today)
    linens = _linens_by_pool(pools)
    kinds = _kinds_by_sort()
    return {
        pool.pk: _round(pool, dues[pool.pk], linens[pool.pk], kinds, today, days) for pool in pools
    }


def _round(
    pool: Pool,
    dues: Iterable[Due],
    linens: Iterable[Linen],
    kinds: "_Kinds",
    today: date,
    days: int,
) -> Round:
    needs = tuple(_needs(dues))
    size_of = {need.id: need.size for need in needs}
    sizes = {due.spot.size for due in dues} | {one.size for one in linens}
    return Round(
        start=today,
        days=days,
        sizes=_masses(pool, sizes, linens, kinds),
        needs=needs,
        pieces=tuple(_pieces(linens, size_of, pool)),
        laundry=Laundry(
            wash_weekdays=pool.wash_weekdays,
            loads_per_day=pool.loads_a_day,
            load_g=pool.cotton_g,
            days_to_clean=pool.days_to_clean,
        ),
    )


def spots_of(pools: Sequence[Pool], today: date) -> SpotQuerySet:
    """All spots of enclosures that stand in homes that draw from these pools."""
    there = Standing.objects.on(today).filter(home__pool__in=pools)
    return Spot.objects.filter(enclosure__in=there.values("enclosure"))


def _dues_by_pool(pools: Sequence[Pool], today: date) -> dict[int, list[Due]]:
    there = Standing.objects.on(today).filter(home__pool__in=pools)
    pool_of = dict(there.values_list("enclosure", "home__pool"))
    found: dict[int, list[Due]] = defaultdict(list)
    for due in dues_of(spots_of(pools, today), today):
        found[pool_of[due.spot.enclosure_id]].append(due)
    return found


def _readings(enclosures: set[int], spots: SpotQuerySet, today: date) -> dict[int, Reading]:
    fresh = Reading.objects.fresh(today, pk__in=spots.values("enclosure"))
    wanted = fresh.filter(enclosure__in=spots.values("enclosure"))
    return {one.enclosure_id: one for one in wanted if one.enclosure_id in enclosures}


def _due(spot: Spot, reading: Reading, today: date) -> Due:
    linen = getattr(spot, "linen", None)
    interval = _interval(spot, reading)
    changed: date | None = spot.changed_on  # type: ignore[attr-defined]
    if linen is not None:
        changed = max(filter(None, (changed, linen.since)))
    # Where nothing lies yet, a linen was wanted on the day they moved in.
    on = spot.moved_in if changed is None else changed + timedelta(days=interval.days)  # type: ignore[attr-defined]
    return Due(spot, linen, changed, on, interval)


def _interval(spot: Spot, reading: Reading) -> Interval:
    plan = getattr(spot.enclosure, "change_plan", None)
    interval = change_interval(
        Species(reading.species),
        max(reading.animals, 1),  # a group moved in, though its animals may be still to come
        reading.ground_mm2 + reading.upper_mm2,
        by_hand=None if plan is None else plan.interval_days,
    )
    assert interval is not None, "somebody lives there"
    return interval


def _needs(dues: Iterable[Due]) -> Iterator[Need]:
    for due in dues:
        days = due.interval.days
        last = due.on - timedelta(days=days)
        yield Need(str(due.spot.pk), str(due.spot.size_id), days, last)


def _linens_by_pool(pools: Sequence[Pool]) -> dict[int, list[Linen]]:
    """Those counted on, the longest rested first, with ``washed_on`` for those in the wash."""
    washed = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING)
    linens = (
        Linen.objects.filter(pool__in=pools, state__in=_WHERE)
        .select_related("size", "kind")
        .annotate(washed_on=Subquery(washed.order_by("-pk").values("on")[:1]))
        .order_by("since", "pk")
    )
    found: dict[int, list[Linen]] = defaultdict(list)
    for linen in linens:
        found[linen.pool_id].append(linen)
    return found


_Kinds = dict[str, set[LinenKind]]


def _kinds_by_sort() -> _Kinds:
    kinds: _Kinds = defaultdict(set)
    for kind in LinenKind.objects.filter(put_away_on__isnull=True):
        kinds[kind.sort].add(kind)
    return kinds


def _pieces(linens: Iterable[Linen], needs: Mapping[str, str], pool: Pool) -> Iterator[Piece]:
    """``needs``: the size that each need asks for.

    A linen in an enclosure that nobody lives in, or too large for its spot, is in use nowhere.
    """
    for linen in linens:
        at, size = _WHERE[State(linen.state)], str(linen.size_id)
        lies_in = str(linen.spot_id) if needs.get(str(linen.spot_id)) == size else None
        ready = None
        if at is At.WASHING:
            ready = linen.washed_on + timedelta(days=pool.days_to_clean)  # type: ignore[attr-defined]
        yield Piece(linen.label, size, at, lies_in, ready, bool(linen.suspicion))


def _masses(
    pool: Pool, sizes: Iterable[LinenSize], linens: Iterable[Linen], kinds: _Kinds
) -> dict[str, int]:
    """What the heaviest linen of each size counts for in the drum, in grams of cotton.

    Of a size that there is none of, what its sort's heaviest goods would.
    """
    used: dict[int, set[LinenKind]] = defaultdict(set)
    for linen in linens:
        used[linen.size_id].add(linen.kind)
    return {
        str(size.pk): max(
            (_counted_g(kind, size, pool) for kind in used[size.pk] or kinds[size.sort]),
            default=mass_g(size.width_mm, size.length_mm, 1, UNKNOWN_GRAMS_PER_M2),
        )
        for size in sorted(sizes, key=lambda one: one.pk)
    }


def _counted_g(kind: LinenKind, size: LinenSize, pool: Pool) -> int:
    is_synthetic = kind.fibre == LinenKind.Fibre.SYNTHETIC
    return cotton_g(Weighed(kind.mass_g(size), is_synthetic), pool.synthetic_percent)
