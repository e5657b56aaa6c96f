"""What needs action now in enclosures: unsafe, to be separated, losing weight, too small."""

import functools
import operator
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import date
from itertools import chain, islice
from typing import Any, Generic, NamedTuple, TypeVar
from urllib.parse import urlencode

from django.db.models import Case, Count, F, Q, QuerySet, Sum, When, Window
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from habitats.animals.pages.told_once import SaidOfOne, told_once
from habitats.board.pages.day_words import since_words, until_words
from habitats.board.pages.parts import DUE, MOST_ROWS, NOW, TodayPart, TodayRow
from habitats.common.written import given, written
from habitats.faults.models.faults import Fault
from habitats.health.models.dues import ENTRY
from habitats.health.models.entries import EntryKind
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import (
    NAILS,
    RECHECK,
    REPORTED,
    SAFETY_CHECK,
    TEETH,
    VACCINATION,
    DueRow,
)
from habitats.readings.models.first_dues import NO_DUES, DueSlice, FirstDues, ShownDue
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.readings.pages import space_result, who
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.urgency import OUT_OF_REACH
from habitats.welfare.ahead import BEFORE_LITTER, DueKind
from habitats.welfare.reports import FIRST_STEP, ReportKind
from habitats.welfare.weights import ON_FALL
from habitats.wording import by_number, listed

Row = TypeVar("Row")
FIRST_NOW = 6
# These are told among what needs action now, in an order of their own, or can wait.
TOLD_OTHERWISE = (DueKind.PART, DueKind.WEIGHT_FELL, DueKind.OUTGROWN, DueKind.WEIGH)
# What is due by today and cannot wait: a quarantine that may end, a litter, a re-check.
JUST_DUE = (*(one.value for one in DueKind if one not in TOLD_OTHERWISE), RECHECK, VACCINATION)
# Told of all in one enclosure at once, where it is the same.
SAME_FOR_ALL = (
    DueKind.LITTER_POSSIBLE.value,
    DueKind.QUARANTINE_ENDS.value,
    DueKind.SEX_CHECK.value,
)
# By these names the first of them are asked for.
PART_NOW, FELL_NOW, DUE_NOW = "part now", "fell now", "due now"
REPORTED_NOW = "reported now"


def slices_now(day: date) -> dict[str, DueSlice]:
    kinds = {
        PART_NOW: (DueKind.PART.value,),
        REPORTED_NOW: (REPORTED,),
        FELL_NOW: (DueKind.WEIGHT_FELL.value,),
        DUE_NOW: JUST_DUE,
    }
    # More is read of what may be told of many at once.
    most = {DUE_NOW: 3 * MOST_ROWS}
    return {name: DueSlice(some, day, most.get(name, MOST_ROWS)) for name, some in kinds.items()}


def needs_action(person: Person, day: date, dues: Mapping[str, FirstDues]) -> TodayPart:
    """In the order in which things matter; of each kind so many as fit."""
    part, fell, reported = (dues.get(one, NO_DUES) for one in (PART_NOW, FELL_NOW, REPORTED_NOW))
    unsafe = [_Unsafe(*row) for row in _UNSAFE(person, day)]
    against = Against(person, day)
    rows = chain(
        (_told_row(person, one, day) for one in reported.rows),
        map(_unsafe_row, unsafe),
        (_part_row(person, one) for one in part.rows),
        map(_blocked_row, against.blocked),
        (_told_row(person, one, day) for one in fell.rows),
        (_small_row(person, one) for one in against.small),
    )
    first = list(islice(rows, MOST_ROWS))  # the others are not told, so not written
    others = sum(one.number for one in (part, fell, reported, against))
    total = others + (unsafe[0].number if unsafe else 0)
    title = _("Needs action now")
    link = reverse("space") + "?space=short" if person.is_coordinator else ""
    return TodayPart(NOW, title, first, total, link, FIRST_NOW)


def just_due(person: Person, day: date, first: Mapping[str, FirstDues]) -> TodayPart:
    some = first.get(DUE_NOW, NO_DUES)
    rows = due_rows(person, some.rows, day)
    total = some.number - len(some.rows) + len(rows)
    return TodayPart(DUE, _("Due now"), rows[:MOST_ROWS], total, reverse("calendar"))


def due_rows(person: Person, dues: Iterable[ShownDue], day: date) -> list[TodayRow]:
    """A row each; one for all in an enclosure of whom the same is due, such as an intake."""
    found: dict[Hashable, list[ShownDue]] = {}
    for at, one in enumerate(dues):
        alike = (one.kind, one.day, one.until, one.enclosure)
        key = alike if one.kind in SAME_FOR_ALL and len(one.animals) == 1 else at
        found.setdefault(key, []).append(one)
    return [
        due_row(person, some[0], day) if len(some) == 1 else _row_of_all(person, some, day)
        for some in found.values()
    ]


def _row_of_all(person: Person, some: Sequence[ShownDue], day: date) -> TodayRow:
    """What is done differently for each is reached from where they live."""
    animals = sorted((one.animals[0] for one in some), key=lambda one: by_number(one[1]))
    together = some[0]._replace(animals=animals)
    row = due_row(person, together, day)
    if together.kind in (DueKind.LITTER_POSSIBLE, DueKind.SEX_CHECK):
        link = reverse("enclosure", args=[together.enclosure])
        return row._replace(link=link, action=pgettext("a page", "Open"))
    said = (SaidOfOne(one.names[0], one.sentence) for one in some)
    return row._replace(words=" ".join(told_once(said)))


def due_row(person: Person, row: ShownDue, day: date) -> TodayRow:
    """One thing due, with the link to where it is done."""
    link, action = _mended(person, row)
    until = row.until if row.day <= day else None
    when = until_words(until) if until else since_words(row.day, day)
    words, advice = _told(row)
    return TodayRow(words, link, action, where_of(row), when, advice)


def where_of(row: ShownDue) -> str:
    """The enclosure and its home, without its area: a line of a phone has room for as much."""
    return place_words(row.label, row.home_name)


def place_words(enclosure: str, home: Home | str | None) -> str:
    return f"{enclosure}, {home}" if home else enclosure


def _told(row: ShownDue) -> tuple[str, str]:
    """What it is in a few words, and what to do about it where these do not say so."""
    animals = {"animals": str(listed(row.names))}
    match row.kind:
        case DueKind.WEIGHT_FELL:
            return _("%(animals)s lost weight") % animals, str(ON_FALL)
        case DueKind.LITTER_POSSIBLE:
            return _("%(animals)s may have a litter") % animals, str(BEFORE_LITTER)
        case DueKind.SEX_CHECK:
            return _("Check the sex of %(animals)s") % animals, ""
        case _kind if row.kind == REPORTED:
            return row.sentence, str(FIRST_STEP[ReportKind(row.more["kind"])])
        case _kind if row.kind == SAFETY_CHECK:
            return _("Safety check"), ""
    return row.sentence, ""


def _mended(person: Person, row: ShownDue) -> tuple[str, str]:
    """Where that is done, and what the link to there says."""
    if row.enclosure and row.kind == SAFETY_CHECK:
        return reverse("check_enclosure", args=[row.enclosure]), _("Check")
    if not row.animals:
        return "", ""
    code = row.animals[0][0]
    if row.kind in (RECHECK, VACCINATION):
        asked = f"?kind={row.more['kind']}&settles={row.more[ENTRY]}"
        return reverse("new_health_entry", args=[code]) + asked, _("Record")
    if row.kind == REPORTED:
        return _answered(person, code, row)
    if row.kind in (TEETH, NAILS):
        return reverse("routine_checks"), _("Check")
    if row.kind in (DueKind.WEIGH, DueKind.WEIGHT_FELL):
        return reverse("weigh_animal", args=[code]), _("Weigh")
    if person.is_coordinator and row.kind == DueKind.QUARANTINE_ENDS:
        return reverse("quarantine", args=[code]), _("Quarantine")
    if person.is_coordinator and row.kind == DueKind.LITTER_POSSIBLE:
        return reverse("birth", args=[code]), pgettext("in a row", "Record litter")
    if person.is_coordinator and row.kind == DueKind.SEX_CHECK:
        return reverse("edit_animal", args=[code]), pgettext("an animal", "Edit")
    if row.kind == DueKind.PART and row.enclosure:
        return reverse("enclosure", args=[row.enclosure]), _("Separate")
    return reverse("animal", args=[code]), pgettext("a page", "Open")


def _answered(person: Person, code: str, row: ShownDue) -> tuple[str, str]:
    """What a coordinator does about a report; others read what was reported."""
    kind = ReportKind(row.more["kind"])
    if not person.is_coordinator:
        return reverse("health_log", args=[code]), pgettext("a page", "Open")
    if kind is ReportKind.BORN:
        return reverse("birth", args=[code]), pgettext("in a row", "Record litter")
    if kind in (ReportKind.DIED, ReportKind.MISSING):
        asked = urlencode({"why": kind.value, "on": row.day.isoformat()})
        return f"{reverse('leaving', args=[code])}?{asked}", _("Record departure")
    asked = urlencode({"kind": EntryKind.VISIT.value, "settles": row.more[ENTRY]})
    return f"{reverse('new_health_entry', args=[code])}?{asked}", _("Record")


class _Unsafe(NamedTuple):
    """An unsafe fault, with who lives there and where; ``number``: of how many."""

    pk: int
    kind: str
    label: str
    residents: list[tuple[str, str, int]]
    home_name: str | None
    number: int


def _unsafe(readings: ReadingQuerySet) -> QuerySet[Fault, tuple[Any, ...]]:
    found = Fault.objects.open().unsafe().filter(enclosure__reading__in=readings)
    reading = "enclosure__reading"
    facts = ("pk", "kind", "enclosure__label", f"{reading}__residents")
    home = (f"{reading}__home__name",)
    counted = found.annotate(number=Window(Count("pk"))).order_by("on", "pk")
    return counted.values_list(*facts, *home, "number")[:MOST_ROWS]


def _unsafe_row(one: _Unsafe) -> TodayRow:
    place = place_words(one.label, one.home_name)
    animals = str(listed([name for _code, name, _share in one.residents]))
    return TodayRow(
        _("Unsafe: %(fault)s") % {"fault": FaultKind(one.kind).words},
        reverse("fault", args=[one.pk]),
        _("Mend"),
        f"{place}: {animals}" if animals else place,
        advice=str(OUT_OF_REACH) if animals else "",
        is_wrong=True,
    )


class Against:
    """Enclosures against the standard: by company (``blocked``) and by floor (``small``).

    As many as there may be room for, the worst first; ``number`` of both in all.
    """

    def __init__(self, person: Person, day: date) -> None:
        found = _AGAINST(person, day)
        self.number: int = next(iter(_NUMBER_AGAINST(person, day)), 0) if found else 0
        self.blocked = [one for one in found if vars(one)["rank"]]
        by_floor = sorted(found, key=lambda one: (-one.lacking_mm2, one.pk))
        self.small = [one for one in by_floor if _is_small(one)]


def _blocked() -> Q:
    # Who is to be separated now is told as that.
    parting = DueRow.objects.filter(
        kind=DueKind.PART, day__lte=given("day", date), enclosure__isnull=False
    )
    return Q(blocks__gt=0) & ~Q(enclosure__in=parting.values("enclosure"))


# Floor enough, and yet not passed: that is company, which the blocks tell better.
_SMALL = Q(passes=False) & ~Q(blocks__gt=0, lacking_mm2=0)


def _against(wrong: ReadingQuerySet) -> ReadingQuerySet:
    rank = Case(When(_blocked(), then=F("blocks")), default=0)
    ranked = wrong.filter(_blocked() | _SMALL).annotate(rank=rank)
    # Where company does not fill the room, there is room's worth of the others too.
    return _with_places(ranked.order_by("-rank", "-lacking_mm2", "pk")[: 2 * MOST_ROWS])


def _number_against(wrong: ReadingQuerySet) -> QuerySet[Reading, Any]:
    """Asked by itself: a window over all of them would read all that the rows tell."""
    each = (Case(When(one, then=1), default=0) for one in (_blocked(), _SMALL))
    both = Sum(functools.reduce(operator.add, each))
    return wrong.order_by().values("day").annotate(number=both).values_list("number", flat=True)


def _with_places(readings: ReadingQuerySet) -> ReadingQuerySet:
    floor = ("passes", "required_mm2", "counted_mm2", "lacking_mm2", "species")
    places = ("home__name", "home__area", "enclosure__code", "enclosure__label", "group__code")
    shown = readings.select_related("home", "enclosure", "group")
    return shown.only("animals", "residents", "blocks", "state", "unsafe_faults", *floor, *places)


class _SeenBy(Generic[Row]):
    """A question about what is wrong today, written for those who see all, and for homes."""

    def __init__(self, question: Callable[[ReadingQuerySet], QuerySet[Any, Row]]) -> None:
        wrong = functools.partial(
            Reading.objects.filter, day=given("day", date), urgency=Urgency.WRONG
        )
        self._all = written(lambda: question(wrong()))
        self._own = written(lambda: question(wrong(home__people=given("person", Person))))

    def __call__(self, person: Person, day: date) -> list[Row]:
        if person.is_coordinator:
            return self._all(day=day)
        return self._own(day=day, person=person)


_UNSAFE, _AGAINST = _SeenBy(_unsafe), _SeenBy(_against)
_NUMBER_AGAINST = _SeenBy(_number_against)


def _is_small(one: Reading) -> bool:
    return one.passes is False and not (one.blocks and not one.lacking_mm2)


def _part_row(person: Person, row: ShownDue) -> TodayRow:
    link, action = _mended(person, row)
    return TodayRow(row.sentence, link, action, where_of(row), is_wrong=True)


def _blocked_row(one: Reading) -> TodayRow:
    if one.animals > 1:
        words, action = _("Not allowed: %(animals)s kept together"), _("Separate")
    else:
        words, action = _("Not allowed: %(animals)s kept alone"), _("Open group")
    return TodayRow(
        words % {"animals": who(one)},
        _group_link(one),
        action,
        place_words(one.enclosure.label, one.home),
        is_wrong=True,
    )


def _told_row(person: Person, row: ShownDue, day: date) -> TodayRow:
    link, action = _mended(person, row)
    words, advice = _told(row)
    when = since_words(row.day, day) if row.kind == REPORTED else ""
    if row.kind == REPORTED and not person.is_coordinator:
        advice = _("The coordinators see this, too. In doubt, call them or a vet at once.")
    return TodayRow(words, link, action, where_of(row), when, advice, is_wrong=True)


def _small_row(person: Person, one: Reading) -> TodayRow:
    words = {"space": space_result(one, person.units).words, "animals": who(one)}
    is_moved = person.is_coordinator and one.group is not None
    return TodayRow(
        _("%(space)s: %(animals)s") % words,
        reverse("move_group", args=[one.group.code])
        if is_moved and one.group
        else reverse("enclosure", args=[one.enclosure.code]),
        pgettext("in a row", "Move group") if is_moved else pgettext("a page", "Open"),
        place_words(one.enclosure.label, one.home),
        is_wrong=True,
    )


def _group_link(reading: Reading) -> str:
    if reading.group is None:
        return reverse("enclosure", args=[reading.enclosure.code])
    return reverse("group", args=[reading.group.code])
