"""Today: what falls due now for the person looking, and what soon will."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.board.models.tasks import DayTask, readings_seen_by, tasks_of
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models.faults import Fault
from habitats.linens.models.not_back import not_back_for
from habitats.linens.models.tasks import ShownTask, change_tasks, shown
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading, ReadingQuerySet, Urgency
from habitats.readings.pages import space_result, who
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.verdicts import SpaceResult
from habitats.traces.pages.notes import notes_for
from habitats.upkeep.urgency import OUT_OF_REACH

FOSTER = Person.Role.FOSTER
SOON_DAYS = 7
FEW_CHANGES = 5
MOST_SHOWN = 60  # of each part; the page of space has them all


class Wrong(NamedTuple):
    """An enclosure that needs action now."""

    reading: Reading
    who: str
    result: SpaceResult | None
    unsafe: list[Fault]


class Changes(NamedTuple):
    """Enclosures whose linens are due; ``named`` is empty where they are many."""

    number: int
    named: list[ShownTask]


class TaskList(NamedTuple):
    """Errands of one stretch of days; ``more`` are not shown."""

    title: str
    tasks: list[DayTask]
    more: int


@require_GET
def today(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    day = timezone.localdate()
    readings = readings_seen_by(person, day)
    wrong = (
        readings.filter(urgency=Urgency.WRONG)
        .select_related("home", "enclosure", "group")
        .order_by("-unsafe_faults", "-blocks", "-lacking_mm2", "pk")
    )
    parts = _parts_of(readings, day)
    context = {
        "day": day,
        "wrong": _wrongs(list(wrong[:MOST_SHOWN]), person.units),
        "out_of_reach": OUT_OF_REACH,
        "more_wrong": max(0, wrong.count() - MOST_SHOWN),
        "parts": parts,
        "any": readings.exists(),
        "changes": _changes(person, day),
        "not_back": not_back_for(person, day),
        "rescue": Rescue.ours(),
        "trace_notes": notes_for(person, day),
    }
    if person.is_coordinator:
        context |= _nowhere()
    return render(request, "board/today.html", context)


def _changes(person: Person, day: date) -> Changes:
    """How many enclosures' linens are due; by name where they are few."""
    tasks = change_tasks(Enclosure.objects.visible_to(person, day), day)
    due = [one for one in tasks if one.on <= day]
    return Changes(len(due), shown(due, day) if len(due) <= FEW_CHANGES else [])


def _nowhere() -> dict[str, int]:
    """Animals in no group and groups in no enclosure: nothing is worked out for them."""
    grouped = Membership.objects.open().values("animal")
    live = Group.objects.live()
    return {
        "ungrouped": Animal.objects.here().exclude(pk__in=grouped).count(),
        "unhoused": live.exclude(stays__until__isnull=True, stays__isnull=False).count(),
    }


def _wrongs(readings: list[Reading], units: str) -> list[Wrong]:
    """With the faults that make them unsafe: one query."""
    unsafe: dict[int, list[Fault]] = defaultdict(list)
    keys = [one.enclosure_id for one in readings if one.unsafe_faults]
    for fault in Fault.objects.open().unsafe().filter(enclosure__in=keys).order_by("on", "pk"):
        unsafe[fault.enclosure_id].append(fault)
    return [
        Wrong(
            one,
            who(one),
            space_result(one, units) if one.passes is False else None,
            unsafe[one.enclosure_id],
        )
        for one in readings
    ]


def _parts_of(readings: ReadingQuerySet, day: date) -> list[TaskList]:
    """Of thousands of enclosures few tasks are shown: only for those is the rest looked up."""
    parts = list(_parts(tasks_of(readings, day), day))
    shown = [one.reading for part in parts for one in part.tasks]
    prefetch_related_objects(shown, "enclosure", "home")
    return parts


def _parts(tasks: list[DayTask], day: date) -> Iterator[TaskList]:
    """Now, this week, and further ahead."""
    soon = day + timedelta(days=SOON_DAYS)
    bounds = (
        (_("Due now"), date.min, day),
        (_("This week"), day + timedelta(days=1), soon),
        (_("Coming up"), soon + timedelta(days=1), date.max),
    )
    for title, first, last in bounds:
        found = [one for one in tasks if first <= one.day <= last]
        yield TaskList(title, found[:MOST_SHOWN], max(0, len(found) - MOST_SHOWN))
