"""A litter comes into care: its young live with their mother from the day of birth on."""

import uuid
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.quarantines import Quarantine
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person


class OneOfLitter(NamedTuple):
    """One of a litter. ``sex`` is empty if nobody could tell; ``grams`` None: not weighed."""

    sex: str = ""
    grams: int | None = None


def record_litter(
    mother: Animal,
    on: date,
    young: int,
    *,
    stillborn: int,
    note: str,
    by: Person,
    idempotency_key: uuid.UUID,
) -> Birth:
    """The litter alone, as numbers. The same key again changes nothing."""
    return get_or_make(
        Birth.objects,
        idempotency_key,
        mother=mother,
        on=on,
        young=young,
        stillborn=stillborn,
        note=note,
        made_by=by,
    )


def take_in_young(
    birth: Birth, young: Sequence[OneOfLitter], weighed_on: date, *, by: Person
) -> list[Animal]:
    """A page for each, in the mother's group and quarantine. The same birth again gives the same.

    They are called by their mother and a number until somebody names them. Those that were born
    before their mother came, came with her.
    """
    with transaction.atomic():
        together = _quarantine_shared(birth.mother, birth, by)
        membership = birth.mother.memberships.open().select_related("group").first()
        made = []
        for number, one in enumerate(young, start=1):
            key = uuid.uuid5(birth.idempotency_key, f"young {number}")
            animal = _with_a_page(birth, number, one.sex, key, by)
            if one.grams is not None:
                weighed = uuid.uuid5(key, "weight")
                animal.weigh(one.grams, weighed_on, by=by, idempotency_key=weighed)
            if together:
                _set_apart(animal, together, uuid.uuid5(key, "quarantine"), by)
            if membership:
                since = max(animal.came_on, membership.since)
                membership.group.admit(
                    animal, since, by=by, idempotency_key=uuid.uuid5(key, "group")
                )
            made.append(animal)
    return made


def _with_a_page(birth: Birth, number: int, sex: str, key: uuid.UUID, by: Person) -> Animal:
    mother = birth.mother
    return Animal.objects.take_in(
        by=by,
        idempotency_key=key,
        name=_("%(mother)s %(number)d") % {"mother": mother, "number": number},
        species=mother.species,
        sex=sex,
        born=birth.on,
        came_on=max(birth.on, mother.came_on),
        origin=Animal.Origin.BORN_HERE if birth.on >= mother.came_on else "",
        mother=mother,
    )


def _quarantine_shared(mother: Animal, birth: Birth, by: Person) -> Quarantine | None:
    """The mother's quarantine, with a word that her young can share; None if she is in none."""
    last = mother.quarantines.order_by("-pk").first()
    if last is None or (last.until is not None and last.until <= birth.on):
        return None
    if last.together:
        return last
    word = _("litter of %(mother)s") % {"mother": mother.code}
    return _set_apart(mother, last, uuid.uuid5(birth.idempotency_key, "quarantine"), by, word)


def _set_apart(
    animal: Animal, as_of: Quarantine, key: uuid.UUID, by: Person, word: str = ""
) -> Quarantine:
    return get_or_make(
        Quarantine.objects,
        key,
        animal=animal,
        since=max(as_of.since, animal.came_on),
        until=as_of.until,
        why=as_of.why,
        note=as_of.note,
        together=word or as_of.together,
        made_by=by,
    )
