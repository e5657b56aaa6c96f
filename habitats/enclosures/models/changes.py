"""What becomes of an enclosure: planned, built, standing, in use, to be repaired, retired."""

import uuid
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from habitats.common import days
from habitats.common.happened import Elsewhere, not_ahead
from habitats.common.idempotency import made_before
from habitats.enclosures.models.enclosures import (
    Enclosure,
    EnclosureEvent,
    EnclosureState,
    WorkTimes,
)
from habitats.enclosures.models.living import LIVES_THERE
from habitats.people.models.people import Person

WITH_A_GROUP = (EnclosureState.IN_USE, EnclosureState.NEEDS_REPAIR)
WITHOUT = (
    EnclosureState.PLANNED,
    EnclosureState.BUILDING,
    EnclosureState.STANDING,
    EnclosureState.NEEDS_REPAIR,
    EnclosureState.RETIRED,
)


def states_open_to(enclosure: Enclosure) -> tuple[EnclosureState, ...]:
    """What may be said of it now: an enclosure with a group in it is in use, or needs repair."""
    return WITH_A_GROUP if LIVES_THERE(enclosure=enclosure) else WITHOUT


def change_state(
    enclosure: Enclosure,
    state: EnclosureState,
    *,
    on: date,
    by: Person,
    note: str = "",
    work: WorkTimes | None = None,
    idempotency_key: uuid.UUID | None = None,
) -> EnclosureEvent:
    """Say what state it is in from a day on; one that is retired stands nowhere any more.

    The same key again changes nothing. Raises ``Elsewhere`` with a sentence for a state that
    does not go with a group living there, or without one, and for a day before the last change.
    """
    idempotency_key = idempotency_key or uuid.uuid4()
    with transaction.atomic():
        Enclosure.objects.select_for_update(no_key=True).get(pk=enclosure.pk)
        known = made_before(EnclosureEvent.objects, idempotency_key)
        if known:
            return known
        _refuse_what_does_not_go(enclosure, state)
        _refuse_before_the_last(enclosure, on)
        if state == EnclosureState.RETIRED:
            _take_down(enclosure, on, by)
        return enclosure.set_state(
            state, on=on, by=by, note=note, work=work, idempotency_key=idempotency_key
        )


def _refuse_what_does_not_go(enclosure: Enclosure, state: EnclosureState) -> None:
    stay = enclosure.stays.open().select_related("group").first()
    if stay and state not in WITH_A_GROUP:
        raise Elsewhere(
            _("Animals live there: %(group)s. Move them out before it is marked “%(state)s”.")
            % {"group": stay.group.called(), "state": state.label}
        )
    if stay is None and state not in WITHOUT:
        raise Elsewhere(_("No animals live there. It is marked in use when a group moves in."))


def _refuse_before_the_last(enclosure: Enclosure, on: date) -> None:
    last = not_ahead(enclosure.events.order_by("-pk")).first()
    if last and on < last.on:
        raise Elsewhere(
            _("The last entry, “%(state)s”, is from %(day)s. Enter that day or a later one.")
            % {"state": last.get_state_display(), "day": days.in_full(last.on)}
        )


def _take_down(enclosure: Enclosure, on: date, by: Person) -> None:
    standing = enclosure.standings.open().first()
    if standing is None:
        return
    if on < standing.since:
        raise Elsewhere(
            _("It has stood where it is since %(day)s. Enter that day or a later one.")
            % {"day": days.in_full(standing.since)}
        )
    standing.end(on, by)
