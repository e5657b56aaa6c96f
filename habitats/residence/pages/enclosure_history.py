"""What has happened to an enclosure: where it stood, who lived in it, states, checks, faults."""

from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from habitats.animals.models.acts import ActPart
from habitats.animals.models.stays import Stay
from habitats.common import days
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.enclosures.models.parts import ComponentCheck
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
    standings = enclosure.standings.exclude(pk__in=ActPart.undone_spans("standing"))
    rows = standings.select_related("home", "made_by").newest_first()[:MOST_SHOWN]
    own = set(Home.objects.visible_to(reader).filter(standings__enclosure=enclosure))
    return [
        HistoryEntry(
            one.since,
            one.until,
            _("Location"),
            _("in %(home)s") % {"home": one.home} if one.home in own else _("in another home"),
            one.made_by.name_for(reader),
        )
        for one in rows
    ]


def _stays(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    stays = enclosure.stays.select_related("group", "made_by").newest_first()
    stays = stays.exclude(pk__in=ActPart.undone_spans("stay"))
    rows = stays.prefetch_related("group__memberships__animal")[:MOST_SHOWN]
    return [
        HistoryEntry(one.since, one.until, _("Residents"), _who(one), one.made_by.name_for(reader))
        for one in rows
    ]


def _who(stay: Stay) -> str:
    """Animals that were in the group while it stayed, by name."""
    names = {
        one.animal.name
        for one in stay.group.memberships.all()
        if (stay.until is None or one.since < stay.until)
        and (one.until is None or one.until > stay.since)
    }
    return str(listed(sorted(names, key=by_number))) if names else str(stay.group)


def _states(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    events = enclosure.events.exclude(act_parts__act__undone__isnull=False)
    rows = events.select_related("made_by").order_by("-pk")[:MOST_SHOWN]
    return [
        HistoryEntry(
            one.on,
            None,
            _("State"),
            _with_note(_state_words(one), one.note),
            one.made_by.name_for(reader),
        )
        for one in rows
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
    checks = ComponentCheck.objects.filter(component__enclosure=enclosure)
    rows = checks.select_related("component", "made_by").order_by("-pk")[:MOST_SHOWN]
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
        for one in rows
    ]


def _faults(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    """Each fault from the day it was seen until it was mended."""
    seen = Fault.objects.filter(enclosure=enclosure).select_related("made_by", "mended")
    mended = FaultMended.objects.filter(fault__enclosure=enclosure)
    rows = mended.select_related("fault", "made_by").order_by("-pk")[:MOST_SHOWN]
    return [
        HistoryEntry(
            one.on,
            None if one.is_open else one.mended.on,
            _("Fault"),
            _with_note(f"{one}, {FaultUrgency(one.urgency).in_sentence}", one.note),
            one.made_by.name_for(reader),
        )
        for one in seen.order_by("-pk")[:MOST_SHOWN]
    ] + [
        HistoryEntry(
            one.on,
            None,
            _("Mended"),
            _with_note(str(one.fault), one.note),
            one.made_by.name_for(reader),
        )
        for one in rows
    ]


def _safety_checks(enclosure: Enclosure, reader: Person) -> list[HistoryEntry]:
    rows = enclosure.safety_checks.select_related("made_by").order_by("-pk")[:MOST_SHOWN]
    return [
        HistoryEntry(one.on, None, _("Safety check"), _found(one), one.made_by.name_for(reader))
        for one in rows
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
