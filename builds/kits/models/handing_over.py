"""The end of a kit: it goes with the adopter, signed for."""

import uuid
from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from builds.building.models.inspections import Repair
from builds.kits.models.at_home import left_before_packing
from builds.kits.models.follow_ups import plan_follow_ups
from builds.kits.models.kits import Packing
from builds.kits.models.receipts import KitReceipt
from builds.plans.models.builds import NEEDING, Build, BuildState, CannotBuild
from habitats.common.idempotency import made_before
from habitats.measures import METRIC
from habitats.people.models.people import Person
from habitats.stored_wording import all_to_json
from habitats.wording import joined, message

TITLES_TOLD = 3


class Receipt(NamedTuple):
    """What a receipt says, as ``KitReceipt`` keeps it."""

    received_by: str
    handed_by: str
    on: date
    signed: str
    is_on_paper: bool
    note: str = ""

    @property
    def words(self) -> str:
        received = message("Received by %(name)s.", name=self.received_by)
        return joined(" ", [received, self.note]) if self.note else received


def hand_over_kit(
    build: Build,
    facts: Receipt,
    follow_ups: Mapping[int, date | None],
    *,
    by: Person,
    idempotency_key: uuid.UUID,
) -> KitReceipt:
    """The adopter has it, signed; and on these days somebody asks how it goes.

    What is not in the box is written on the receipt. The same key again changes nothing. It need
    not have stood at the rescue: what is cut and bent before a box is packed has to be ticked, and
    what an inspection failed to be mended; the rest is put up and inspected at home.
    Raises ``CannotBuild`` for one of which that is not done, and for no kit.
    """
    with transaction.atomic():
        locked = Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(KitReceipt.objects, idempotency_key)
        if known:
            return known
        if not locked.is_kit:
            raise CannotBuild(
                _("“%(build)s” has no adopter. Edit the build and name one first.")
                % {"build": build}
            )
        if why := not_ready(locked):
            raise CannotBuild(why)
        short = all_to_json(one.words for one in Packing(locked).missing)
        said = uuid.uuid5(idempotency_key, "handed over")
        locked.set_state(
            BuildState.HANDED_OVER, facts.on, by=by, idempotency_key=said, note=facts.words
        )
        made = KitReceipt.objects.create(
            build=locked,
            missing=short,
            made_by=by,
            idempotency_key=idempotency_key,
            **facts._asdict(),
        )
        plan_follow_ups(
            locked, follow_ups, by=by, idempotency_key=uuid.uuid5(idempotency_key, "follow-ups")
        )
    return made


def not_ready(build: Build) -> str:
    """Why the box cannot leave yet; empty where it can."""
    if build.state_now() not in NEEDING:
        return ""
    return _repairs_left(build) or _steps_left(build)


def _repairs_left(build: Build) -> str:
    """It need not stand before it leaves, but nothing leaves that failed and was not mended."""
    repairs = Repair.objects.filter(build=build).open().values_list("what", flat=True)
    if not repairs:
        return ""
    names = "; ".join(str(one).rstrip(".") for one in repairs)
    return _("To mend: %(names)s. Mark it as mended before the box leaves.") % {"names": names}


def _steps_left(build: Build) -> str:
    left = left_before_packing(build, METRIC)
    if not left:
        return ""
    words = {"titles": ", ".join(left[:TITLES_TOLD]), "more": len(left) - TITLES_TOLD}
    if len(left) > TITLES_TOLD:
        return (
            _("Not ticked yet: %(titles)s, and %(more)d more. Do this before the box leaves.")
            % words
        )
    return _("Not ticked yet: %(titles)s. Do this before the box leaves.") % words
