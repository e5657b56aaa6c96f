"""Groups and animals that became one group."""

import uuid
from collections.abc import Sequence
from datetime import date

from django.db.models import Q

from builds.placing.models.carrying_out import MovedSince
from builds.placing.models.case_today import RescueToday
from habitats.animals.models.acts import Act, recording
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.home_limits import judged_at_the_door
from habitats.animals.models.joining import join
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person


def was_united(idempotency_key: uuid.UUID) -> bool:
    return made_before(Membership.objects, _first(idempotency_key)) is not None


def unite(
    rescue: RescueToday, refs: Sequence[str], *, by: Person, on: date, idempotency_key: uuid.UUID
) -> Group:
    """All others join the group that lives in an enclosure; then it stays there.

    Animals in no group join one, or begin one. The same key again changes nothing. Raises
    ``Elsewhere``, and ``MovedSince`` where another request was quicker.
    """
    groups = [ref for ref in refs if ref in rescue.groups]
    groups.sort(key=lambda ref: ref not in rescue.lives_in)
    stays = groups[0] if groups else None
    joining = {one.ref for ref in refs if ref != stays for one in rescue.companions[ref]}
    with judged_at_the_door(), recording(Act.Kind.JOIN, on, by=by):
        every = _locked(rescue, refs)
        if known := made_before(Membership.objects, _first(idempotency_key)):
            return known.group
        _refuse_what_changed(rescue, refs)
        animals = [one for one in every if one.code in joining]
        group = (
            rescue.groups[stays]
            if stays
            else Group.objects.begin(animals[0].species, by=by, name="", idempotency_key=None)
        )
        for number, animal in enumerate(animals):
            key = uuid.uuid5(idempotency_key, animal.code) if number else _first(idempotency_key)
            join(group, animal, on, by=by, idempotency_key=key)
    return group


def _locked(rescue: RescueToday, refs: Sequence[str]) -> list[Animal]:
    """All of them, until the end of the transaction."""
    codes = [one.ref for ref in refs for one in rescue.companions[ref]]
    rows = Animal.objects.select_for_update(no_key=True).filter(code__in=codes).order_by("pk")
    return sorted(rows, key=lambda one: one.code)


def _refuse_what_changed(rescue: RescueToday, refs: Sequence[str]) -> None:
    """Each is in its group still, or in none, and nobody else is there."""
    groups = [ref for ref in refs if ref in rescue.groups]
    before = {one.ref: ref for ref in groups for one in rescue.companions[ref]}
    codes = [one.ref for ref in refs for one in rescue.companions[ref]]
    theirs = Q(animal__code__in=codes) | Q(group__code__in=groups)
    now = Membership.objects.open().filter(theirs).values_list("animal__code", "group__code")
    if dict(now) != before:
        raise MovedSince


def _first(idempotency_key: uuid.UUID) -> uuid.UUID:
    return uuid.uuid5(idempotency_key, "first")
