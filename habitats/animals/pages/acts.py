"""What was done, in words, with the link that undoes it: for histories and the notice after it."""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext as _

from habitats.animals.models.acts import Act, ActPart, ActQuerySet
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group
from habitats.animals.models.undoing import hindrance_to
from habitats.people.models.people import Person
from habitats.wording import by_number, listed

MOST_SHOWN = 12
JUST_NOW = timedelta(minutes=1)


class ActRow(NamedTuple):
    act: Act
    words: str


def act_rows(acts: Iterable[Act]) -> list[ActRow]:
    """The latest first, with a fixed number of queries."""
    return [ActRow(one, act_words(one)) for one in acts]


def last_of(acts: ActQuerySet) -> ActQuerySet:
    """As ``act_rows`` takes them."""
    return acts.latest_first().with_parts()[:MOST_SHOWN]


def act_words(act: Act) -> str:
    """As a line of a history; of an act loaded ``with_parts``."""
    parts = list(act.parts.all())
    values = {
        "animals": _animals(act, parts),
        "group": _group(parts, act.on),
        "enclosure": _enclosure(parts),
        "home": _home(parts),
    }
    return _WORDS[Act.Kind(act.kind)](values, act)


def _intake(values: dict[str, object], act: Act) -> str:
    return _("%(animals)s came to us") % values


def _departure(values: dict[str, object], act: Act) -> str:
    why = Animal.Leaving(act.left_why).label
    return _("%(animals)s left our care: %(why)s") % {**values, "why": why}


def _readmission(values: dict[str, object], act: Act) -> str:
    return _("%(animals)s was readmitted") % values


def _new_group(values: dict[str, object], act: Act) -> str:
    return _("New group: %(animals)s") % values


def _joined(values: dict[str, object], act: Act) -> str:
    return _("%(animals)s joined %(group)s") % values


def _parted(values: dict[str, object], act: Act) -> str:
    return _("%(animals)s left %(group)s") % values


def _moved(values: dict[str, object], act: Act) -> str:
    return _("%(group)s moved into %(enclosure)s") % values


def _left(values: dict[str, object], act: Act) -> str:
    return _("%(group)s moved out of %(enclosure)s") % values


def _stood(values: dict[str, object], act: Act) -> str:
    if not values["home"]:
        return _("%(enclosure)s was taken out of its home") % values
    return _("%(enclosure)s was moved to %(home)s") % values


_WORDS = {
    Act.Kind.INTAKE: _intake,
    Act.Kind.DEPARTURE: _departure,
    Act.Kind.READMISSION: _readmission,
    Act.Kind.GROUP: _new_group,
    Act.Kind.JOIN: _joined,
    Act.Kind.PART: _parted,
    Act.Kind.MOVE: _moved,
    Act.Kind.LEAVE: _left,
    Act.Kind.STAND: _stood,
}


def _animals(act: Act, parts: Sequence[ActPart]) -> str:
    if act.animal is not None:
        return act.animal.name
    names = {one.membership.animal.name for one in parts if one.membership and one.has_begun}
    names = names or {one.membership.animal.name for one in parts if one.membership}
    return str(listed(sorted(names, key=by_number)))


def _group(parts: Iterable[ActPart], day: date) -> object:
    """The group that the act led to, or left: by its name or its animals'."""
    for one in sorted(parts, key=lambda part: not part.has_begun):
        if one.membership:
            return _called(one.membership.group, day, one.membership.animal_id)
    for one in sorted(parts, key=lambda part: not part.has_begun):
        if one.stay:
            return _called(one.stay.group, day)
    return ""


def _called(group: Group, day: date, without: int | None = None) -> str:
    """Its name, or those of its animals that day, less the one that is told of besides."""
    if group.name:
        return group.name
    names = {
        one.animal.name
        for one in group.memberships.all()
        if one.animal_id != without and one.since <= day and (one.until or date.max) > day
    }
    return str(listed(sorted(names, key=by_number))) if names else str(group)


def _enclosure(parts: Sequence[ActPart]) -> object:
    for one in sorted(parts, key=lambda part: not part.has_begun):
        if one.stay:
            return one.stay.enclosure
        if one.standing:
            return one.standing.enclosure
    return ""


def _home(parts: Iterable[ActPart]) -> object:
    return next((one.standing.home for one in parts if one.standing and one.has_begun), None)


def not_undoable(animal: Animal) -> list[str]:
    """Why its intake or its departure has no “Undo”, and what to do instead."""
    noted = set(Act.objects.filter(animal=animal).values_list("kind", flat=True))
    found = []
    if Act.Kind.INTAKE not in noted:
        found.append(
            _(
                "The intake cannot be undone: it was imported, or is older than this list. If the "
                "animal is recorded twice, merge the two records; if it never came, record its "
                "departure."
            )
        )
    if animal.left_on and Act.Kind.DEPARTURE not in noted:
        found.append(
            _(
                "The departure cannot be undone: it was imported, or is older than this list. "
                "Readmit the animal instead."
            )
        )
    return found


def with_undo(words: str, person: Person) -> str:
    """A notice of what this person has just done, and the link that undoes it."""
    recent = Act.objects.standing().filter(made_by=person).latest_first().first()
    if recent is None or abs(timezone.now() - recent.made_at) > JUST_NOW:
        return words
    if hindrance_to(recent) is not None:
        return words
    address = reverse("undo", args=[recent.pk])
    return format_html('{} <a class="target" href="{}">{}</a>', words, address, _("Undo"))
