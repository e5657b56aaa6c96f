"""What should be back from the wash and was not brought back: one sentence for every page."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Any, NamedTuple

from django.db.models import Count, OuterRef, QuerySet, Subquery
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.common import days
from habitats.common.written import given, given_keys, written
from habitats.linens.models.linens import Linen, LinenEvent, LinenQuerySet
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import Sort
from habitats.people.models.people import Person
from habitats.rotation.states import State
from habitats.wording import counted, listed

WET = (State.WASHING, State.DRYING, State.DRY)
FEW = 5  # on pages about something else; the laundry's page has them all


class NotBack(NamedTuple):
    """Linens of one wash day, by sort, that are expected in the cupboard and are not there.

    ``loads``: through how many they went, 0 if they were washed without one; ``load``: the only
    one, else None. ``is_late``: they were expected before today, so no forecast counts on them;
    else they are expected today.
    """

    pool: Pool
    loads: int
    load: Load | None
    washed_on: date
    expected: date
    sorts: Counter[str]
    is_late: bool

    @property
    def sentence(self) -> str:
        what = self._what
        if not self.is_late:
            return _("Expected back from the wash at %(pool)s today: %(what)s.") % {
                "pool": self.pool,
                "what": what,
            }
        return ngettext(
            "Not back from the wash at %(pool)s: %(what)s, expected on %(day)s. "
            "Forecasts leave it out.",
            "Not back from the wash at %(pool)s: %(what)s, expected on %(day)s. "
            "Forecasts leave them out.",
            self.sorts.total(),
        ) % {"pool": self.pool, "what": what, "day": days.of_week(self.expected)}

    @property
    def linens(self) -> str:
        """How many of each sort."""
        return _numbers(self.sorts)

    @property
    def _what(self) -> str:
        known = {
            "linens": self.linens,
            "day": days.of_week(self.washed_on),
            "number": self.loads,
        }
        match self.loads:
            case 0:
                return _("%(linens)s washed on %(day)s") % known
            case 1:
                return _("%(linens)s of the load of %(day)s") % known
            case _number:
                return _("%(linens)s of the %(number)d loads of %(day)s") % known


def not_back(pools: Iterable[Pool], today: date) -> list[NotBack]:
    """By the day on which they were expected, earliest first; as many questions as for one."""
    by_key = {pool.pk: pool for pool in pools}
    if not by_key:
        return []
    # Of one pool, as fosters ask, it is written once; of several it is not: for keys that are one
    # value SQLite takes the index of all that is wet.
    only = next(iter(by_key)) if len(by_key) == 1 else None
    rows = _WET_OF(pool=only) if only else _counted_wet(Linen.objects.filter(pool__in=by_key))
    sorts: dict[tuple[int, date], Counter[str]] = defaultdict(Counter)
    loads: dict[tuple[int, date], set[int]] = defaultdict(set)
    for pool, washed_on, load, sort, number in rows:
        if washed_on is not None and by_key[pool].expected_back(washed_on) <= today:
            sorts[pool, washed_on][sort] += number
            loads[pool, washed_on] |= {load} - {None}
    # Pages lead to a load where there is one; of many they only say how many.
    alone = {one for some in loads.values() if len(some) == 1 for one in some}
    known = {one.pk: one for one in _LOADS(loads=alone)} if alone else {}
    found = [
        _not_back(by_key[pool], loads[pool, on], known, on, some, today)
        for (pool, on), some in sorts.items()
    ]
    return sorted(found, key=lambda one: (one.expected, one.pool.name))


def _counted_wet(linens: LinenQuerySet) -> "QuerySet[Linen, Any]":
    last = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING).order_by("-pk")
    return (
        linens.in_state(*WET)
        .annotate(load=Subquery(last.values("load")[:1]), washed_on=Subquery(last.values("on")[:1]))
        .values_list("pool", "washed_on", "load", "size__sort")
        .annotate(number=Count("pk"))
        .order_by()
    )


def not_back_for(
    person: Person, today: date, among: Collection[Pool] | None = None
) -> list[NotBack]:
    """Of the pools that a person sees, the longest missed first; a few, for a page of its own.

    What is expected today is told to those who draw from one pool, not to who sees all. Only
    ``among`` is asked, where it is known that nothing is missed from their other pools.
    """
    pools = Pool.objects.visible_to(person).live() if among is None else among
    found = [one for one in not_back(pools, today) if one.is_late or not person.is_coordinator]
    return found[:FEW]


def _not_back(
    pool: Pool,
    loads: Collection[int],
    known: Mapping[int, Load],
    washed_on: date,
    sorts: Counter[str],
    today: date,
) -> NotBack:
    expected = pool.expected_back(washed_on)
    only = known[next(iter(loads))] if len(loads) == 1 else None
    return NotBack(pool, len(loads), only, washed_on, expected, sorts, expected < today)


def _numbers(sorts: Counter[str]) -> str:
    """The sort that most are of first: ``4 liners, 2 towels and 1 pad``."""
    ordered = sorted(sorts.items(), key=lambda one: (-one[1], one[0]))
    return str(listed([_counted(Sort(sort), number) for sort, number in ordered]))


def _counted(sort: Sort, number: int) -> str:
    match sort:
        case Sort.LINER:
            return counted("%(count)d liner", "%(count)d liners", number)
        case Sort.TOWEL:
            return counted("%(count)d towel", "%(count)d towels", number)
        case Sort.PAD:
            return counted("%(count)d pad", "%(count)d pads", number)
        case Sort.COVER:
            return counted("%(count)d cover", "%(count)d covers", number)


_WET_OF = written(lambda: _counted_wet(Linen.objects.filter(pool=given("pool", Pool))))
_LOADS = written(lambda: Load.objects.filter(pk__in=given_keys("loads")))
