"""What other pages say of open traces: that something there is suspected, and where to read on."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _

from habitats.animals.models.groups import Group, Membership
from habitats.common.written import written
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.traces.models.traces import Trace
from habitats.traces.models.tracing import suspected_now
from habitats.traces.pages.sheet import Sheet, sheet_of
from habitats.wording import listed


class TraceNote(NamedTuple):
    """``suspect`` is told to coordinators only; ``left``: how many actions, None if not counted."""

    trace: Trace
    suspect: str
    suspicion: str
    left: int | None


_ANY_OPEN = written(lambda: Trace.objects.open().values_list("pk")[:1])


def suspect_names(traces: Sequence[Trace]) -> dict[int, str]:
    """By trace, what its suspect is called; a group without a name by its animals. One query."""
    groups = [one.group_id for one in traces if one.group and not one.group.name]
    animals: dict[int | None, list[str]] = defaultdict(list)
    living = Membership.objects.open().filter(group__in=groups).order_by("animal__name")
    for group, name in living.values_list("group", "animal__name"):
        animals[group].append(name)
    return {
        one.pk: listed(animals[one.group_id]) if one.group_id in animals else str(one.suspect)
        for one in traces
    }


def notes_for(person: Person, today: date) -> list[TraceNote]:
    """Open traces: all for a coordinator, for a foster those that met something in the home."""
    if not _ANY_OPEN():
        return []  # as on most days
    found = list(Trace.objects.open().with_suspect().newest_first())
    if person.is_coordinator:
        names = suspect_names(found)
        return [TraceNote(one, names[one.pk], one.suspected.words, None) for one in found]
    if not person.has_role(Person.Role.FOSTER):
        return []
    sheets = ((one, sheet_of(one, person, today)) for one in found)
    return [_own(one, sheet) for one, sheet in sheets if sheet.is_at_home]


def _own(trace: Trace, sheet: Sheet) -> TraceNote:
    return TraceNote(trace, "", trace.suspected.words, sheet.left)


class Suspicions:
    """What open traces say of groups and enclosures, for pages that move a group."""

    def __init__(self, today: date) -> None:
        self.of_thing = suspected_now(today)

    def of_group(self, group: Group, called: str) -> tuple[str, ...]:
        return tuple(
            _(
                "%(group)s met a suspected infection (%(suspicion)s, trace %(code)s). "
                "No animal joins, leaves or moves until a vet has seen them."
            )
            % {"group": called, "suspicion": one.suspected.words, "code": one.code}
            for one in self._of(Thing(ThingKind.GROUP, group.code))
        )

    def of_enclosure(self, enclosure: Enclosure) -> tuple[str, ...]:
        return tuple(
            _(
                "%(enclosure)s met a suspected infection (%(suspicion)s, trace %(code)s). "
                "No animal moves in until it is clean and a vet has agreed."
            )
            % {"enclosure": enclosure, "suspicion": one.suspected.words, "code": one.code}
            for one in self._of(Thing(ThingKind.ENCLOSURE, enclosure.code))
        )

    def _of(self, thing: Thing) -> Iterable[Trace]:
        return self.of_thing.get(thing, ())
