"""A trace as a sheet to work through: home by home, what was met, and what to do about it.

Who sees which part: coordinators all; fosters what is in their own homes; laundry volunteers the
linens. How things were met names other homes' animals, so only coordinators are told.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from habitats.common.days import in_full
from habitats.homes.models.homes import Home
from habitats.linens.models.linens import Linen
from habitats.people.models.people import Person
from habitats.rotation.states import State
from habitats.rotation.trace import Contact, HomeMet, Neighbour, TraceResult
from habitats.rotation.trace_actions import (
    Action,
    Verb,
    actions_for,
    in_no_group,
    of_animal,
    of_home,
    of_neighbour,
)
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.rotation.trace_words import days_words, how_words
from habitats.traces.models.traces import Trace, TraceTick
from habitats.traces.models.tracing import at_hand, trace_contacts
from habitats.traces.pages.names import TraceNames
from habitats.wording import joined

FOSTER, LAUNDRY = Person.Role.FOSTER, Person.Role.LAUNDRY
_STEPS = (gettext_lazy("Suspect"), gettext_lazy("Direct contact"))
_WHERE_IT_IS = {
    State.SET_ASIDE: gettext_lazy("set aside"),
    State.WASHING: gettext_lazy("in the wash: set it aside when it comes out"),
    State.DRYING: gettext_lazy("drying: set it aside when it is dry"),
    State.DRY: gettext_lazy("dry: set it aside"),
    State.RETIRED: gettext_lazy("retired"),
    State.LOST: gettext_lazy("lost: set it aside if you find it"),
}


class ActionBox(NamedTuple):
    """An action with its box. ``tick``: who did it and when.

    ``known_words``: that it is done, as is known without a tick; empty if it is not.
    """

    action: Action
    tick: TraceTick | None
    known_words: str

    @property
    def is_done(self) -> bool:
        return bool(self.tick or self.known_words)

    @property
    def anchor(self) -> str:
        return self.action.key.replace(" ", "-")


class TraceLine(NamedTuple):
    """One thing. ``steps`` from the suspect, None: it met nothing, but stands in one home with it;
    ``how``: by which way (empty for those not told)."""

    thing: Thing
    name: str
    code: str
    address: str
    steps: int | None
    days: str
    how: str
    state: str
    boxes: tuple[ActionBox, ...]

    @property
    def is_suspect(self) -> bool:
        return self.steps == 0

    @property
    def is_near(self) -> bool:
        return self.steps is None

    @property
    def met(self) -> str:
        """How near it came."""
        return _("Same home") if self.steps is None else _met_words(self.steps)


class TraceSection(NamedTuple):
    """``key`` names the place; ``boxes`` are about the place itself."""

    key: tuple[str, int]
    title: str
    intro: str
    boxes: tuple[ActionBox, ...]
    lines: tuple[TraceLine, ...]

    @property
    def all_boxes(self) -> list[ActionBox]:
        return [*self.boxes, *(box for line in self.lines for box in line.boxes)]


@dataclass(frozen=True, slots=True)
class Sheet:
    """``at_rest`` and ``in_use``: linens that can be set aside now."""

    sections: tuple[TraceSection, ...]
    at_rest: tuple[Linen, ...]
    in_use: tuple[Linen, ...]

    @property
    def boxes(self) -> list[ActionBox]:
        return [box for section in self.sections for box in section.all_boxes]

    @property
    def left(self) -> int:
        return sum(not box.is_done for box in self.boxes)

    @property
    def is_at_home(self) -> bool:
        return any(one.key[0] == "home" for one in self.sections)

    @property
    def done(self) -> int:
        return sum(box.is_done for box in self.boxes)

    def box(self, key: str) -> ActionBox | None:
        return next((box for box in self.boxes if box.action.key == key), None)


def sheet_of(trace: Trace, person: Person, today: date) -> Sheet:
    """The trace as the person sees it, as of that day; the same few queries for any size."""
    found, facts = trace_contacts(trace, today)
    names = TraceNames.of(found, today)
    drawn = _Drawn(trace, found, names, trace.ticked(), tells=person.is_coordinator)
    strays = in_no_group(found, facts.livings, today)
    sections = _seen_by(person, list(drawn.sections(strays)))
    carrying = [names.linens[one.thing.key] for one in found.of(ThingKind.LINEN) if one.washes]
    free = at_hand(carrying)
    return Sheet(
        tuple(sections),
        tuple(one for one in free if one.state != State.IN_USE),
        tuple(one for one in free if one.state == State.IN_USE),
    )


def _seen_by(person: Person, sections: list[TraceSection]) -> Iterable[TraceSection]:
    if person.is_coordinator:
        return sections
    own = {("home", key) for key in Home.objects.cared_for_by(person).values_list("pk", flat=True)}
    homes = [one for one in sections if one.key in own]
    # Who reads it need not be told of it.
    seen = [one._replace(boxes=()) for one in homes]
    if person.has_role(Person.Role.LAUNDRY):
        seen += _linens_of(one for one in sections if one.key not in own)
    return seen


def _linens_of(sections: Iterable[TraceSection]) -> Iterator[TraceSection]:
    """The linens alone: those in enclosures in one part, and pool by pool."""
    lying: list[TraceLine] = []
    pools: list[TraceSection] = []
    for section in sections:
        linens = [line for line in section.lines if line.thing.sort is ThingKind.LINEN]
        if section.key[0] == "pool":
            pools.append(section)
        else:
            lying += linens
    yield from pools
    if lying:
        yield TraceSection(("lying", 0), _("In enclosures"), "", (), tuple(lying))


class _Drawn:
    """What is traced, put into words and places."""

    def __init__(
        self,
        trace: Trace,
        found: TraceResult,
        names: TraceNames,
        ticked: dict[str, TraceTick],
        *,
        tells: bool,
    ) -> None:
        self.trace, self.found, self.names = trace, found, names
        self.ticked, self.tells = ticked, tells

    def sections(self, strays: Sequence[Contact]) -> Iterator[TraceSection]:
        """Homes by the day they were met, then pools, then what is nowhere."""
        by_place: dict[tuple[str, int], list[TraceLine]] = {}
        for contact in self.found.contacts:
            if contact.thing.sort is not ThingKind.ANIMAL:
                place = self.names.place_of(contact.thing)
                by_place.setdefault(place, []).append(self._line(contact))
        for home in self.found.homes:
            key = self.names.home_key(home.home)
            near = [self._neighbour(one) for one in self.found.neighbours if one.home == home.home]
            lines = sorted(by_place.pop(key, []), key=_order)
            yield self._home(home, key, [*lines, *near])
        nowhere = by_place.pop(self.names.NOWHERE, [])
        for key in sorted(by_place, key=self.names.title):
            lines = sorted(by_place[key], key=_order)
            yield TraceSection(key, self.names.title(key), "", (), tuple(lines))
        if nowhere or strays:
            lines = [*sorted(nowhere, key=_order), *map(self._stray, strays)]
            yield TraceSection(self.names.NOWHERE, _("In no home"), "", (), tuple(lines))

    def _home(
        self, home: HomeMet, key: tuple[str, int], lines: Sequence[TraceLine]
    ) -> TraceSection:
        intro = _("First contact on %(day)s.") % {"day": in_full(home.first)}
        return TraceSection(
            key, self.names.title(key), intro, (self._box(of_home(home)),), tuple(lines)
        )

    def _line(self, contact: Contact) -> TraceLine:
        thing = contact.thing
        actions = actions_for(contact, self.trace.suspected)
        return TraceLine(
            thing=thing,
            name=self.names.of_thing[thing],
            code=self._code(thing),
            address=self.names.address(thing),
            steps=contact.steps,
            days=self._days(contact),
            how=how_words(contact, self.names.of_thing) if self.tells else "",
            state=self._state(contact),
            boxes=tuple(self._box(action) for action in actions),
        )

    def _days(self, contact: Contact) -> str:
        """The days on which it met what is nearer to the suspect, as far as they differ."""
        if not contact.meetings:
            return _("since %(day)s") % {"day": in_full(contact.first)}
        days = dict.fromkeys((one.first, one.last) for one in contact.meetings)
        return joined("; ", [days_words(*one) for one in days])

    def _state(self, contact: Contact) -> str:
        thing = contact.thing
        if thing.sort is ThingKind.ENCLOSURE:
            return ""
        if thing.sort is ThingKind.GROUP:
            return self.names.where_group(thing.key)
        linen = self.names.linens[thing.key]
        if contact.washes == 0 and contact.free_on:
            day = in_full(contact.free_on)
            return _("released: washed hot and long enough by %(day)s") % {"day": day}
        told = _WHERE_IT_IS.get(State(linen.state))
        return str(told) if told else self.names.where_linen(linen)

    def _code(self, thing: Thing) -> str:
        return "" if thing.sort is ThingKind.LINEN else thing.key

    def _neighbour(self, one: Neighbour) -> TraceLine:
        thing = Thing(ThingKind.ENCLOSURE, one.enclosure)
        return TraceLine(
            thing,
            self.names.of_thing[thing],
            one.enclosure,
            self.names.address(thing),
            None,
            days_words(one.first, one.last),
            "",
            "",
            (self._box(of_neighbour(one)),),
        )

    def _stray(self, contact: Contact) -> TraceLine:
        thing = contact.thing
        return TraceLine(
            thing,
            self.names.of_thing[thing],
            thing.key,
            self.names.address(thing),
            contact.steps,
            self._days(contact),
            how_words(contact, self.names.of_thing),
            _("lives in no group"),
            (self._box(of_animal(contact)),),
        )

    def _box(self, action: Action) -> ActionBox:
        return ActionBox(action, self.ticked.get(action.key), self._known_words(action))

    def _known_words(self, action: Action) -> str:
        """What the linen's own history says of the action; empty if it is still to be done."""
        if action.verb is not Verb.SET_ASIDE:
            return ""
        linen = self.names.linens[action.key.rpartition(" ")[2]]
        return _("It is set aside.") if linen.suspicion else ""


def _met_words(steps: int) -> str:
    if steps < len(_STEPS):
        return str(_STEPS[steps])
    between = steps - 1
    words = ngettext(
        "Contact through %(count)d other contact",
        "Contact through %(count)d other contacts",
        between,
    )
    return words % {"count": between}


_SORTS = (ThingKind.ENCLOSURE, ThingKind.GROUP, ThingKind.LINEN)


def _order(line: TraceLine) -> tuple[bool, int, str]:
    """The suspect first, then sort by sort."""
    return not line.is_suspect, _SORTS.index(line.thing.sort), line.name
