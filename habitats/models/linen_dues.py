"""When linens are changed next: an interval after the last change, where somebody lives.

``due_days`` reckons with keys alone, for thousands of spots; ``dues_of`` loads what a page shows.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Any, NamedTuple

from django.db.models import Exists, OuterRef, Subquery

from habitats.models.linen_changes import LinenChange
from habitats.models.linens import Linen
from habitats.models.readings import Reading
from habitats.models.spots import Spot, SpotQuerySet
from habitats.models.stays import Stay
from habitats.rotation.intervals import Interval, change_interval, suggested_days
from habitats.structure.design import Species


class DueDay(NamedTuple):
    """A spot by its keys and the day on which its linen is changed next, which may be past."""

    on: date
    spot_id: int
    enclosure_id: int
    size_id: int
    interval_days: int


class Due(NamedTuple):
    """A spot and when its linen is changed next. ``linen`` None: none is known to lie there.

    ``on`` may be past. ``interval``: how often, and why.
    """

    spot: Spot
    linen: Linen | None
    last_changed: date | None
    on: date
    interval: Interval


class _Floor(NamedTuple):
    """Who lives in an enclosure today, and on how much floor, as its reading says."""

    species: Species
    animals: int
    floor_mm2: int


def due_days(spots: SpotQuerySet, today: date) -> list[DueDay]:
    """When each of these spots is due, soonest first; only those where somebody lives today."""
    floors = _floors(spots, today)
    rows = _lived_in(spots, today).values_list(  # type: ignore[misc]
        "pk", "enclosure", "size", "enclosure__change_plan__interval_days",
        "linen__since", "changed_on", "moved_in",
    )  # fmt: skip
    return sorted(_due_day(floors, *row) for row in rows)


def dues_of(spots: SpotQuerySet, today: date) -> list[Due]:
    """The same with the spots, their linens and the reasons, for those that a page shows."""
    floors = _floors(spots, today)
    loaded = _lived_in(spots, today).select_related(
        "enclosure", "enclosure__change_plan", "size", "linen"
    )
    dues = [_due(spot, floors[spot.enclosure_id]) for spot in loaded]
    return sorted(dues, key=lambda due: (due.on, due.spot.pk))


def _lived_in(spots: SpotQuerySet, today: date) -> SpotQuerySet:
    """Adds ``changed_on``, the day of the last change, and ``moved_in``, of who lives there."""
    stays = Stay.objects.on(today).filter(enclosure=OuterRef("enclosure"))
    last = LinenChange.objects.filter(spot=OuterRef("pk")).order_by("-on", "-pk")
    return (
        spots.lined()
        .filter(Exists(stays))
        .annotate(
            changed_on=Subquery(last.values("on")[:1]), moved_in=Subquery(stays.values("since")[:1])
        )
    )


def _floors(spots: SpotQuerySet, today: date) -> dict[int, _Floor]:
    enclosures = spots.values("enclosure")
    fresh = Reading.objects.fresh(today, pk__in=enclosures).filter(enclosure__in=enclosures)
    rows = fresh.values_list("enclosure", "species", "animals", "ground_mm2", "upper_mm2")
    # A group that moved in counts as one animal while its own are still to come.
    return {
        enclosure: _Floor(Species(species), max(animals, 1), ground + upper)
        for enclosure, species, animals, ground, upper in rows
    }


def _due_day(
    floors: dict[int, _Floor],
    spot: int,
    enclosure: int,
    size: int,
    by_hand: int | None,
    *days: date | None,
) -> DueDay:
    interval = suggested_days(*floors[enclosure]) if by_hand is None else by_hand
    return DueDay(_next(*days, interval=interval), spot, enclosure, size, interval)


def _due(spot: Any, floor: _Floor) -> Due:
    linen = getattr(spot, "linen", None)
    plan = getattr(spot.enclosure, "change_plan", None)
    interval = change_interval(*floor, by_hand=None if plan is None else plan.interval_days)
    assert interval is not None, "somebody lives there"
    since = None if linen is None else linen.since
    on = _next(since, spot.changed_on, spot.moved_in, interval=interval.days)
    return Due(spot, linen, _latest(since, spot.changed_on), on, interval)


def _next(
    since: date | None, changed: date | None, moved_in: date | None, *, interval: int
) -> date:
    """Where nothing lies yet, a linen was wanted on the day they moved in."""
    last = _latest(since, changed)
    if last is None:
        assert moved_in is not None, "somebody lives there"
        return moved_in
    return last + timedelta(days=interval)


def _latest(*days: date | None) -> date | None:
    return max(filter(None, days), default=None)


def enclosures_due(dues: Iterable[DueDay]) -> dict[int, list[date]]:
    """The days on which each enclosure's spots are due, the enclosure due soonest first."""
    found: dict[int, list[date]] = {}
    for due in dues:
        found.setdefault(due.enclosure_id, []).append(due.on)
    return found
