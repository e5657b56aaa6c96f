"""Animals come together and part, and leave the rescue's care.

A group whose last animal has left leaves its enclosure too, so that this stands free again.
"""

import uuid
from collections.abc import Iterable
from datetime import date

from django.db import transaction
from django.dispatch import Signal
from django.utils.translation import gettext as _

from habitats.animals.models.acts import Act, recording
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import leave
from habitats.common.days import in_full
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

# Sent inside the transaction: an animal left our care (``animal``, ``on``, ``why``), or is in it
# again (``animal``).
animal_left, animal_back = Signal(), Signal()


class WrongReason(Elsewhere):
    """It does not leave for this reason; a receiver of ``animal_left`` knows another way."""


def begin_with(
    animals: Iterable[Animal],
    species: str,
    since: date,
    *,
    by: Person,
    name: str = "",
    idempotency_key: uuid.UUID | None = None,
) -> Group:
    """A new group of these animals. The same key again gives the same group.

    Raises ``Elsewhere`` as ``join`` does; then there is no new group.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with recording(Act.Kind.GROUP, since, by=by):
        group = Group.objects.begin(species, by=by, name=name, idempotency_key=idempotency_key)
        for animal in animals:
            join(
                group,
                animal,
                since,
                by=by,
                idempotency_key=uuid.uuid5(idempotency_key, animal.code),
            )
    return group


def join(
    group: Group,
    animal: Animal,
    since: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID | None = None,
) -> Membership:
    """The animal lives in this group from a day on. The same key again changes nothing.

    Raises ``Elsewhere`` with a sentence for an animal that is here already or no longer in care,
    and for days on which it was in another group.
    """
    with recording(Act.Kind.JOIN, since, by=by):
        known = made_before(Membership.objects, idempotency_key) if idempotency_key else None
        if known:
            return known
        left = _group_to_leave(animal, group, since)
        made = group.admit(animal, since, by=by, idempotency_key=idempotency_key)
        if left:
            _clear_if_empty(left, since, by)
    return made


def part(animal: Animal, until: date, *, by: Person) -> Group | None:
    """The animal leaves the group it is in; returns that group, None if it was in none.

    Raises ``Elsewhere`` for a day before it came.
    """
    with recording(Act.Kind.PART, until, by=by):
        membership = animal.memberships.open().select_related("group").first()
        if membership is None:
            return None
        if until < membership.since:
            raise Elsewhere(
                _("%(animal)s joined the group on %(day)s. Enter that day or a later one.")
                % {"animal": animal, "day": in_full(membership.since)}
            )
        membership.end(until, by)
        _clear_if_empty(membership.group, until, by)
    return membership.group


def discharge(animal: Animal, on: date, why: str, *, by: Person) -> None:
    """The animal leaves the rescue's care, and its group.

    Raises ``Elsewhere`` as ``part`` does, and for a day before it came; ``WrongReason`` where this
    reason is recorded elsewhere.
    """
    if on < animal.came_on:
        raise Elsewhere(
            _("%(animal)s came to us on %(day)s. Enter that day or a later one.")
            % {"animal": animal, "day": in_full(animal.came_on)}
        )
    with recording(Act.Kind.DEPARTURE, on, by=by, animal=animal, left_why=why):
        part(animal, on, by=by)
        animal.left_on, animal.left_why = on, why
        animal.save(update_fields=["left_on", "left_why"])
        animal_left.send(Animal, animal=animal, on=on, why=why)


def take_back(animal: Animal, on: date, *, by: Person) -> None:
    """It is in the rescue's care again, in no group yet. One that is here already stays so."""
    with transaction.atomic():
        now = Animal.objects.select_for_update(no_key=True).get(pk=animal.pk)
        animal.left_on, animal.left_why = None, ""
        if now.left_on is None:
            return
        kind, was_on, was_why = Act.Kind.READMISSION, now.left_on, now.left_why
        with recording(kind, on, by=by, animal=animal, left_on=was_on, left_why=was_why):
            animal.save(update_fields=["left_on", "left_why"])
            animal_back.send(Animal, animal=animal)


def _group_to_leave(animal: Animal, group: Group, since: date) -> Group | None:
    if animal.left_on:
        raise Elsewhere(
            _("%(animal)s left on %(day)s. Readmit it first.")
            % {"animal": animal, "day": in_full(animal.left_on)}
        )
    if since < animal.came_on:
        raise Elsewhere(
            _("%(animal)s came to us on %(day)s. Enter that day or a later one.")
            % {"animal": animal, "day": in_full(animal.came_on)}
        )
    current = animal.memberships.open().select_related("group").first()
    if current is None:
        return None
    if current.group_id == group.pk:
        raise Elsewhere(_("%(animal)s lives in this group already.") % {"animal": animal})
    if since < current.since:
        raise Elsewhere(
            _("%(animal)s joined %(group)s on %(day)s. Enter that day or a later one.")
            % {"animal": animal, "group": current.group, "day": in_full(current.since)}
        )
    return current.group


def _clear_if_empty(group: Group, until: date, by: Person) -> None:
    if not group.memberships.open().exists():
        leave(group, until, by=by)
