"""A new enclosure: from a design, with its parts, and in a home."""

import uuid
from datetime import date

from django.db import transaction
from django.utils import timezone

from habitats.common.codes import new_code
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState, stands_as
from habitats.enclosures.models.parts import Component, components_of
from habitats.enclosures.models.standing import stand
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person


def set_up(
    revision: DesignRevision,
    label: str,
    *,
    by: Person,
    state: str = EnclosureState.PLANNED,
    on: date | None = None,
    notes: str = "",
    idempotency_key: uuid.UUID | None = None,
) -> Enclosure:
    """A new enclosure with the components that its design names; says so by ``stands_as``.

    The same key gives the same. Raises ``ValueError`` for a design that cannot be made.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        known = made_before(Enclosure.objects, idempotency_key)
        if known:
            return known
        structure = structure_of(revision.shape())
        if structure is None:
            raise ValueError("This design is a draft and cannot be made yet: finish it first.")
        made = Enclosure.objects.create(
            label=label,
            code=new_code(),
            revision=revision,
            notes=notes,
            idempotency_key=idempotency_key,
            made_by=by,
        )
        day = on or timezone.localdate()
        made.set_state(state, on=day, by=by)
        Component.objects.bulk_create(
            Component(enclosure=made, kind=kind, count=count, fitted_on=on)
            for kind, count in components_of(structure).items()
        )
        stands_as.send(
            Enclosure,
            enclosure=made,
            structure=structure,
            on=day,
            by=by,
            idempotency_key=idempotency_key,
        )
    return made


def set_up_in(
    enclosure: Enclosure, home: Home, since: date, *, by: Person, idempotency_key: uuid.UUID
) -> None:
    """What was set up with this key stands in the home; a second time changes nothing."""
    stand(enclosure, home, since, by=by, idempotency_key=uuid.uuid5(idempotency_key, "standing"))
