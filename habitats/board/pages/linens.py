"""Linens on Today: what runs out, what was not brought back, what to change, wash and take out."""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import chain, islice

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext, pgettext

from habitats.board.pages.day_words import since_words
from habitats.board.pages.folds import change_row
from habitats.board.pages.parts import LINENS, MOST_ROWS, TodayPart, TodayRow
from habitats.common import days
from habitats.common.written import given, written
from habitats.homes.models.homes import Home
from habitats.linens.models.laundry import LoadsTogether, under_way_together, waiting_counts
from habitats.linens.models.not_back import FEW, NotBack, not_back_for
from habitats.linens.models.pool_dates import PoolDates
from habitats.linens.models.pools import Pool, PoolQuerySet
from habitats.people.models.people import Person
from habitats.readings.models.first_dues import ShownDue
from habitats.rotation.states import State

CHANGES_NOW = "changes now"  # by this name the first of them are asked for
RUNS_OUT_DAYS = 14
FEW_SHOWN = 3
LAUNDRY_SHOWN = 12  # loads and wash days are all the work of a laundry volunteer
# What is done next with the furthest linens of a load.
NEXT = {
    State.DRY: (
        gettext_lazy("%(number)d dry, to be returned."),
        gettext_lazy("Return to cupboard"),
    ),
    State.DRYING: (gettext_lazy("%(number)d drying."), gettext_lazy("Mark as dry")),
    State.WASHING: (gettext_lazy("%(number)d in the machine."), gettext_lazy("Take out")),
}


def linens_part(person: Person, day: date, changes: Sequence[ShownDue] = ()) -> TodayPart:
    """For each role what it can do something about; ``changes``: those that a foster makes."""
    title = _("Linens")
    PoolDates.objects.make_missing(day)
    is_foster, washes = (person.has_role(one) for one in (Person.Role.FOSTER, Person.Role.LAUNDRY))
    # What is expected back today is told to those who wait for it; others see it on its way.
    last = day if is_foster else day - timedelta(days=1)
    sees_all = person.is_coordinator or washes
    late = _LATE(last=last) if sees_all else _OWN_LATE(last=last, person=person)
    missed = [_not_back(one, day) for one in not_back_for(person, day, late)]
    rows = [change_row(person, one, day) for one in changes]
    runs_out = list(_runs_out(day)) if sees_all else []
    if not washes:
        rows += [*runs_out, *missed]
        link, shown = (reverse("changes"), 5) if is_foster else (reverse("pools"), FEW_SHOWN)
        return TodayPart(LINENS, title, rows, len(rows), link, shown)
    pools = {one.pk: one for one in Pool.objects.visible_to(person).live().by_name()}
    loads = under_way_together(list(pools.values()))
    washing = _washing(list(pools.values()), day)
    in_order = chain(
        rows,
        (_load_row(pools[one.pool], one) for one in loads),
        (_wash_row(pool, number) for pool, number in washing),
        missed,
        runs_out,
    )
    total = len(rows) + len(loads) + len(washing) + len(missed) + len(runs_out)
    rows = list(islice(in_order, MOST_ROWS))
    return TodayPart(LINENS, title, rows, total, reverse("laundry"), LAUNDRY_SHOWN)


def _late(pools: PoolQuerySet) -> PoolQuerySet:
    late = pools.live().filter(dates__back_on__lte=given("last", date))
    return late.order_by("dates__back_on", "name")[:FEW]


_LATE = written(lambda: _late(Pool.objects.all()))
_OWN_LATE = written(
    lambda: _late(
        Pool.objects.filter(
            pk__in=Home.objects.filter(people=given("person", Person)).values("pool")
        )
    )
)
_RUNS_OUT = written(
    lambda: (
        PoolDates.objects.filter(
            as_of=given("day", date), runs_out_on__lte=given("last", date), pool__closed_on=None
        )
        .select_related("pool")
        .order_by("runs_out_on", "pool__name")[:MOST_ROWS]
    )
)


def _runs_out(day: date) -> Iterator[TodayRow]:
    last = day + timedelta(days=RUNS_OUT_DAYS)
    for one in _RUNS_OUT(day=day, last=last):
        yield TodayRow(
            _("%(pool)s runs out") % {"pool": one.pool},
            reverse("pool_page", args=[one.pool.code]),
            pgettext("a page", "Open"),
            when=since_words(one.runs_out_on, day) if one.runs_out_on else "",
        )


def _not_back(one: NotBack, day: date) -> TodayRow:
    """In short; the pages of the load and of its pool say it in full."""
    pattern = (
        _("Not back from the wash: %(linens)s")
        if one.is_late
        else _("Expected back from the wash today: %(linens)s")
    )
    if one.load:
        link, action = reverse("load", args=[one.load.code]), pgettext("a page", "Open")
    else:
        link, action = _in_laundry(one.pool), pgettext("a page", "Open")
    when = since_words(one.expected, day) if one.is_late else ""
    return TodayRow(pattern % {"linens": one.linens}, link, action, str(one.pool), when)


def _in_laundry(pool: Pool) -> str:
    """The pool's loads, on whichever page of the laundry they are."""
    return f"{reverse('laundry')}?pool={pool.code}#pool-{pool.code}"


def _load_row(pool: Pool, some: LoadsTogether) -> TodayRow:
    words, action = NEXT[some.state]
    is_one = some.loads == 1
    title = _("Load of %(day)s") if is_one else _("%(number)d loads of %(day)s")
    return TodayRow(
        title % {"day": days.of_week(some.on), "number": some.loads},
        reverse("load", args=[some.code]) if is_one else _in_laundry(pool),
        str(action),
        str(pool),
        advice=words % {"number": some.linens},
    )


def _washing(pools: Sequence[Pool], day: date) -> list[tuple[Pool, int]]:
    """The pools whose wash day it is, with how many linens wait for the machine."""
    counts = waiting_counts(pools)
    waiting = ((pool, counts[pool.pk].everyday + counts[pool.pk].apart) for pool in pools)
    return [one for one in waiting if one[1] and day.weekday() in one[0].wash_weekdays]


def _wash_row(pool: Pool, number: int) -> TodayRow:
    words = ngettext(
        "Wash today: %(number)d linen waits", "Wash today: %(number)d linens wait", number
    )
    return TodayRow(
        words % {"number": number},
        reverse("new_load", args=[pool.code]),
        _("Start load"),
        str(pool),
        _("today"),
    )
