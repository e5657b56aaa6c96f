"""What needs action now in enclosures: unsafe, to be separated, losing weight, too small."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from habitats.board.pages.day_words import since_words, until_words
from habitats.board.pages.parts import DUE, MOST_ROWS, NOW, TodayPart, TodayRow, total_of
from habitats.faults.models.faults import Fault, FaultQuerySet
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import CHANGE, SAFETY_CHECK, DueRow, DueRowQuerySet
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.readings.pages import space_result, who
from habitats.upkeep.urgency import OUT_OF_REACH
from habitats.welfare.ahead import BEFORE_LITTER, DueKind
from habitats.welfare.weights import ON_FALL
from habitats.wording import listed

FIRST_NOW = 6
# These are told among what needs action now, in an order of their own, or can wait.
NOT_JUST_DUE = (
    DueKind.PART,
    DueKind.WEIGHT_FELL,
    DueKind.OUTGROWN,
    DueKind.WEIGH,
    SAFETY_CHECK,
    CHANGE,
)


def needs_action(
    person: Person, day: date, readings: ReadingQuerySet, dues: DueRowQuerySet
) -> TodayPart:
    """In the order in which things matter; of each kind so many as fit."""
    wrong = readings.filter(urgency=Urgency.WRONG)
    now = dues.filter(day__lte=day)
    part, fell = (now.filter(kind=one) for one in (DueKind.PART, DueKind.WEIGHT_FELL))
    unsafe = Fault.objects.open().unsafe().filter(enclosure__reading__in=wrong)
    told_apart = part.values("enclosure")
    blocked = wrong.filter(blocks__gt=0).exclude(enclosure__in=told_apart)
    # Floor enough, and yet not passed: that is company, which the blocks tell better.
    small = wrong.filter(passes=False).exclude(blocks__gt=0, lacking_mm2=0)
    in_turn: list[tuple[Iterator[TodayRow], QuerySet[Any]]] = [
        (_unsafe_rows(person, unsafe), unsafe),
        (_part_rows(person, part), part),
        (_blocked_rows(blocked), blocked),
        (_fell_rows(person, fell), fell),
        (_small_rows(person, small), small),
    ]
    rows: list[TodayRow] = []
    total = 0
    for some, found in in_turn:
        # Where enough are told, the others are only counted.
        told = list(some) if len(rows) < MOST_ROWS else []
        total += total_of(told, found) if len(rows) < MOST_ROWS else found.count()
        rows += told
    title = _("Needs action now")
    link = reverse("space") + "?space=short" if person.is_coordinator else ""
    return TodayPart(NOW, title, rows[:MOST_ROWS], total, link, FIRST_NOW)


def just_due(person: Person, day: date, dues: DueRowQuerySet) -> TodayPart:
    """What is due by today and cannot wait: a quarantine that may end, a litter that may come."""
    found = dues.filter(day__lte=day).exclude(kind__in=NOT_JUST_DUE)
    rows = [due_row(person, one, day) for one in _loaded(found)]
    return TodayPart(DUE, _("Due now"), rows, total_of(rows, found), reverse("calendar"))


def due_row(person: Person, row: DueRow, day: date) -> TodayRow:
    """One thing due, with the link to where it is done."""
    link, action = _mended(person, row)
    until = row.until if row.day <= day else None
    when = until_words(until) if until else since_words(row.day, day)
    words, advice = _told(row)
    return TodayRow(words, link, action, where_of(row), when, advice)


def where_of(row: DueRow) -> str:
    """The enclosure and its home, of a row loaded with both."""
    if row.enclosure is None:
        return ""
    return place_words(row.enclosure.label, row.home)


def place_words(enclosure: str, home: Home | None) -> str:
    return f"{enclosure}, {home}" if home else enclosure


def _told(row: DueRow) -> tuple[str, str]:
    """What it is in a few words, and what to do about it where these do not say so."""
    animals = {"animals": str(listed(row.names))}
    match row.kind:
        case DueKind.WEIGHT_FELL:
            return _("%(animals)s lost weight") % animals, str(ON_FALL)
        case DueKind.LITTER_POSSIBLE:
            return _("%(animals)s may have a litter") % animals, str(BEFORE_LITTER)
        case _kind if row.kind == SAFETY_CHECK:
            return _("Safety check"), ""
    return row.sentence, ""


def _mended(person: Person, row: DueRow) -> tuple[str, str]:
    """Where that is done, and what the link to there says."""
    if row.enclosure is not None and row.kind == SAFETY_CHECK:
        return reverse("check_enclosure", args=[row.enclosure.code]), _("Check")
    if not row.animals:
        return "", ""
    code = row.animals[0][0]
    if row.kind in (DueKind.WEIGH, DueKind.WEIGHT_FELL):
        return reverse("weigh_animal", args=[code]), _("Weigh")
    if person.is_coordinator and row.kind == DueKind.QUARANTINE_ENDS:
        return reverse("quarantine", args=[code]), _("Quarantine")
    if person.is_coordinator and row.kind == DueKind.LITTER_POSSIBLE:
        return reverse("birth", args=[code]), _("Record litter")
    if row.kind == DueKind.PART and row.enclosure is not None:
        return reverse("enclosure", args=[row.enclosure.code]), _("Separate")
    return reverse("animal", args=[code]), pgettext("a page", "Open")


def _unsafe_rows(person: Person, faults: FaultQuerySet) -> Iterator[TodayRow]:
    found = faults.select_related("enclosure__reading__home").order_by("on", "pk")
    for fault in found[:MOST_ROWS]:
        reading = fault.enclosure.reading
        yield TodayRow(
            _("Unsafe: %(fault)s") % {"fault": fault},
            reverse("fault", args=[fault.pk]),
            _("Mend"),
            _where(reading, fault.enclosure.label, who(reading)),
            advice=str(OUT_OF_REACH) if reading.animals else "",
            is_wrong=True,
        )


def _part_rows(person: Person, rows: DueRowQuerySet) -> Iterator[TodayRow]:
    for row in _loaded(rows):
        link, action = _mended(person, row)
        yield TodayRow(row.sentence, link, action, where_of(row), is_wrong=True)


def _blocked_rows(readings: ReadingQuerySet) -> Iterator[TodayRow]:
    for one in _with_places(readings.order_by("-blocks", "pk")):
        if one.animals > 1:
            words, action = _("Not allowed: %(animals)s kept together"), _("Separate")
        else:
            words, action = _("Not allowed: %(animals)s kept alone"), _("Open group")
        yield TodayRow(
            words % {"animals": who(one)},
            _group_link(one),
            action,
            _where(one, one.enclosure.label),
            is_wrong=True,
        )


def _fell_rows(person: Person, rows: DueRowQuerySet) -> Iterator[TodayRow]:
    for row in _loaded(rows):
        link, action = _mended(person, row)
        words, advice = _told(row)
        yield TodayRow(words, link, action, where_of(row), advice=advice, is_wrong=True)


def _small_rows(person: Person, readings: ReadingQuerySet) -> Iterator[TodayRow]:
    for one in _with_places(readings.order_by("-lacking_mm2", "pk")):
        words = {"space": space_result(one, person.units).words, "animals": who(one)}
        is_moved = person.is_coordinator and one.group is not None
        yield TodayRow(
            _("%(space)s: %(animals)s") % words,
            reverse("move_group", args=[one.group.code])
            if is_moved and one.group
            else reverse("enclosure", args=[one.enclosure.code]),
            _("Move group") if is_moved else pgettext("a page", "Open"),
            _where(one, one.enclosure.label),
            is_wrong=True,
        )


def _group_link(reading: Reading) -> str:
    if reading.group is None:
        return reverse("enclosure", args=[reading.enclosure.code])
    return reverse("group", args=[reading.group.code])


def _where(reading: Reading, label: str, animals: str = "") -> str:
    place = place_words(label, reading.home)
    return f"{place}: {animals}" if animals else place


def _with_places(readings: ReadingQuerySet) -> ReadingQuerySet:
    shown = readings.select_related("home", "enclosure", "group")
    return shown.defer("floors", "enclosure__notes", "home__notes")[:MOST_ROWS]


def _loaded(rows: DueRowQuerySet) -> DueRowQuerySet:
    return rows.by_day().select_related("enclosure", "home")[:MOST_ROWS]
