"""What can wait, folded by kind: a number each, which opens to the first of them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.db.models import Count, Q, Window
from django.db.models.functions import RowNumber
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
from habitats.wording import Message, message

WEEK_DAYS = 7
AT_MOST_READ = 5 * FEW_ROWS  # of weighings, which are told together by home


class FoldKind(NamedTuple):
    """``words`` of a number; ``short``: what the number counts, in as few words as it takes.

    ``from_now``: with what is due already; else only what is to come.
    """

    kind: str
    days: int
    from_now: bool
    words: Callable[[int], str]
    short: Message

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
        FoldKind(CHANGE, 0, True, _changes, message("Linens to change")),
        FoldKind(DueKind.WEIGH, WEEK_DAYS, True, _weighings, message("Animals to weigh")),
        FoldKind(SAFETY_CHECK, WEEK_DAYS, True, _safety_checks, message("Safety checks")),
        FoldKind(DueKind.PART, AHEAD_DAYS, False, _parting, message("To separate soon")),
        FoldKind(DueKind.OUTGROWN, AHEAD_DAYS, False, _outgrown, message("Too small soon")),
        FoldKind(
            DueKind.QUARANTINE_ENDS,
            AHEAD_DAYS,
            False,
            _quarantines,
            message("Quarantines"),
        ),
        FoldKind(
            DueKind.CASTRATION_WAIT_ENDS,
            AHEAD_DAYS,
            False,
            _waits,
            message("Waits after castration"),
        ),
        FoldKind(DueKind.LITTER_POSSIBLE, AHEAD_DAYS, False, _litters, message("Litters possible")),
    )
}


def folds_of(person: Person, day: date, dues: DueRowQuerySet, kinds: Sequence[str]) -> list[Fold]:
    """Those of these kinds of which there is something: two questions."""
    first = _first_of_each(day, dues, kinds)
    loaded = DueRow.objects.select_related("enclosure", "home").in_bulk(
        [key for some in first.values() for key in some.keys]
    )
    return [
        Fold(
            KINDS[kind].words(some.number) % {"number": some.number},
            str(KINDS[kind].short),
            _rows(person, KINDS[kind], _those(some, loaded), day)[:FEW_ROWS],
            some.number,
            reverse("changes") if kind == CHANGE else reverse("today_kind", args=[kind]),
        )
        for kind, some in first.items()
    ]


class _Waiting(NamedTuple):
    """Of one kind: the first by their keys, and how many there are."""

    keys: list[int]
    number: int


def _those(some: _Waiting, loaded: dict[int, DueRow]) -> list[DueRow]:
    """Without those that went since they were counted: a change forgets what was due."""
    return [loaded[key] for key in some.keys if key in loaded]


def _first_of_each(day: date, dues: DueRowQuerySet, kinds: Sequence[str]) -> dict[str, _Waiting]:
    """By kind, in the order of the kinds; those of which there is none are left out."""
    wanted = Q(pk__in=[])
    for kind in kinds:
        wanted |= _in_time(KINDS[kind], day)
    in_turn = Window(RowNumber(), partition_by="kind", order_by=("day", "pk"))
    number = Window(Count("pk"), partition_by="kind")
    ranked = dues.filter(wanted).order_by().annotate(rank=in_turn, number=number)
    found: dict[str, _Waiting] = {}
    rows = ranked.filter(rank__lte=AT_MOST_READ).order_by("rank")
    for key, kind, rank, many in rows.values_list("pk", "kind", "rank", "number"):
        if rank <= FEW_ROWS or kind == DueKind.WEIGH:
            found.setdefault(kind, _Waiting([], many)).keys.append(key)
    return {kind: found[kind] for kind in kinds if kind in found}


def _in_time(kind: FoldKind, day: date) -> Q:
    """Changes only where linens come from a pool."""
    pooled = Q(home__pool__isnull=False) if kind.kind == CHANGE else Q()
    return Q(kind=kind.kind) & kind.in_time(day) & pooled


def waiting(kind: FoldKind, day: date, dues: DueRowQuerySet) -> DueRowQuerySet:
    """All of a kind, soonest first, with where they are."""
    return dues.filter(_in_time(kind, day)).by_day().select_related("enclosure", "home")


def next_day(day: date, dues: DueRowQuerySet) -> date | None:
    """The first day after this one on which something is due; changes only where linens are."""
    ahead = dues.filter(day__gt=day).exclude(kind=CHANGE, home__pool__isnull=True)
    first = ahead.by_day().first()
    return first.day if first else None


def _rows(person: Person, kind: FoldKind, found: Sequence[DueRow], day: date) -> Sequence[TodayRow]:
    if kind.kind == DueKind.WEIGH:
        return list(_by_home(found, day))
    return [waiting_row(person, one, day) for one in found]


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
