"""The hand-over of a build for a home: its enclosure is set up there.

The enclosure is set up here and not before: no enclosure stands anywhere, and no group can be
moved into one, that has not passed its inspection. One that was planned before stands from here on.
"""

import uuid
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from builds.building.models.repair_builds import mend_with
from builds.plans.models.builds import Build, BuildEvent, BuildState, CannotBuild
from habitats.common.happened import Elsewhere
from habitats.common.idempotency import made_before
from habitats.enclosures.models.alterations import alter_enclosure
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.first_built import build_planned
from habitats.enclosures.models.setting_up import set_up, set_up_in
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

LONGEST_LABEL = 60


def hand_over_to_home(
    build: Build,
    home: Home,
    label: str,
    *,
    on: date,
    by: Person,
    idempotency_key: uuid.UUID,
    note: str = "",
) -> BuildEvent:
    """The enclosure stands in the home from that day on, with the parts that its plan names.

    The same key again changes nothing. Raises ``CannotBuild`` for a build that has not passed
    its inspection, and for a kit.
    """
    with transaction.atomic():
        locked = Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(BuildEvent.objects, idempotency_key)
        if known:
            return known
        if locked.is_kit:
            raise CannotBuild(
                _("“%(build)s” is a kit for %(adopter)s, so it is not handed over to a home.")
                % {"build": build, "adopter": build.adopter}
            )
        event = locked.set_state(
            BuildState.HANDED_OVER, on, by=by, idempotency_key=idempotency_key, note=note
        )
        try:
            locked.enclosure = _standing(
                locked, home, label, on=on, by=by, idempotency_key=idempotency_key
            )
        except Elsewhere as reason:
            raise CannotBuild(str(reason)) from reason
        locked.home = home
        locked.save(update_fields=["enclosure", "home"])
    build.enclosure, build.home = locked.enclosure, locked.home
    return event


def _standing(
    build: Build, home: Home, label: str, *, on: date, by: Person, idempotency_key: uuid.UUID
) -> Enclosure:
    """What was built, standing; one that was planned, altered or mended stays the one it is."""
    plan = build.plans.newest_first().select_related("revision")[0]
    if build.enclosure is not None and plan.is_repair:
        mend_with(build, on, by=by, idempotency_key=idempotency_key)
        return build.enclosure
    if build.enclosure is not None and plan.standing_id is None:
        build_planned(
            build.enclosure, plan.revision, home, on, by=by, idempotency_key=idempotency_key
        )
        return build.enclosure
    if build.enclosure is not None:
        alter_enclosure(
            build.enclosure,
            plan.revision,
            on,
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, "alteration"),
        )
        if not build.enclosure.stays.open().exists():
            change_state(
                build.enclosure,
                EnclosureState.STANDING,
                on=on,
                by=by,
                idempotency_key=idempotency_key,
            )
        return build.enclosure
    made = set_up(
        plan.revision,
        label,
        by=by,
        state=EnclosureState.STANDING,
        on=on,
        notes="",
        idempotency_key=idempotency_key,
    )
    set_up_in(made, home, on, by=by, idempotency_key=idempotency_key)
    return made
