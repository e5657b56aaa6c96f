"""What has happened to an enclosure: where it stood, who lived in it, states, checks, faults."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.animals.models.acts import ActPart
from habitats.animals.models.groups import Membership
from habitats.animals.models.stays import Stay
from habitats.common import days
from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.enclosures.models.parts import ComponentCheck
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import Fault, FaultMended
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.upkeep.urgency import FaultUrgency
from habitats.wording import by_number, listed

MOST_SHOWN = 100


class HistoryEntry(NamedTuple):
    """``until`` None: one day, or not over yet."""

    day: date
    until: date | None
    kind: str
    words: str
    by: str


def history_of(enclosure: Enclosure, reader: Person, *, sees_animals: bool) -> list[HistoryEntry]:
    """The latest first. Who does not see animals is told nothing of groups; nobody but a
    coordinator is told of other people's homes.
    """
    entries = [
        *_standings(enclosure, reader),
        *_states(enclosure, reader),
        *_checks(enclosure, reader),
    ]
    entries += [*_faults(enclosure, reader), *_safety_checks(enclosure, reader)]
    if sees_animals:
        entries += _stays(enclosure, reader)
    return sorted(entries, key=lambda one: one.day, reverse=True)[:MOST_SHOWN]


def _standings(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    rows = _STANDINGS(enclosure=enclosure)
    own = {one.home_id for one in rows}
    if not reader.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER):
        visible = Home.objects.visible_to(reader)
        own = set(visible.filter(pk__in=own).values_list("pk", flat=True))
    return [
        HistoryEntry(
            one.since,
            one.until,
            _("Location"),
            _("in %(home)s") % {"home": one.home} if one.home_id in own else _("in another home"),
            one.made_by.name_for(reader),
        )
        for one in rows
    ]


def _stays(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    rows = _STAYS(enclosure=enclosure)
    members: dict[int, list[_Member]] = defaultdict(list)
    groups = {one.group_id for one in rows}
    for group, animal, since, until in _MEMBERS(groups=groups) if rows else ():
        members[group].append(_Member(animal, since, until))
    return [
        HistoryEntry(
            one.since,
            one.until,
            _("Residents"),
            _who(one, members[one.group_id]),
            one.made_by.name_for(reader),
        )
        for one in rows
    ]


class _Member(NamedTuple):
    animal: str
    since: date
    until: date | None


def _who(stay: Stay, members: Iterable[_Member]) -> str:
    """Animals that were in the group while it stayed, by name."""
    names = {
        one.animal
        for one in members
        if (stay.until is None or one.since < stay.until)
        and (one.until is None or one.until > stay.since)
    }
    return str(listed(sorted(names, key=by_number))) if names else str(stay.group)


def _states(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    return [
        HistoryEntry(
            one.on,
            None,
            _("State"),
            _with_note(_state_words(one), one.note),
            one.made_by.name_for(reader),
        )
        for one in _STATES(enclosure=enclosure)
    ]


def _state_words(event: EnclosureEvent) -> str:
    """With the time of day of the work that it is the end of, where that was told."""
    told = {"state": event.get_state_display()}
    for name, moment in (("begun", event.begun_at), ("ended", event.ended_at)):
        told[name] = days.time_of(moment) if moment else ""
    if told["begun"]:
        return _("%(state)s (work from %(begun)s to %(ended)s)") % told
    return _("%(state)s (at %(ended)s)") % told if told["ended"] else told["state"]


def _checks(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    return [
        HistoryEntry(
            one.on,
            None,
            _("Safety check"),
            _with_note(
                f"{one.component.get_kind_display()}: {one.get_condition_display()}", one.note
            ),
            one.made_by.name_for(reader),
        )
        for one in _CHECKS(enclosure=enclosure)
    ]


def _faults(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    """Each fault from the day it was seen until it was mended."""
    return [
        HistoryEntry(
            one.on,
            None if one.is_open else one.mended.on,
            _("Fault"),
            _with_note(f"{one}, {FaultUrgency(one.urgency).in_sentence}", one.note),
            one.made_by.name_for(reader),
        )
        for one in _FAULTS(enclosure=enclosure)
    ] + [
        HistoryEntry(
            one.on,
            None,
            _("Mended"),
            _with_note(str(one.fault), one.note),
            one.made_by.name_for(reader),
        )
        for one in _MENDED(enclosure=enclosure)
    ]


def _safety_checks(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    return [
        HistoryEntry(one.on, None, _("Safety check"), _found(one), one.made_by.name_for(reader))
        for one in _SAFETY_CHECKS(enclosure=enclosure)
    ]


def _found(check: SafetyCheck) -> str:
    points = len(check.answers)
    if not check.failed:
        return ngettext("%(number)d point, all good", "%(number)d points, all good", points) % {
            "number": points
        }
    return ngettext(
        "%(number)d point, %(failed)d not good", "%(number)d points, %(failed)d not good", points
    ) % {"number": points, "failed": check.failed}


def _with_note(words: str, note: str) -> str:
    return f"{words}: {note}" if note else words


_ENCLOSURE = given("enclosure", Enclosure)
_STANDINGS = written(
    lambda: (
        Standing.objects.filter(enclosure=_ENCLOSURE)
        .exclude(pk__in=ActPart.undone_spans("standing"))
        .select_related("home", "made_by")
        .newest_first()[:MOST_SHOWN]
    )
)
_STAYS = written(
    lambda: (
        Stay.objects.filter(enclosure=_ENCLOSURE)
        .exclude(pk__in=ActPart.undone_spans("stay"))
        .select_related("group", "made_by")
        .newest_first()[:MOST_SHOWN]
    )
)
_MEMBERS = written(
    lambda: Membership.objects.filter(group__in=given_keys("groups")).values_list(
        "group", "animal__name", "since", "until"
    )
)
_STATES = written(
    lambda: (
        EnclosureEvent.objects.filter(enclosure=_ENCLOSURE)
        .exclude(act_parts__act__undone__isnull=False)
        .select_related("made_by")
        .order_by("-pk")[:MOST_SHOWN]
    )
)
_CHECKS = written(
    lambda: (
        ComponentCheck.objects.filter(component__enclosure=_ENCLOSURE)
        .select_related("component", "made_by")
        .order_by("-pk")[:MOST_SHOWN]
    )
)
_FAULTS = written(
    lambda: (
        Fault.objects.filter(enclosure=_ENCLOSURE)
        .select_related("made_by", "mended")
        .order_by("-pk")[:MOST_SHOWN]
    )
)
_MENDED = written(
    lambda: (
        FaultMended.objects.filter(fault__enclosure=_ENCLOSURE)
        .select_related("fault", "made_by")
        .order_by("-pk")[:MOST_SHOWN]
    )
)
_SAFETY_CHECKS = written(
    lambda: (
        SafetyCheck.objects.filter(enclosure=_ENCLOSURE)
        .select_related("made_by")
        .order_by("-pk")[:MOST_SHOWN]
    )
)
