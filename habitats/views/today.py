"""Today: what falls due now for the person looking, and what soon will."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.access import member_or_403
from habitats.models import Animal, Group, Membership, Person, Reading, Rescue, Urgency
from habitats.models.readings import ReadingQuerySet
from habitats.views.enclosure_rows import said_of, who
from habitats.views.verdicts import Said
from habitats.welfare.ahead import DueKind

FOSTER = Person.Role.FOSTER
SOON_DAYS, AHEAD_DAYS = 7, 28
MOST_SHOWN = 60  # of each part; the board has them all


class Errand(NamedTuple):
    """Something to do by a day. Not ``is_of_one``: in several of the home's enclosures."""

    day: date
    until: date | None
    sentence: str
    reading: Reading
    is_of_one: bool
    is_weighing: bool


class Wrong(NamedTuple):
    """An enclosure in which something is not as it must be today."""

    reading: Reading
    who: str
    said: Said | None


class Part(NamedTuple):
    """Errands of one stretch of days; ``more`` are not shown."""

    title: str
    errands: list[Errand]
    more: int


@require_GET
def today(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    day = timezone.localdate()
    readings = _seen_by(person, day)
    wrong = (
        readings.filter(urgency=Urgency.WRONG)
        .select_related("home", "enclosure", "group")
        .order_by("-blocks", "-lacking_mm2", "pk")
    )
    parts = _parts_of(readings, day)
    context = {
        "day": day,
        "wrong": [_wrong(one, person.units) for one in wrong[:MOST_SHOWN]],
        "more_wrong": max(0, wrong.count() - MOST_SHOWN),
        "parts": parts,
        "any": readings.exists(),
        "rescue": Rescue.ours(),
    }
    if person.is_coordinator:
        context |= _nowhere()
    return render(request, "space/today.html", context)


def _seen_by(person: Person, day: date) -> ReadingQuerySet:
    readings = Reading.objects.fresh(day)
    return readings if person.is_coordinator else readings.filter(home__people=person)


def _nowhere() -> dict[str, int]:
    """Animals in no group and groups in no enclosure: nothing is reckoned for them."""
    grouped = Membership.objects.open().values("animal")
    live = Group.objects.live()
    return {
        "ungrouped": Animal.objects.here().exclude(pk__in=grouped).count(),
        "unhoused": live.exclude(stays__until__isnull=True, stays__isnull=False).count(),
    }


def _wrong(reading: Reading, units: str) -> Wrong:
    said = said_of(reading, units) if reading.passes is False else None
    return Wrong(reading, who(reading), said)


def _parts_of(readings: ReadingQuerySet, day: date) -> list[Part]:
    """Of thousands of enclosures few errands are shown: only for those is the rest looked up."""
    due = readings.filter(next_due__lte=day + timedelta(days=AHEAD_DAYS))
    errands = list(_errands(due.only("home", "enclosure", "dues", "residents"), day))
    parts = list(_parts(errands, day))
    shown = [one.reading for part in parts for one in part.errands]
    prefetch_related_objects(shown, "enclosure", "home")
    return parts


def _errands(readings: Iterable[Reading], day: date) -> Iterator[Errand]:
    """What is due in each enclosure; weighing is one errand a home and day."""
    last = day + timedelta(days=AHEAD_DAYS)
    weighing: dict[tuple[int | None, date], list[tuple[Reading, list[str]]]] = defaultdict(list)
    for reading in readings:
        for due in reading.dues:
            on = date.fromisoformat(due["day"])
            if on > last or (due["kind"] == DueKind.OUTGROWN and on <= day):
                continue  # too far ahead; or told already, as not as it must be
            if due["kind"] == DueKind.WEIGH:
                names = _names(reading, due["animals"])
                weighing[reading.home_id, max(on, day)].append((reading, names))
            else:
                until = date.fromisoformat(due["until"]) if due["until"] else None
                yield Errand(on, until, due["sentence"], reading, True, is_weighing=False)
    for (_home, on), found in weighing.items():
        yield _weighing(on, found)


def _weighing(on: date, found: list[tuple[Reading, list[str]]]) -> Errand:
    names = sorted(name for _reading, names in found for name in names)
    shown = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
    is_of_one = len({one.pk for one, _names in found}) == 1
    return Errand(on, None, f"Weigh {shown}.", found[0][0], is_of_one, is_weighing=True)


def _names(reading: Reading, refs: list[str]) -> list[str]:
    known = {code: name for code, name, _share in reading.residents}
    return [known.get(ref, ref) for ref in refs]


def _parts(errands: list[Errand], day: date) -> Iterator[Part]:
    """Now, this week, and further ahead."""
    soon = day + timedelta(days=SOON_DAYS)
    bounds = (
        ("Due now", date.min, day),
        ("This week", day + timedelta(days=1), soon),
        ("Ahead", soon + timedelta(days=1), date.max),
    )
    ordered = sorted(errands, key=lambda one: (one.day, one.is_weighing, one.reading.pk))
    for title, first, last in bounds:
        found = [one for one in ordered if first <= one.day <= last]
        yield Part(title, found[:MOST_SHOWN], max(0, len(found) - MOST_SHOWN))
