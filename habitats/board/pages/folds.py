"""What can wait, folded by kind: a number each, which opens to the first of them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from habitats.board.models.tasks import AHEAD_DAYS, weigh_words
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import FEW_ROWS, Fold, TodayRow
from habitats.board.pages.urgent import due_row
from habitats.linens.models.tasks import BARE
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import CHANGE, SAFETY_CHECK, DueRow, DueRowQuerySet
from habitats.welfare.ahead import DueKind

WEEK_DAYS = 7
AT_MOST_READ = 5 * FEW_ROWS  # of weighings, which are told together by home


class FoldKind(NamedTuple):
    """``words`` of a number. ``from_now``: with what is due already; else only what is to come."""

    kind: str
    days: int
    from_now: bool
    words: Callable[[int], str]

    def in_time(self, day: date) -> Q:
        soon = Q(day__lte=day + timedelta(days=self.days))
        return soon if self.from_now else soon & Q(day__gt=day)


def _safety_checks(number: int) -> str:
    return ngettext(
        "%(number)d safety check due this week", "%(number)d safety checks due this week", number
    )


def _weighings(number: int) -> str:
    return ngettext(
        "%(number)d animal to weigh this week", "%(number)d animals to weigh this week", number
    )


def _changes(number: int) -> str:
    return ngettext(
        "Linens to change in %(number)d enclosure",
        "Linens to change in %(number)d enclosures",
        number,
    )


def _parting(number: int) -> str:
    return ngettext(
        "%(number)d animal to separate within four weeks",
        "%(number)d animals to separate within four weeks",
        number,
    )


def _quarantines(number: int) -> str:
    return ngettext(
        "%(number)d quarantine ends within four weeks",
        "%(number)d quarantines end within four weeks",
        number,
    )


def _waits(number: int) -> str:
    return ngettext(
        "%(number)d wait after castration ends within four weeks",
        "%(number)d waits after castration end within four weeks",
        number,
    )


def _litters(number: int) -> str:
    return ngettext(
        "%(number)d litter possible within four weeks",
        "%(number)d litters possible within four weeks",
        number,
    )


def _outgrown(number: int) -> str:
    return ngettext(
        "%(number)d enclosure too small within four weeks",
        "%(number)d enclosures too small within four weeks",
        number,
    )


KINDS = {
    one.kind: one
    for one in (
        FoldKind(CHANGE, 0, True, _changes),
        FoldKind(DueKind.WEIGH, WEEK_DAYS, True, _weighings),
        FoldKind(SAFETY_CHECK, WEEK_DAYS, True, _safety_checks),
        FoldKind(DueKind.PART, AHEAD_DAYS, False, _parting),
        FoldKind(DueKind.OUTGROWN, AHEAD_DAYS, False, _outgrown),
        FoldKind(DueKind.QUARANTINE_ENDS, AHEAD_DAYS, False, _quarantines),
        FoldKind(DueKind.CASTRATION_WAIT_ENDS, AHEAD_DAYS, False, _waits),
        FoldKind(DueKind.LITTER_POSSIBLE, AHEAD_DAYS, False, _litters),
    )
}


def folds_of(person: Person, day: date, dues: DueRowQuerySet, kinds: Iterable[str]) -> list[Fold]:
    """Those of these kinds of which there is something; one question, and one more a fold."""
    counted = _counts(day, dues)
    return [
        Fold(
            one.words(counted[one.kind]) % {"number": counted[one.kind]},
            rows_of(person, one, day, dues, FEW_ROWS),
            counted[one.kind],
            reverse("changes") if one.kind == CHANGE else reverse("today_kind", args=[one.kind]),
        )
        for one in (KINDS[kind] for kind in kinds)
        if counted[one.kind]
    ]


def _counts(day: date, dues: DueRowQuerySet) -> dict[str, int]:
    """By kind; changes of linens apart, since they ask for a pool."""
    in_time = {one.kind: one.in_time(day) for one in KINDS.values() if one.kind != CHANGE}
    wanted = Q(pk__in=[])
    for kind, when in in_time.items():
        wanted |= Q(kind=kind) & when
    rows = dues.filter(wanted).order_by().values_list("kind").annotate(number=Count("pk"))
    changes = waiting(KINDS[CHANGE], day, dues).count()
    return {**dict.fromkeys(KINDS, 0), **dict(rows), CHANGE: changes}


def waiting(kind: FoldKind, day: date, dues: DueRowQuerySet) -> DueRowQuerySet:
    """All of a kind, soonest first, with where they are."""
    found = dues.filter(kind.in_time(day), kind=kind.kind)
    found = found.filter(home__pool__isnull=False) if kind.kind == CHANGE else found
    return found.by_day().select_related("enclosure", "home")


def next_day(day: date, dues: DueRowQuerySet) -> date | None:
    """The first day after this one on which something is due; changes only where linens are."""
    ahead = dues.filter(day__gt=day).exclude(kind=CHANGE, home__pool__isnull=True)
    first = ahead.by_day().first()
    return first.day if first else None


def rows_of(
    person: Person, kind: FoldKind, day: date, dues: DueRowQuerySet, most: int
) -> Sequence[TodayRow]:
    found = waiting(kind, day, dues)
    if kind.kind == DueKind.WEIGH:
        return list(_by_home(found[:AT_MOST_READ], day))[:most]
    return [waiting_row(person, one, day) for one in found[:most]]


def waiting_row(person: Person, row: DueRow, day: date) -> TodayRow:
    if row.kind == CHANGE and row.enclosure is not None:
        link = reverse("change_linens", args=[row.enclosure.code])
        where = str(row.home) if row.home and person.is_coordinator else ""
        words = _("Change %(enclosure)s") % {"enclosure": row.enclosure.label}
        advice = _bare(row.more[BARE])
        return TodayRow(
            words, link, pgettext("linens", "Change"), where, since_words(row.day, day), advice
        )
    return due_row(person, row, day)


def _bare(places: int) -> str:
    words = ngettext("%(number)d place bare", "%(number)d places bare", places)
    return words % {"number": places} if places else ""


def _by_home(rows: Iterable[DueRow], day: date) -> Iterator[TodayRow]:
    """Weighing is done home by home: its animals in one row."""
    found: dict[object, list[DueRow]] = defaultdict(list)
    for row in rows:
        found[row.home or row.enclosure].append(row)
    for some in found.values():
        first = some[0]
        names = sorted(name for row in some for name in row.names)
        link = reverse("weigh") + (f"?home={first.home.code}" if first.home else "")
        where = str(first.home) if first.home else str(first.enclosure)
        yield TodayRow(weigh_words(names), link, _("Weigh"), where, since_words(first.day, day))
