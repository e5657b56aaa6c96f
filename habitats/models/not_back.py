"""What should be back from the wash and was not brought back: one sentence for every page."""

from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from django.db.models import Count, OuterRef, Subquery

from habitats.models.linens import Linen, LinenEvent
from habitats.models.loads import Load
from habitats.models.pools import Pool
from habitats.models.spots import Sort
from habitats.rotation.states import State

WET = (State.WASHING, State.DRYING, State.DRY)


class NotBack(NamedTuple):
    """Linens of one load, by sort, that are expected in the cupboard and are not there.

    ``load`` None: they were washed without one. ``is_late``: they were expected before today, so
    no forecast counts on them; else they are expected today.
    """

    pool: Pool
    load: Load | None
    washed_on: date
    expected: date
    sorts: Counter[str]
    is_late: bool

    @property
    def sentence(self) -> str:
        whose = f"of the load of {_day(self.washed_on)}"
        if self.load is None:
            whose = f"washed on {_day(self.washed_on)}"
        if not self.is_late:
            return (
                f"Expected back from the wash at {self.pool} today: {_numbers(self.sorts)} {whose}."
            )
        them = "it" if self.sorts.total() == 1 else "them"
        return (
            f"Not back from the wash at {self.pool}: {_numbers(self.sorts)} {whose}, expected on "
            f"{_day(self.expected)}. No forecast counts on {them}."
        )


def not_back(pools: Iterable[Pool], today: date) -> list[NotBack]:
    """By the day on which they were expected, earliest first; as many questions as for one."""
    by_key = {pool.pk: pool for pool in pools}
    last = LinenEvent.objects.filter(linen=OuterRef("pk"), state=State.WASHING).order_by("-pk")
    rows = (
        Linen.objects.filter(pool__in=by_key)
        .in_state(*WET)
        .annotate(load=Subquery(last.values("load")[:1]), washed_on=Subquery(last.values("on")[:1]))
        .values_list("pool", "load", "washed_on", "size__sort")
        .annotate(number=Count("pk"))
        .order_by()
    )
    sorts: dict[tuple[int, int | None, date], Counter[str]] = {}
    for pool, load, washed_on, sort, number in rows:
        if washed_on is not None and by_key[pool].expected_back(washed_on) <= today:
            sorts.setdefault((pool, load, washed_on), Counter())[sort] += number
    loads = Load.objects.in_bulk([load for _pool, load, _on in sorts if load])
    found = [
        _not_back(by_key[pool], loads.get(load or 0), washed_on, some, today)
        for (pool, load, washed_on), some in sorts.items()
    ]
    return sorted(found, key=lambda one: (one.expected, one.pool.name, one.load and one.load.pk))


def _not_back(
    pool: Pool, load: Load | None, washed_on: date, sorts: Counter[str], today: date
) -> NotBack:
    expected = pool.expected_back(washed_on)
    return NotBack(pool, load, washed_on, expected, sorts, expected < today)


def _day(day: date) -> str:
    return f"{day:%A, %-d %B}"


def _numbers(sorts: Counter[str]) -> str:
    """The sort that most are of first: ``4 liners, 2 towels and 1 pad``."""
    ordered = sorted(sorts.items(), key=lambda one: (-one[1], one[0]))
    words = [
        f"{number} {_sort_words(sort)}{'' if number == 1 else 's'}" for sort, number in ordered
    ]
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def _sort_words(sort: str) -> str:
    return str(Sort(sort).label).lower()
