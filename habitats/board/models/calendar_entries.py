"""What stands in a person's calendar: what is due, changes of linens, wash days.

No address and no surname: a calendar is shown on many screens, and its link may be passed on.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from typing import cast

from django.db.models import prefetch_related_objects
from django.dispatch import Signal
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.board.models.tasks import AHEAD_DAYS, dues_seen_by, tasks_of
from habitats.calendars import Entry
from habitats.enclosures.models.enclosures import Enclosure
from habitats.health.models.seen import SeenTreatments
from habitats.homes.models.homes import Home
from habitats.linens.models.pool_dates import PlannedWash, PoolDates
from habitats.linens.models.pools import Pool
from habitats.linens.models.tasks import change_tasks, shown
from habitats.people.models.people import Person

# Asked for each calendar. Gives ``person``, ``today`` and ``linked``; receivers return entries.
calendar_asked = Signal()

MOST_ENTRIES = 1000
DOSE_TAKES = timedelta(minutes=15)

# The full address of a path: the view knows under which host it is asked for.
Linked = Callable[[str], str]


def entries_for(person: Person, today: date, linked: Linked) -> list[Entry]:
    """The person's next four weeks, soonest first; what is overdue stands on today."""
    entries: list[Entry] = []
    if person.has_role(Person.Role.COORDINATOR, Person.Role.FOSTER):
        entries += _tasks(person, today, linked)
        entries += _changes(person, today, linked)
        entries += _doses(person, today, linked)
    if person.has_role(Person.Role.COORDINATOR, Person.Role.LAUNDRY):
        pools = list(Pool.objects.live().by_name())
        foreseen = PoolDates.objects.foreseen(pools, today)
        for pool in pools:
            entries += _wash_days(pool, foreseen[pool.pk])
    for _receiver, found in calendar_asked.send(Person, person=person, today=today, linked=linked):
        entries += cast(list[Entry], found)
    return sorted(entries, key=lambda one: (one.day, one.title, one.key))[:MOST_ENTRIES]


def _tasks(person: Person, today: date, linked: Linked) -> Iterator[Entry]:
    tasks = tasks_of(dues_seen_by(person, today), today)[:MOST_ENTRIES]
    prefetch_related_objects([one.row for one in tasks], "enclosure", "home")
    for one in tasks:
        enclosure, home = one.row.enclosure, one.row.home
        is_there = enclosure is not None and one.is_of_one
        where = str(home) if home and person.is_coordinator else ""
        about = f"{home.code if home else ''}/{enclosure.code if enclosure and is_there else ''}"
        sentence = one.sentence.rstrip(".")
        yield Entry(
            key=f"errand/{about}/{one.day}/{one.key}",
            day=max(one.day, today),
            last=one.until if one.until and one.until > today else None,
            title=f"{where}: {sentence}" if where else sentence,
            note=enclosure.label if enclosure and is_there else "",
            link=linked(reverse("today")),
        )


def _changes(person: Person, today: date, linked: Linked) -> Iterator[Entry]:
    """One entry an enclosure; of those many that coordinators see, one a home and day."""
    seen = Enclosure.objects.cared_for_by(person, today)
    last = today + timedelta(days=AHEAD_DAYS)
    tasks = [one for one in change_tasks(seen, today) if one.on <= last]
    by_day: dict[tuple[date, Home | Enclosure], list[str]] = defaultdict(list)
    for one in shown(tasks, today):
        about = one.home if person.is_coordinator else one.enclosure
        by_day[max(one.on, today), about].append(one.enclosure.label)
    for (day, about), labels in by_day.items():
        values = {"home": about, "enclosure": labels[0], "number": len(labels)}
        if len(labels) > 1:
            title = _("%(home)s: change linens of %(number)d enclosures") % values
        elif person.is_coordinator:
            title = _("%(home)s: change linens of %(enclosure)s") % values
        else:
            title = _("Change linens of %(enclosure)s") % values
        yield Entry(
            key=f"change/{about._meta.model_name}/{about.code}/{day}",
            day=day,
            title=title,
            note=", ".join(sorted(labels)),
            link=linked(reverse("changes")),
        )


def _doses(person: Person, today: date, linked: Linked) -> Iterator[Entry]:
    """Those that the person gives, as the vet wrote them, until something is recorded."""
    for seen, dose in SeenTreatments(person, today, AHEAD_DAYS).doses(timezone.now()):
        if not seen.is_mine or not dose.state.is_open or dose.due.day < today:
            continue
        written = seen.treatment
        values = {"animal": written.animal, "drug": written.drug, "amount": written.amount}
        yield Entry(
            key=f"dose/{written.pk}/{dose.due.code}",
            day=dose.due.day,
            title=_("%(animal)s: %(drug)s, %(amount)s") % values,
            note=written.how,
            link=linked(reverse("treatment", args=[written.animal.code, written.pk])),
            hours=(dose.moment, dose.moment + DOSE_TAKES),
        )


def _wash_days(pool: Pool, foreseen: PoolDates) -> Iterator[Entry]:
    """Wash days with what goes into the machine, and the first day something runs short."""
    loads: dict[date, list[PlannedWash]] = defaultdict(list)
    for load in foreseen.washes():
        loads[load.on].append(load)
    for day, planned in loads.items():
        linens = sum(load.linens for load in planned)
        loads_of = ngettext("%(number)d load", "%(number)d loads", len(planned))
        linens_of = ngettext("%(number)d linen", "%(number)d linens", linens)
        title = _("Wash at %(pool)s: %(loads)s, %(linens)s") % {
            "pool": pool,
            "loads": loads_of % {"number": len(planned)},
            "linens": linens_of % {"number": linens},
        }
        yield Entry(f"wash/{pool.code}/{day}", day, title)
    if dry := foreseen.runs_out_on:
        yield Entry(
            f"dry/{pool.code}",
            dry,
            _("%(pool)s runs out") % {"pool": pool},
            note=_("There is no clean linen for a change."),
        )
