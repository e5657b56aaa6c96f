"""Groups and animals that became one group."""

import uuid
from collections.abc import Sequence
from datetime import date

from builds.placing.models.case_today import RescueToday
from habitats.animals.models.acts import Act, recording
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.joining import join
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person


def was_united(idempotency_key: uuid.UUID) -> bool:
    return made_before(Membership.objects, _first(idempotency_key)) is not None


def unite(
    rescue: RescueToday, refs: Sequence[str], *, by: Person, on: date, idempotency_key: uuid.UUID
) -> Group:
    """All others join the group that lives in an enclosure; then it stays there.

    Animals in no group join one, or begin one. Raises ``Elsewhere``.
    """
    groups = [ref for ref in refs if ref in rescue.groups]
    groups.sort(key=lambda ref: ref not in rescue.lives_in)
    stays = groups[0] if groups else None
    joining = [one.ref for ref in refs if ref != stays for one in rescue.companions[ref]]
    animals = list(Animal.objects.filter(code__in=joining).order_by("code"))
    with recording(Act.Kind.JOIN, on, by=by):
        group = (
            rescue.groups[stays]
            if stays
            else Group.objects.begin(animals[0].species, by=by, name="", idempotency_key=None)
        )
        for number, animal in enumerate(animals):
            key = uuid.uuid5(idempotency_key, animal.code) if number else _first(idempotency_key)
            join(group, animal, on, by=by, idempotency_key=key)
    return group


def _first(idempotency_key: uuid.UUID) -> uuid.UUID:
    return uuid.uuid5(idempotency_key, "first")
