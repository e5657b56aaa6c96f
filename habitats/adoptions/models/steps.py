"""The steps of an adoption: reserved, visited, on trial, adopted, and its ends.

What they do to groups and enclosures is done by ``joining``, as for every other departure.
"""

import uuid
from collections.abc import Collection, Iterable, Sequence
from datetime import date
from typing import Any, NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import (
    AdoptedAnimal,
    Adoption,
    AdoptionEvent,
    AdoptionState,
    last_day,
)
from habitats.adoptions.models.follow_ups import plan_follow_ups
from habitats.adoptions.models.fulfilled import fulfil, reopen
from habitats.adoptions.models.wishes import Wish
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.joining import begin_with, discharge, take_back
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import leave
from habitats.common.codes import new_code
from habitats.common.days import in_full
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person
from habitats.welfare.new_home import NO_COMPANY, CompanyAtHome

MOST_TOGETHER = 12
OPEN = (AdoptionState.RESERVED, AdoptionState.TRIAL)
NEXT = {
    AdoptionState.TRIAL: OPEN,
    AdoptionState.ADOPTED: OPEN,
    AdoptionState.FELL_THROUGH: OPEN,
    AdoptionState.RETURNED: (AdoptionState.ADOPTED,),
}


class AdoptionStep(NamedTuple):
    """What was done, when and by whom; ``key`` again changes nothing."""

    on: date
    by: Person
    key: uuid.UUID
    note: str = ""


def reserve(
    adopter: Adopter,
    animals: Sequence[Animal],
    step: AdoptionStep,
    *,
    notes: str,
    at_home: CompanyAtHome = NO_COMPANY,
) -> Adoption:
    """The animals are reserved for the adopter, together.

    Raises ``Elsewhere`` for one that is in a running adoption, or in our care no longer.
    """
    with transaction.atomic():
        keys = [one.pk for one in animals]
        locked = _locked(Animal.objects.filter(pk__in=keys))
        known = made_before(Adoption.objects, step.key)
        if known:
            return known
        for animal in locked:
            if not animal.is_here:
                raise Elsewhere(_("%(animal)s is no longer in our care.") % {"animal": animal})
        taken = AdoptedAnimal.objects.open().filter(animal__in=keys).select_related("animal")
        for one in taken:
            raise Elsewhere(
                _("%(animal)s is reserved, on trial or adopted already. End that adoption first.")
                % {"animal": one.animal}
            )
        made = Adoption.objects.create(
            code=new_code(),
            adopter=adopter,
            species=locked[0].species,
            notes=notes,
            **{f"{name}_at_home": number for name, number in at_home._asdict().items()},
            made_by=step.by,
            idempotency_key=step.key,
        )
        AdoptedAnimal.objects.bulk_create(
            [AdoptedAnimal(adoption=made, animal=one) for one in locked]
        )
        _say(made, AdoptionState.RESERVED, step)
    return made


def visit(adoption: Adoption, outcome: str, step: AdoptionStep) -> AdoptionEvent:
    """Somebody looked at the home before the animals go."""
    with transaction.atomic():
        Adoption.objects.select_for_update(no_key=True).get(pk=adoption.pk)
        known = made_before(AdoptionEvent.objects, step.key)
        if known:
            return known
        if adoption.state_now() not in OPEN:
            raise Elsewhere(_("This adoption is no longer open. Open its page again."))
        return adoption.events.create(
            visit=outcome,
            on=step.on,
            note=step.note,
            made_by=step.by,
            idempotency_key=step.key,
        )


def begin_trial(adoption: Adoption, until: date, step: AdoptionStep) -> AdoptionEvent:
    """They live at the adopter's, and are ours until it ends. Said again, it lasts until then."""

    def move(now: AdoptionState) -> None:
        if now == AdoptionState.RESERVED:
            _move_out(list(adoption.open_animals()), step)

    return _take(adoption, AdoptionState.TRIAL, step, move, until=until)


def adopt(
    adoption: Adoption,
    step: AdoptionStep,
    follow_ups: Collection[date],
    fulfils: Iterable[Wish] = (),
) -> AdoptionEvent:
    """They depart, each from its group; and on these days somebody asks how it goes.

    The wishes that it ``fulfils`` are off the waiting list.
    """

    def depart(_now: AdoptionState) -> None:
        for animal in adoption.open_animals().here():
            discharge(animal, step.on, Animal.Leaving.ADOPTED, by=step.by)
        plan_follow_ups(adoption, follow_ups, by=step.by, key=step.key)
        fulfil(fulfils, adoption, step.on, by=step.by, key=step.key)

    return _take(adoption, AdoptionState.ADOPTED, step, depart)


def end(
    adoption: Adoption,
    coming: Collection[Animal],
    step: AdoptionStep,
    *,
    with_quarantine: bool,
    reopens: Iterable[Wish] = (),
) -> AdoptionEvent:
    """It fell through, or these animals were returned; those returned are ours again, in a group.

    The wishes that it ``reopens`` are on the waiting list again.

    Raises ``Elsewhere`` for none, and for one of which it is no longer.
    """
    now = adoption.state_now()
    ends = AdoptionState.RETURNED if now == AdoptionState.ADOPTED else AdoptionState.FELL_THROUGH

    def back(state: AdoptionState) -> None:
        if state != AdoptionState.ADOPTED and len(coming) != adoption.animals.open().count():
            raise Elsewhere(_("The animals of one adoption stay together. Choose all of them."))
        keys = [one.pk for one in coming]
        rows = adoption.animals.open().filter(animal__in=keys)
        if not keys or rows.count() != len(keys):
            raise Elsewhere(_("Choose the animals that come back."))
        rows.update(ended_on=step.on)
        if state == AdoptionState.ADOPTED:
            _readmit(coming, step)
        if with_quarantine and state != AdoptionState.RESERVED:
            _quarantine(adoption, coming, step)
        reopen(reopens, adoption, step.on, by=step.by, key=step.key)

    return _take(adoption, ends, step, back)


def _take(
    adoption: Adoption, state: AdoptionState, step: AdoptionStep, act: Any, **facts: object
) -> AdoptionEvent:
    """Do it once, if it is its turn. Raises ``Elsewhere`` with a sentence where it is not."""
    with transaction.atomic():
        Adoption.objects.select_for_update(no_key=True).get(pk=adoption.pk)
        known = made_before(AdoptionEvent.objects, step.key)
        if known:
            return known
        now = adoption.state_now()
        if now not in NEXT[state]:
            raise Elsewhere(
                _("This adoption is marked “%(state)s”. Open its page again.")
                % {"state": now.label}
            )
        last = last_day(adoption)
        if last and step.on < last:
            raise Elsewhere(
                _("The last entry is of %(day)s. Enter that day or a later one.")
                % {"day": in_full(last)}
            )
        if state == AdoptionState.ADOPTED:
            # Said first: no animal departs as adopted while its adoption is open (``leaving``).
            made = _say(adoption, state, step, **facts)
            act(now)
            return made
        act(now)
        return _say(adoption, state, step, **facts)


def _say(
    adoption: Adoption, state: AdoptionState, step: AdoptionStep, **facts: object
) -> AdoptionEvent:
    return adoption.events.create(
        state=state,
        on=step.on,
        note=step.note,
        made_by=step.by,
        idempotency_key=step.key,
        **facts,
    )


def _move_out(animals: Sequence[Animal], step: AdoptionStep) -> Group:
    """They leave where they live for a home outside: a whole group as it is, else a new one."""
    members = Membership.objects.open().filter(animal__in=animals)
    groups = set(members.values_list("group", flat=True))
    if len(groups) == 1:
        group = Group.objects.get(pk=groups.pop())
        if group.memberships.open().count() == len(animals):
            leave(group, step.on, by=step.by)
            return group
    return begin_with(
        animals,
        animals[0].species,
        step.on,
        by=step.by,
        idempotency_key=uuid.uuid5(step.key, "trial"),
    )


def _locked(animals: AnimalQuerySet) -> list[Animal]:
    """By name, until the end of the transaction. Locked by key, as by all who lock several."""
    keys = list(animals.select_for_update(no_key=True).order_by("pk").values_list("pk", flat=True))
    return list(Animal.objects.filter(pk__in=keys).by_name())


def _readmit(animals: Collection[Animal], step: AdoptionStep) -> None:
    keys = [one.pk for one in animals]
    away = _locked(Animal.objects.gone().filter(pk__in=keys))
    for animal in away:
        take_back(animal, step.on, by=step.by)
    if away:
        begin_with(
            away,
            away[0].species,
            step.on,
            by=step.by,
            idempotency_key=uuid.uuid5(step.key, "returned"),
        )


def _quarantine(adoption: Adoption, animals: Collection[Animal], step: AdoptionStep) -> None:
    """Each for as long as a newcomer, and together: they were together.

    One that is apart until a vet clears it stays so: the last quarantine counts.
    """
    keys = [one.pk for one in animals]
    until_cleared = Quarantine.objects.in_force().filter(
        animal__in=keys, why=Quarantine.Why.ILLNESS, until__isnull=True
    )
    uncleared = set(until_cleared.values_list("animal", flat=True))
    for animal in animals:
        if animal.pk in uncleared:
            continue
        Quarantine.objects.create(
            animal=animal,
            since=step.on,
            why=Quarantine.Why.INTAKE,
            together=adoption.code,
            made_by=step.by,
            idempotency_key=uuid.uuid5(step.key, f"quarantine {animal.code}"),
        )
