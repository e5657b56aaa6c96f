"""An intake: animals that come on one day, from one place, are written down together."""

import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.joining import begin_with, part
from habitats.animals.models.objections import brought_by, let_be
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import move_in
from habitats.common.days import in_short
from habitats.common.idempotency import get_or_make
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.welfare.objection import Severity

MOST = 30  # more at once is a slip


class Arriving(NamedTuple):
    """One of an intake. ``facts`` are fields of an animal.

    ``enclosure`` None: it moves in nowhere yet. Those with the same are one group.
    """

    facts: Mapping[str, Any]
    grams: int | None = None
    photo: bytes | None = None
    enclosure: Enclosure | None = None


class SharedDays(NamedTuple):
    """All stayed together with us, from the day they came until this one; None: they still are.

    ``enclosure`` None: in no enclosure of ours.
    """

    until: date | None
    enclosure: Enclosure | None


class Intake(NamedTuple):
    """``reason``: why company is let be in spite of what speaks against it; empty if nothing does.

    ``together``: all came from one place where they lived together, so that none of them is
    isolated from the others; else those in one enclosure are not. ``shared``: males and females
    among them were separated later than that.
    """

    on: date
    weighed_on: date
    arriving: Sequence[Arriving]
    is_apart: bool
    together: bool = False
    reason: str = ""
    confirmed: bool = False
    shared: SharedDays | None = None


def take_in(intake: Intake, *, by: Person, idempotency_key: uuid.UUID) -> list[Animal]:
    """All of them, or none: weighed, isolated, each group in its enclosure.

    The same key again gives the same animals. Raises ``Elsewhere`` with a sentence for an enclosure
    that cannot take a group.
    """
    with transaction.atomic():
        made = [
            _with_a_page(one, uuid.uuid5(idempotency_key, f"animal {number}"), intake, by)
            for number, one in enumerate(intake.arriving, start=1)
        ]
        housed = _housed(zip(intake.arriving, made, strict=True))
        if intake.is_apart:
            _set_apart(made, housed.values(), intake, by)
        if intake.shared:
            _as_they_came(made, intake, intake.shared, by, idempotency_key)
        for enclosure, animals in housed.items():
            is_all = intake.shared is not None and len(animals) == len(made)
            key = uuid.uuid5(idempotency_key, enclosure.code)
            _move_in(enclosure, animals, intake, by, key, as_they_came=is_all)
        _part_the_others(intake, made, housed.values(), by)
    for one, animal in zip(intake.arriving, made, strict=True):
        if one.photo and not animal.photo:
            animal.keep_photo(one.photo)
    return made


def _with_a_page(one: Arriving, key: uuid.UUID, intake: Intake, by: Person) -> Animal:
    animal = Animal.objects.take_in(by=by, idempotency_key=key, came_on=intake.on, **one.facts)
    if one.grams is not None:
        weighed = uuid.uuid5(key, "weighing")
        animal.weigh(one.grams, intake.weighed_on, by=by, idempotency_key=weighed)
    return animal


def _housed(pairs: Iterable[tuple[Arriving, Animal]]) -> dict[Enclosure, list[Animal]]:
    found: dict[Enclosure, list[Animal]] = defaultdict(list)
    for one, animal in pairs:
        if one.enclosure:
            found[one.enclosure].append(animal)
    return found


def _set_apart(
    made: Sequence[Animal], housed: Iterable[Sequence[Animal]], intake: Intake, by: Person
) -> None:
    """Each animal in a quarantine, with a word that those who share it have in common."""
    shared = [made] if intake.together else list(housed)
    words = {one.pk: _word(some[0], intake.on) for some in shared for one in some}
    for animal in made:
        get_or_make(
            Quarantine.objects,
            uuid.uuid5(animal.idempotency_key, "quarantine"),
            animal=animal,
            since=intake.on,
            together=words.get(animal.pk, ""),
            note=note_of(len(made)),
            made_by=by,
        )


def note_of(number: int) -> str:
    """Of a quarantine: why one is alone who came alone."""
    return _("came alone") if number == 1 else ""


def _word(first: Animal, on: date) -> str:
    return _("intake of %(day)s, %(code)s") % {"day": in_short(on), "code": first.code}


def _as_they_came(
    made: Sequence[Animal], intake: Intake, shared: SharedDays, by: Person, key: uuid.UUID
) -> None:
    """One group of all. Nothing is asked of it: it is what was, and its warnings follow from it."""
    key = uuid.uuid5(key, "as they came")
    group = begin_with(made, made[0].species, intake.on, by=by, idempotency_key=key)
    if shared.enclosure:
        stay = uuid.uuid5(key, "stay")
        move_in(group, shared.enclosure, intake.on, by=by, idempotency_key=stay)


def _part_the_others(
    intake: Intake, made: Sequence[Animal], housed: Iterable[Sequence[Animal]], by: Person
) -> None:
    """On the day of the separation, those that move in nowhere leave the group of all."""
    if intake.shared is None or intake.shared.until is None:
        return
    placed = {one.pk for some in housed for one in some}
    for animal in made:
        if animal.pk not in placed:
            part(animal, intake.shared.until, by=by)


def _move_in(
    enclosure: Enclosure,
    animals: Sequence[Animal],
    intake: Intake,
    by: Person,
    key: uuid.UUID,
    *,
    as_they_came: bool,
) -> None:
    """As one group, with what speaks against it overridden by the reason that was given.

    ``as_they_came``: all of them, who are a group already; a second one would empty it.
    """
    shared, since = intake.shared, intake.on
    stays = shared is not None and shared.enclosure == enclosure
    if not stays and shared and shared.until:
        since = shared.until
    if stays or as_they_came:
        group = animals[0].memberships.open().get().group
    else:
        group = begin_with(animals, animals[0].species, since, by=by, idempotency_key=key)
    if not stays:
        move_in(group, enclosure, since, by=by, idempotency_key=uuid.uuid5(key, "stay"))
    keys = [one.pk for one in animals]
    for day in {since, intake.weighed_on}:
        companions = companions_of(with_facts(Animal.objects.filter(pk__in=keys), day))
        asks = brought_by((), companions, day, Rescue.ours()).asks
        # What the form did not ask about stays open on the group's page.
        asked = [one for one in asks if intake.confirmed or one.severity is not Severity.BLOCK]
        if intake.reason:
            let_be(group, asked, intake.reason, confirmed=intake.confirmed, by=by)


def taken_in_before(idempotency_key: uuid.UUID | None) -> list[Animal]:
    """Those whom this key brought in already, in their order; none where it is new."""
    if idempotency_key is None:
        return []
    keys = [uuid.uuid5(idempotency_key, f"animal {number}") for number in range(1, MOST + 1)]
    return list(Animal.objects.filter(idempotency_key__in=keys).order_by("pk"))
