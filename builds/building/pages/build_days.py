"""A build day as its page shows it, in calendars, and on Today of those who come."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import NamedTuple

from django.urls import reverse
from django.utils.formats import time_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from builds.building.models.build_days import BuildDay, Coming
from builds.making.tools import TOOLS
from builds.plans.models.progress import Progress, StepNow
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import TodayRow
from habitats.calendars import Entry
from habitats.common.written import given, written
from habitats.people.models.people import Person

# So long before it is on Today of who comes: time to find what they are to bring.
DAYS_AHEAD = 3
CALENDAR_DAYS = 60


class WorkThere(NamedTuple):
    """The steps that are left at the bench, or on the enclosure, and the tools that they take."""

    steps: tuple[StepNow, ...]
    minutes: int
    tools: tuple[str, ...]


def work_left(now: Progress, *, bench: bool) -> WorkThere:
    steps = tuple(one for one in now.steps if not one.is_done and one.card["bench"] == bench)
    named = {str(tool) for one in steps for tool in one.card["tools"]}
    known = [str(tool) for tool in TOOLS if str(tool) in named]
    others = sorted(named.difference(known))
    return WorkThere(steps, sum(one.card["minutes"] for one in steps), (*known, *others))


@dataclass(frozen=True, eq=False)  # without slots: what is asked once is kept at hand
class BuildDayPage:
    day: BuildDay
    person: Person

    @cached_property
    def now(self) -> Progress:
        return Progress(self.day.build, self.person.units)

    @cached_property
    def coming(self) -> list[Coming]:
        found = self.day.coming.select_related("person")
        return sorted(found, key=lambda one: (one.at or self.day.begins, one.pk))

    @property
    def at_the_bench(self) -> WorkThere:
        return work_left(self.now, bench=True)

    @property
    def at_the_home(self) -> WorkThere:
        return work_left(self.now, bench=False)


def entry_of(day: BuildDay, mine: Coming | None, linked: Callable[[str], str]) -> Entry:
    """With what its reader brings; the same day is the same entry, moved."""
    things = []
    if mine and mine.brings:
        things.append(_("Bring: %(things)s") % {"things": mine.brings})
    if mine and mine.lent:
        things.append(_("Tools lent to you: %(things)s") % {"things": mine.lent})
    if day.note:
        things.append(day.note)
    return Entry(
        key=f"build-day/{day.idempotency_key}",
        day=day.on,
        title=_("Build day: %(build)s") % {"build": day.build},
        note="\n".join(things),
        link=linked(reverse("builds:build_day", args=[day.build.code, day.pk])),
        hours=day.hours(mine.at if mine else None),
        place=day.place,
        sequence=day.sequence,
    )


def build_days_in_calendar(
    sender: object, person: Person, today: date, linked: Callable[[str], str], **_more: object
) -> list[Entry]:
    """For ``calendar_asked``: the days to which this person comes."""
    last = today + timedelta(days=CALENDAR_DAYS)
    days = list(BuildDay.objects.of(person, today, last))
    mine = _mine(days, person)
    return [entry_of(day, mine.get(day.pk), linked) for day in days]


_COMES = written(
    lambda: Coming.objects.filter(
        person=given("person", Person),
        day__on__gte=given("day", date),
        day__on__lte=given("last", date),
    ).values_list("pk")[:1]
)


def build_day_rows(person: Person, day: date) -> list[TodayRow]:
    """Today, and the days before, for who comes."""
    last = day + timedelta(days=DAYS_AHEAD)
    if not _COMES(person=person, day=day, last=last):  # mostly there is none
        return []
    days = list(BuildDay.objects.of(person, day, last).soonest_first())
    mine = _mine(days, person)
    return [_row(one, mine[one.pk], day) for one in days]


def _mine(days: list[BuildDay], person: Person) -> Mapping[int, Coming]:
    return {one.day_id: one for one in Coming.objects.filter(day__in=days, person=person)}


def _row(day: BuildDay, mine: Coming, today: date) -> TodayRow:
    words = _("Build day: %(build)s") % {"build": day.build}
    link = reverse("builds:build_day", args=[day.build.code, day.pk])
    at = time_format(mine.at or day.begins, "H:i")
    when = _("%(day)s, %(time)s") % {"day": since_words(day.on, today), "time": at}
    things = _("Bring: %(things)s") % {"things": mine.brings} if mine.brings else ""
    return TodayRow(words, link, pgettext("a page", "Open"), day.place, when, things)
