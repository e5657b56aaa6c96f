"""What can wait, folded by kind: a number each, which opens to the first of them."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext, pgettext

from habitats.board.models.tasks import AHEAD_DAYS, TOLD_TOGETHER
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import FEW_ROWS, Fold, TodayRow
from habitats.board.pages.urgent import SAME_FOR_ALL, due_rows
from habitats.linens.models.tasks import BARE
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import (
    CHANGE,
    NAILS,
    RECHECK,
    SAFETY_CHECK,
    TEETH,
    VACCINATION,
    DueRowQuerySet,
)
from habitats.readings.models.first_dues import DueSlice, FirstDues, ShownDue
from habitats.welfare.ahead import DueKind
from habitats.wording import Message, by_number, message, message_in

WEEK_DAYS = 7
AT_MOST_READ = 5 * FEW_ROWS  # of what is told together
# What is done home by home: the page on which it is, and what the link to there says.
BY_HOME = {
    DueKind.WEIGH.value: ("weigh", gettext_lazy("Weigh")),
    TEETH: ("routine_checks", gettext_lazy("Check")),
    NAILS: ("routine_checks", gettext_lazy("Check")),
}


class FoldKind(NamedTuple):
    """``words`` of a number; ``short``: what the number counts, in as few words as it takes.

    ``from_now``: with what is due already; else only what is to come.
    """

    kind: str
    days: int
    from_now: bool
    words: Callable[[int], str]
    short: Message

    def slice(self, day: date, most: int) -> DueSlice:
        after = None if self.from_now else day
        return DueSlice((self.kind,), day + timedelta(days=self.days), most, after)


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


def _teeth(number: int) -> str:
    return ngettext(
        "Teeth of %(number)d animal to check this week",
        "Teeth of %(number)d animals to check this week",
        number,
    )


def _nails(number: int) -> str:
    return ngettext(
        "Nails of %(number)d animal to check this week",
        "Nails of %(number)d animals to check this week",
        number,
    )


def _rechecks(number: int) -> str:
    return ngettext(
        "%(number)d re-check at the vet's within four weeks",
        "%(number)d re-checks at the vet's within four weeks",
        number,
    )


def _vaccinations(number: int) -> str:
    return ngettext(
        "%(number)d vaccination due within four weeks",
        "%(number)d vaccinations due within four weeks",
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
        FoldKind(CHANGE, 0, True, _changes, message("Linens")),
        FoldKind(DueKind.WEIGH, WEEK_DAYS, True, _weighings, message_in("to do", "Weighing")),
        FoldKind(SAFETY_CHECK, WEEK_DAYS, True, _safety_checks, message("Safety checks")),
        FoldKind(TEETH, WEEK_DAYS, True, _teeth, message_in("to check", "Teeth")),
        FoldKind(NAILS, WEEK_DAYS, True, _nails, message_in("to check", "Nails")),
        FoldKind(RECHECK, AHEAD_DAYS, False, _rechecks, message("Re-checks")),
        FoldKind(VACCINATION, AHEAD_DAYS, False, _vaccinations, message("Vaccinations")),
        FoldKind(DueKind.PART, AHEAD_DAYS, False, _parting, message("Separate soon")),
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
            message("Castration waits"),
        ),
        FoldKind(
            DueKind.LITTER_POSSIBLE, AHEAD_DAYS, False, _litters, message_in("possible", "Litters")
        ),
    )
}


def slices_of(kinds: Iterable[str], day: date) -> dict[str, DueSlice]:
    """What is asked for of each kind, by its code."""
    most = dict.fromkeys((*BY_HOME, *SAME_FOR_ALL), AT_MOST_READ)
    return {kind: KINDS[kind].slice(day, most.get(kind, FEW_ROWS)) for kind in kinds}


def folds_of(person: Person, day: date, first: Mapping[str, FirstDues]) -> list[Fold]:
    """Those of the kinds of which there is something."""
    return [
        Fold(
            kind.words(some.number) % {"number": some.number},
            str(kind.short),
            _rows(person, kind, some.rows, day)[:FEW_ROWS],
            some.number,
            reverse("changes") if code == CHANGE else reverse("today_kind", args=[code]),
        )
        for code, kind in KINDS.items()
        if (some := first.get(code))
    ]


def waiting(kind: FoldKind, day: date, dues: DueRowQuerySet) -> DueRowQuerySet:
    """All of a kind, soonest first; changes only where linens come from a pool."""
    one = kind.slice(day, 0)
    found = dues.filter(kind__in=one.kinds, day__lte=one.last)
    found = found.filter(day__gt=one.after) if one.after else found
    return (found.filter(home__pool__isnull=False) if kind.kind == CHANGE else found).by_day()


def next_day(day: date, dues: DueRowQuerySet) -> date | None:
    """The first day after this one on which something is due; changes only where linens are."""
    ahead = dues.filter(day__gt=day).exclude(kind=CHANGE, home__pool__isnull=True)
    first = ahead.by_day().first()
    return first.day if first else None


def _rows(
    person: Person, kind: FoldKind, found: Sequence[ShownDue], day: date
) -> Sequence[TodayRow]:
    if kind.kind in BY_HOME:
        return list(_by_home(kind.kind, found, day))
    return waiting_rows(person, found, day)


def waiting_rows(person: Person, found: Sequence[ShownDue], day: date) -> list[TodayRow]:
    """All of one kind."""
    if any(one.kind == CHANGE for one in found):
        return [change_row(person, one, day) for one in found]
    return due_rows(person, found, day)


def change_row(person: Person, row: ShownDue, day: date) -> TodayRow:
    return TodayRow(
        _("Change %(enclosure)s") % {"enclosure": row.label},
        reverse("change_linens", args=[row.enclosure]),
        pgettext("linens", "Change"),
        row.at if person.is_coordinator else "",
        since_words(row.day, day),
        _bare(row.more[BARE]),
    )


def _bare(places: int) -> str:
    words = ngettext("%(number)d place bare", "%(number)d places bare", places)
    return words % {"number": places} if places else ""


def _by_home(kind: str, rows: Iterable[ShownDue], day: date) -> Iterator[TodayRow]:
    """Weighing and checking are done home by home: its animals in one row."""
    page, action = BY_HOME[kind]
    found: dict[tuple[bool, str], list[ShownDue]] = defaultdict(list)
    for row in rows:
        found[bool(row.home), row.home or row.enclosure].append(row)
    for some in found.values():
        first = some[0]
        names = sorted((name for row in some for name in row.names), key=by_number)
        link = reverse(page) + (f"?home={first.home}" if first.home else "")
        when = since_words(first.day, day)
        words = TOLD_TOGETHER[kind](names)
        yield TodayRow(words, link, str(action), first.at or first.label, when)
