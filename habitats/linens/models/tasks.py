"""Changes of linens that are due, by enclosure, and what of the cupboard goes in."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.enclosures import Enclosure, EnclosureQuerySet
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.models.dues import LinenDue, due_days_in, enclosures_due
from habitats.linens.models.linens import Linen
from habitats.linens.models.pools import Pool
from habitats.readings.models.due_rows import CHANGE, DueRow, DueRowQuerySet
from habitats.readings.models.readings import Reading
from habitats.rotation.states import State
from habitats.wording import listed

MOST_OFFERED = 30
# What the row of an enclosure has besides its day.
DAYS, BARE = "days", "bare"


class ChangeTask(NamedTuple):
    """An enclosure whose linens are due: the day of the first of them, and those of all.

    ``bare``: in how many of its spots no linen lies.
    """

    on: date
    enclosure_id: int
    days: tuple[date, ...]
    bare: int

    def due_by(self, day: date) -> int:
        """How many of its spots are due by this day."""
        return sum(one <= day for one in self.days)


class ShownTask(NamedTuple):
    """One with what a page shows of it.

    ``now``: how many of its linens are due today, ``bare`` of them in spots where none lies.
    """

    enclosure: Enclosure
    home: Home
    on: date
    linens: int
    now: int
    bare: int


def change_tasks(enclosures: EnclosureQuerySet, today: date) -> list[ChangeTask]:
    """Soonest first: where somebody lives, in homes that draw from a pool of linens."""
    Reading.objects.fresh(today)
    rows = change_rows().filter(enclosure__in=enclosures.values("pk"))
    return [_task(*row) for row in rows.by_day().values_list("day", "enclosure", "more")]


def change_rows() -> DueRowQuerySet:
    """What is due, of homes that draw from a pool of linens; the readings have to be fresh."""
    return DueRow.objects.filter(kind=CHANGE, home__pool__isnull=False)


def keep_change_rows(readings: Sequence[Reading], today: date, **_: object) -> None:
    """For ``readings_kept``: with each reading, the days on which its linens are changed next."""
    home_of = {one.enclosure_id: one.home_id for one in readings if one.home_id}
    at_home = [one for one in readings if one.enclosure_id in home_of]
    found = enclosures_due(due_days_in(at_home, today))
    DueRow.objects.bulk_create(
        DueRow(
            enclosure_id=enclosure,
            home_id=home_of[enclosure],
            kind=CHANGE,
            day=dues[0].on,
            more={
                DAYS: [due.on.isoformat() for due in dues],
                BARE: sum(due.is_bare for due in dues),
            },
        )
        for enclosure, dues in found.items()
    )
    # A bare place is due today, on whichever day that is asked.
    bare = [
        key for key, dues in found.items() if any(one.is_bare and one.on == today for one in dues)
    ]
    if bare:
        tomorrow = today + timedelta(days=1)
        Reading.objects.filter(enclosure__in=bare).update(holds_until=tomorrow)


def _task(on: date, enclosure: int, more: dict[str, Any]) -> ChangeTask:
    days = tuple(date.fromisoformat(day) for day in more[DAYS])
    return ChangeTask(on, enclosure, days, more[BARE])


def shown(tasks: Iterable[ChangeTask], today: date) -> list[ShownTask]:
    """Those of a page, with their enclosures and homes; without what went meanwhile."""
    chosen = list(tasks)
    standings = Standing.objects.on(today).filter(
        enclosure__in=[one.enclosure_id for one in chosen]
    )
    where = {one.enclosure_id: one for one in standings.select_related("enclosure", "home")}
    return [
        ShownTask(
            where[one.enclosure_id].enclosure,
            where[one.enclosure_id].home,
            one.on,
            len(one.days),
            one.due_by(today),
            one.bare,
        )
        for one in chosen
        if one.enclosure_id in where
    ]


def pool_of(enclosure: Enclosure, today: date) -> Pool | None:
    """The pool that the enclosure's home draws from; None if there is none, or no home."""
    standing = _DRAWS_FROM.first(enclosure=enclosure, day=today)
    return standing.home.pool if standing else None


def offered_for(dues: Sequence[LinenDue], pool: Pool | None) -> dict[int, list[Linen]]:
    """By spot, the clean linens of its size that may go in, the one to take first.

    Those that rested longest go first, so that all wear alike; no two spots are told to take the
    same one first, and where there are fewer than spots the last of these are offered none.
    """
    sizes = {due.spot.size_id for due in dues}
    clean: dict[int, list[Linen]] = defaultdict(list)
    if pool is not None:
        for linen in _CLEAN(pool=pool, sizes=sizes):
            clean[linen.size_id].append(linen)
    taken: dict[int, int] = defaultdict(int)
    offered = {}
    for due in dues:
        of_size, begin = clean[due.spot.size_id], taken[due.spot.size_id]
        taken[due.spot.size_id] += 1
        left = of_size[begin:] + of_size[:begin] if begin < len(of_size) else []
        offered[due.spot.pk] = left[:MOST_OFFERED]
    return offered


def where_soiled_go(linens: Iterable[Linen], today: date) -> list[str]:
    """A sentence for each pool: which linens go to its basket, and when they are washed."""
    by_pool: dict[Pool, list[str]] = defaultdict(list)
    for linen in linens:
        by_pool[linen.pool].append(str(linen))
    return [
        ngettext(
            "%(labels)s goes to the soiled linens of %(pool)s; %(washed)s.",
            "%(labels)s go to the soiled linens of %(pool)s; %(washed)s.",
            len(labels),
        )
        % {"labels": listed(labels), "pool": pool, "washed": next_wash_words(pool, today)}
        for pool, labels in by_pool.items()
    ]


def next_wash_words(pool: Pool, today: date) -> str:
    """When the pool washes next, today included."""
    for days in range(7):
        day = today + timedelta(days=days)
        if day.weekday() in pool.wash_weekdays:
            if not days:
                return _("washed today")
            return _("washed on %(weekday)s") % {"weekday": date_format(day, "l")}
    return _("its wash days are not recorded")


_DRAWS_FROM = written(
    lambda: (
        Standing.objects.on(given("day", date))
        .filter(enclosure=given("enclosure", Enclosure))
        .select_related("home__pool__home")
        .order_by("pk")[:1]
    )
)
_CLEAN = written(
    lambda: (
        Linen.objects.filter(pool=given("pool", Pool), size__in=given_keys("sizes"))
        .in_state(State.CLEAN)
        .with_kind()
        .longest_rested()
    )
)
