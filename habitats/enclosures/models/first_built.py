"""A planned enclosure that is built: it stands, and stays the one that was planned."""

import uuid
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.common.happened import Elsewhere
from habitats.designs.models.designs import DesignRevision
from habitats.enclosures.models.alterations import count_parts
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState, stands_as
from habitats.enclosures.models.standing import stand
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

NOT_BUILT = (EnclosureState.PLANNED, EnclosureState.BUILDING)


def is_not_built(enclosure: Enclosure) -> bool:
    """Whether it does not stand yet."""
    return enclosure.state_now() in NOT_BUILT


def build_planned(
    enclosure: Enclosure,
    revision: DesignRevision,
    home: Home,
    on: date,
    *,
    by: Person,
    idempotency_key: uuid.UUID,
) -> None:
    """From the day on it stands in the home, as this revision, with all its parts fitted new.

    Raises ``Elsewhere`` for one that stands already or is retired, and for a draft.
    """
    with transaction.atomic():
        locked = Enclosure.objects.select_for_update(of=("self",), no_key=True).get(pk=enclosure.pk)
        if not is_not_built(locked):
            raise Elsewhere(
                _(
                    "%(enclosure)s is %(state)s already, so this build cannot make it. Stop this "
                    "build, and plan a new one."
                )
                % {
                    "enclosure": locked,
                    "state": EnclosureState(locked.state_now()).in_a_sentence,
                }
            )
        _take_shape(locked, revision, on, by, idempotency_key)
        there = locked.standings.open().first()
        if there is None or there.home_id != home.pk:
            stand(locked, home, on, by=by, idempotency_key=uuid.uuid5(idempotency_key, "standing"))
        change_state(locked, EnclosureState.STANDING, on=on, by=by, idempotency_key=idempotency_key)
    enclosure.revision = revision


def _take_shape(
    enclosure: Enclosure,
    revision: DesignRevision,
    on: date,
    by: Person,
    idempotency_key: uuid.UUID,
) -> None:
    """Nothing of it stood before, so this is no alteration."""
    enclosure.revision = revision
    structure = enclosure.structure()
    if structure is None:
        raise Elsewhere(_("This design is a draft and cannot be built yet. Finish it first."))
    enclosure.save(update_fields=["revision"])
    count_parts(enclosure, structure, on)
    enclosure.components.update(fitted_on=on)
    stands_as.send(
        Enclosure,
        enclosure=enclosure,
        structure=structure,
        on=on,
        by=by,
        idempotency_key=idempotency_key,
    )
