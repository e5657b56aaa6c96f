"""What is due, as a person sees it; and the same as the tasks of a calendar."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.people.models.people import Person
from habitats.readings.models.due_rows import NAILS, SAFETY_CHECK, TEETH, DueRow, DueRowQuerySet
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused
from habitats.welfare.ahead import DueKind
from habitats.wording import by_number, listed

AHEAD_DAYS = 28
MOST_NAMES = 6


class DayTask(NamedTuple):
    """Something to do by a day. Not ``is_of_one``: in several of the home's enclosures.

    ``key`` tells it apart from others of its day, in every language. ``can_wait``: it is asked for
    regularly, and comes after what is due at the same day. ``row``: the first that it is made of.
    """

    day: date
    until: date | None
    sentence: str
    row: DueRow
    is_of_one: bool
    key: str
    can_wait: bool = False


def dues_in_enclosures(person: Person, day: date) -> DueRowQuerySet:
    """As they stand today."""
    Reading.objects.fresh(day)
    return DueRow.objects.visible_to(person).filter(enclosure__isnull=False)


def dues_seen_by(person: Person, day: date) -> DueRowQuerySet:
    """Those, and for coordinators those of animals without an enclosure."""
    if not person.is_coordinator:
        return dues_in_enclosures(person, day)
    Reading.objects.fresh(day)
    Unhoused.objects.fresh(day)
    return DueRow.objects.filter(Q(animal__isnull=True) | Q(animal__unhoused__day=day))


def tasks_of(dues: DueRowQuerySet, day: date) -> list[DayTask]:
    """What is due in four weeks, soonest first; what can wait is one task a home and day.

    The enclosures, animals and homes of the rows are not loaded yet.
    """
    due = dues.of_animals().filter(day__lte=day + timedelta(days=AHEAD_DAYS))
    found = _tasks(due.order_by("enclosure", "animal", "pk"), day)
    return sorted(found, key=lambda one: (one.day, one.can_wait, one.row.pk))


def _tasks(rows: Iterable[DueRow], day: date) -> Iterator[DayTask]:
    together: dict[tuple[str, int | None, date], list[DueRow]] = defaultdict(list)
    for row in rows:
        if row.kind == DueKind.OUTGROWN and row.day <= day:
            continue  # told already, as what needs action now
        if row.can_wait:
            together[row.kind, row.home_id, max(row.day, day)].append(row)
        else:
            sentence = row.sentence
            key = str.__str__(sentence)  # in English, in any reader's language
            yield DayTask(row.day, row.until, sentence, row, True, key)
    for (kind, _home, on), found in together.items():
        yield _safety_checks(on, found) if kind == SAFETY_CHECK else _of_animals(on, found)


def _of_animals(on: date, found: list[DueRow]) -> DayTask:
    names = sorted((name for row in found for name in row.names), key=by_number)
    is_of_one = len({(row.enclosure_id, row.animal_id) for row in found}) == 1
    kind = found[0].kind
    key = f"{kind} {' '.join(names)}"
    words = TOLD_TOGETHER[kind](names)
    return DayTask(on, None, words, found[0], is_of_one, key, can_wait=True)


def weigh_words(names: list[str]) -> str:
    """To weigh these animals, the first few by name."""
    if len(names) > MOST_NAMES:
        return _("Weigh %(animals)s and %(more)d more.") % _first_few(names)
    return _("Weigh %(animals)s.") % {"animals": listed(names)}


def teeth_words(names: list[str]) -> str:
    if len(names) > MOST_NAMES:
        return _("Check the teeth of %(animals)s and %(more)d more.") % _first_few(names)
    return _("Check the teeth of %(animals)s.") % {"animals": listed(names)}


def nails_words(names: list[str]) -> str:
    if len(names) > MOST_NAMES:
        return _("Check the nails of %(animals)s and %(more)d more.") % _first_few(names)
    return _("Check the nails of %(animals)s.") % {"animals": listed(names)}


def _first_few(names: list[str]) -> dict[str, object]:
    return {"animals": ", ".join(names[:MOST_NAMES]), "more": len(names) - MOST_NAMES}


# What is asked for regularly of many animals is said once for all of them.
TOLD_TOGETHER: dict[str, Callable[[list[str]], str]] = {
    DueKind.WEIGH.value: weigh_words,
    TEETH: teeth_words,
    NAILS: nails_words,
}


def _safety_checks(on: date, found: list[DueRow]) -> DayTask:
    sentence = ngettext("Safety check.", "Safety check of %(number)d enclosures.", len(found)) % {
        "number": len(found)
    }
    return DayTask(on, None, sentence, found[0], len(found) == 1, SAFETY_CHECK, can_wait=True)
