"""Kits for tests: packed, handed over, with a link, as far as asked."""

import uuid
from datetime import date, timedelta

from django.utils import timezone

from builds.kits.models.at_home import AtHome
from builds.kits.models.follow_ups import suggested_days
from builds.kits.models.handing_over import Receipt, hand_over_kit
from builds.kits.models.kit_links import KitLink
from builds.kits.models.kits import Packing
from tests.support.builds import DAY, make_build, planner

RECEIPT = Receipt("Ada Quill", "Cora Lind", DAY, "Ada Quill", is_on_paper=False)


def make_kit(name="Kit for Ada", *, state="inspected", adopter="Ada", **facts):
    """A kit in this state; one that is handed over has its receipt and its follow-ups."""
    if state != "handed over":
        return make_build(name, state=state, adopter=adopter, **facts)
    build = make_build(name, state="inspected", adopter=adopter, **facts)
    hand_over(build)
    return build


def hand_over(build, on=DAY, receipt=RECEIPT, once=None):
    return hand_over_kit(
        build,
        receipt._replace(on=on),
        suggested_days(on),
        by=planner(),
        idempotency_key=once or uuid.uuid4(),
    )


def home_steps(build):
    """The steps that are left to do with its box, in their order."""
    return [one.step for one in AtHome(build, "metric").steps]


def pack_all(build, but=()):
    """All of it in the box, but these lines."""
    for line in Packing(build).lines:
        if line.what not in but:
            build.kit_ticks.create(what=line.what, count=line.to_pack, made_by=planner())


def make_link(build=None, *, days=30, may_tick=True, today: date | None = None, **facts):
    """A link that is good for so many days from now."""
    build = build or make_kit(state="building", **facts)
    today = today or timezone.localdate()
    return KitLink.objects.make(
        build, today + timedelta(days=days), may_tick=may_tick, today=today, by=planner()
    )
