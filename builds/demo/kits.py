"""The demo's kits: one the adopter helps to build, one being packed, one being put up at home.

All invented, as all of the demo.
"""

import uuid
from collections.abc import Callable
from datetime import date, timedelta

from django.utils import timezone

from builds.building.models.intake import take
from builds.kits.models.at_home import AtHome
from builds.kits.models.follow_ups import suggested_days
from builds.kits.models.handing_over import Receipt, hand_over_kit
from builds.kits.models.kit_links import USUAL_DAYS, KitLink
from builds.kits.models.kits import Kit, Packing, pack, weigh
from builds.plans.models.builds import Build
from habitats.linens.models.linens import LinenKind
from habitats.measures import METRIC
from habitats.people.models.people import Person

KeyMaker = Callable[..., uuid.UUID]
GRAMS = 16_400
TICKED_AT_HOME = 3


def ticked_by_the_adopter(build: Build, by: Person, today: date, make_key: KeyMaker) -> None:
    """A link with which steps are ticked."""
    _link(build, by, today, make_key, may_tick=True)


def packing(build: Build, by: Person, make_key: KeyMaker) -> None:
    """Half of it is in the box, and of what has spares too little."""
    _settle(build)
    lines = Packing(build).lines
    for line in lines[: len(lines) // 2]:
        _into_the_box(build, line.what, line.count - line.spare, by, make_key)


def gone(build: Build, by: Person, on: date, make_key: KeyMaker) -> None:
    """Packed, weighed, handed over on that day; the adopter has begun to put it up."""
    _settle(build)
    for line in Packing(build).lines:
        _into_the_box(build, line.what, line.to_pack, by, make_key)
    weigh(build, GRAMS, by=by, idempotency_key=make_key(build.name, "weighed"))
    receipt = Receipt(build.adopter, by.full_name, on, build.adopter, is_on_paper=False)
    days = dict(suggested_days(on))
    hand_over_kit(build, receipt, days, by=by, idempotency_key=make_key(build.name, "receipt"))
    link = _link(build, by, on, make_key, may_tick=True)
    for one in AtHome(build, METRIC).steps[:TICKED_AT_HOME]:
        act = {"once": make_key(build.name, one.step.key), "kind": "tick", "step": one.step.key}
        take(by, build, act, timezone.now(), link=link)


def _settle(build: Build) -> None:
    liner = LinenKind.objects.filter(sort="liner").order_by("pk").first()
    Kit.objects.get_or_create(build=build, defaults={"liner_kind": liner})


def _into_the_box(build: Build, what: str, count: int, by: Person, make_key: KeyMaker) -> None:
    pack(build, what, count, by=by, idempotency_key=make_key(build.name, "packed", what))


def _link(build: Build, by: Person, on: date, make_key: KeyMaker, *, may_tick: bool) -> KitLink:
    return KitLink.objects.make(
        build,
        on + timedelta(days=USUAL_DAYS),
        may_tick=may_tick,
        today=on,
        by=by,
        idempotency_key=make_key(build.name, "link"),
    )
