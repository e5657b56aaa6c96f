"""When linens are changed next: an interval after the last change, where somebody lives.

A place in which no linen is known to lie is due today at the latest.

``due_days`` reckons with keys alone, for thousands of spots; ``dues_of`` loads what a page shows,
and ``dues_in`` the same of one enclosure.
"""

from collections.abc import Collection, Iterable
from datetime import date
from typing import Any, NamedTuple

from django.db.models import Exists, OuterRef, Subquery

from habitats.animals.models.stays import Stay
from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.linens import Linen
from habitats.linens.models.spots import Spot, SpotQuerySet
from habitats.measures import METRIC
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.rotation.calendar import due_on
from habitats.rotation.intervals import Interval, change_interval, suggested_days
from habitats.structure.design import Species


class DueDay(NamedTuple):
    """A spot by its keys and the day on which its linen is changed next, which may be past."""

    on: date
    spot_id: int
    enclosure_id: int
    size_id: int
    interval_days: int
    last_changed: date | None
    is_bare: bool


class LinenDue(NamedTuple):
    """A spot and when its linen is changed next. ``linen`` None: none is known to lie there.

    ``on`` may be past. ``interval``: how often, and why.
    """

    spot: Spot
    linen: Linen | None
    last_changed: date | None
    on: date
    interval: Interval

    @property
    def is_bare(self) -> bool:
        return self.linen is None


class _Floor(NamedTuple):
    """Who lives in an enclosure today, and on how much floor, as its reading says."""

    species: Species
    animals: int
    floor_mm2: int


def due_days(enclosures: Collection[int], today: date) -> list[DueDay]:
    """When each spot of these is due, soonest first; only those where somebody lives today."""
    Reading.objects.make_missing(today, pk__in=enclosures)
    floors = {key: _floor(*known) for key, *known in _FLOORS(enclosures=enclosures)}
    return _in_order(floors, _DAYS_IN(enclosures=enclosures, day=today), today)


def due_days_in(readings: Iterable[Reading], today: date) -> list[DueDay]:
    """The same in enclosures whose readings of today are at hand: one query."""
    floors = {
        one.enclosure_id: _floor(one.species, one.animals, one.ground_mm2, one.upper_mm2)
        for one in readings
    }
    return _in_order(floors, _DAYS_IN(enclosures=floors, day=today), today)


def _in_order(
    floors: dict[int, _Floor], rows: Iterable[tuple[Any, ...]], today: date
) -> list[DueDay]:
    found = [_due_day(floors, today, *row) for row in rows]
    return sorted(found, key=lambda due: (due.on, due.spot_id))


def dues_of(spots: SpotQuerySet, today: date, units: str = METRIC) -> list[LinenDue]:
    """The same with the spots, their linens and the reasons, for those that a page shows."""
    return _shown(_floors(spots, today), _loaded(_lived_in(spots, today)), today, units)


def dues_in(enclosure: Enclosure, today: date, units: str = METRIC) -> list[LinenDue]:
    """The same of all spots of an enclosure: two queries, if its reading is at hand."""
    Reading.objects.make_missing(today, pk=enclosure.pk)
    floors = {key: _floor(*known) for key, *known in _FLOOR_OF(enclosure=enclosure)}
    return _shown(floors, _DUES_IN(enclosure=enclosure, day=today), today, units)


def _shown(
    floors: dict[int, _Floor], spots: Iterable[Spot], today: date, units: str
) -> list[LinenDue]:
    dues = [_due(spot, floors[spot.enclosure_id], today, units) for spot in spots]
    return sorted(dues, key=lambda due: (due.on, due.spot.pk))


def _loaded(spots: SpotQuerySet) -> SpotQuerySet:
    return spots.select_related("enclosure", "enclosure__change_plan", "size", "linen")


_FLOOR = ("enclosure", "species", "animals", "ground_mm2", "upper_mm2")
# Of a spot that is lived in, as ``_due_day`` takes them.
_KEYS = (
    "pk",
    "enclosure",
    "size",
    "enclosure__change_plan__interval_days",
    "linen__since",
    "changed_on",
    "moved_in",
)


def _lived_in(spots: SpotQuerySet, today: date) -> SpotQuerySet:
    """Adds ``changed_on``, the day of the last change, and ``moved_in``, of who lives there.

    A change of a day to come was dated by a clock that was ahead: nobody knows its day.
    """
    stays = Stay.objects.on(today).filter(enclosure=OuterRef("enclosure"))
    changes = LinenChange.objects.filter(spot=OuterRef("pk"), on__lte=today)
    last = changes.order_by("-on", "-pk")
    return (
        spots.lined()
        .filter(Exists(stays))
        .annotate(
            changed_on=Subquery(last.values("on")[:1]), moved_in=Subquery(stays.values("since")[:1])
        )
    )


def _floors(spots: SpotQuerySet, today: date) -> dict[int, _Floor]:
    enclosures = spots.values("enclosure")
    Reading.objects.fresh(today, pk__in=enclosures)
    rows = _known().filter(enclosure__in=enclosures).values_list(*_FLOOR)
    return {enclosure: _floor(*known) for enclosure, *known in rows}


def _known() -> ReadingQuerySet:
    """Also where somebody changes something just now: what was read of it a moment ago."""
    return Reading.objects.exclude(species="")


def _floor(species: str, animals: int, ground_mm2: int, upper_mm2: int) -> _Floor:
    """A group that moved in counts as one animal while its own are still to come."""
    return _Floor(Species(species), max(animals, 1), ground_mm2 + upper_mm2)


def _due_day(
    floors: dict[int, _Floor],
    today: date,
    spot: int,
    enclosure: int,
    size: int,
    by_hand: int | None,
    since: date | None,
    changed: date | None,
    moved_in: date,
) -> DueDay:
    interval = suggested_days(*floors[enclosure]) if by_hand is None else by_hand
    last, is_bare = _latest(since, changed, today), since is None
    on = _next(last, moved_in, interval, today, is_bare=is_bare)
    return DueDay(on, spot, enclosure, size, interval, last, is_bare)


def _due(spot: Any, floor: _Floor, today: date, units: str) -> LinenDue:
    linen = getattr(spot, "linen", None)
    plan = getattr(spot.enclosure, "change_plan", None)
    by_hand = None if plan is None else plan.interval_days
    interval = change_interval(*floor, by_hand=by_hand, units=units)
    assert interval is not None, "somebody lives there"
    since = None if linen is None else linen.since
    last = _latest(since, spot.changed_on, today)
    on = _next(last, spot.moved_in, interval.days, today, is_bare=linen is None)
    return LinenDue(spot, linen, last, on, interval)


def _next(last: date | None, moved_in: date, interval: int, today: date, *, is_bare: bool) -> date:
    """Where nothing lay yet, a linen was wanted on the day they moved in."""
    if last is None:
        return moved_in
    return due_on(last, interval, bare_on=today if is_bare else None)


def _latest(since: date | None, changed: date | None, today: date) -> date | None:
    """The later of the two; what lies there since a day to come was dated by a wrong clock."""
    return max((day for day in (since, changed) if day and day <= today), default=None)


def enclosures_due(dues: Iterable[DueDay]) -> dict[int, list[DueDay]]:
    """When each enclosure's spots are due, the enclosure due soonest first."""
    found: dict[int, list[DueDay]] = {}
    for due in dues:
        found.setdefault(due.enclosure_id, []).append(due)
    return found


_DAYS_IN = written(
    lambda: _lived_in(
        Spot.objects.filter(enclosure__in=given_keys("enclosures")), given("day", date)
    ).values_list(*_KEYS)  # type: ignore[misc]
)
_DUES_IN = written(
    lambda: _loaded(
        _lived_in(Spot.objects.filter(enclosure=given("enclosure", Enclosure)), given("day", date))
    )
)
_FLOOR_OF = written(
    lambda: _known().filter(enclosure=given("enclosure", Enclosure)).values_list(*_FLOOR)
)
_FLOORS = written(
    lambda: _known().filter(enclosure__in=given_keys("enclosures")).values_list(*_FLOOR)
)
