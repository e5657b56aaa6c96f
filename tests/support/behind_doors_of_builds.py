"""What is behind an address of builds that needs an id, as `behind_doors.py` has it of the others.

For the rows of `tests/house/doors_of_builds.py`, and others that open every page.
"""

import uuid
from collections.abc import Callable
from typing import Any

from django.utils import timezone

from tests.support.behind_doors import home_with_an_enclosure, somebody
from tests.support.doors import COORDINATOR


def drawing(**more: str) -> Callable[[], dict[str, Any]]:
    """The code of a new design, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.designs.models.designs import Design
        from habitats.people.models.people import Person
        from tests.support.designs import make_design

        drawer = Person.objects.create_user("drawer", roles=COORDINATOR)
        return {"code": Design.objects.draw(make_design(), by=drawer).code, **more}

    return make


def cutting(is_cut: bool = False, **more: object) -> Callable[[], dict[str, Any]]:
    """The code of a job that is worked out, or cut, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import cut_up, make_job

        maker = Person.objects.create_user("maker", roles=COORDINATOR)
        job = make_job(maker)
        return {"code": (cut_up(job, maker) if is_cut else job).code, **more}

    return make


def placing_run():
    """The number of a placing that is worked out."""
    from builds.placing.models.asked import PlacingAsked, What
    from builds.placing.models.by_hand import ByHand
    from builds.placing.models.runs import begin_run
    from builds.placing.models.what_if import WhatIf
    from habitats.people.models.people import Person

    maker = Person.objects.create_user("maker", roles=COORDINATOR)
    run, _is_new = begin_run(PlacingAsked(What.PROPOSAL, ByHand(), WhatIf()), "mark", by=maker)
    return {"number": run.pk}


def batching(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a new batch, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from habitats.people.models.people import Person
        from tests.support.sheets import make_batch

        maker = Person.objects.create_user("maker", roles=COORDINATOR)
        return {"code": make_batch(maker).code, **more}

    return make


def built(*, state: str = "building", **more: object) -> Callable[[], dict[str, Any]]:
    """The code of a build that all builders are on, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.builds import make_build

        return {"code": make_build(state=state).code, **more}

    return make


def a_step() -> dict[str, Any]:
    from tests.support.builds import make_build, steps_of

    build = make_build(state="building")
    return {"code": build.code, "key": steps_of(build)[0].key}


def two_cells():
    """A design of two cells: its papers are printed soonest."""
    from habitats.designs.models.designs import Design
    from tests.support.builds import planner
    from tests.support.designs import make_design

    return Design.objects.draw(make_design(["##"]), by=planner())


def a_kit(**more: object) -> Callable[[], dict[str, Any]]:
    """The code of a kit, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.kits import make_kit

        return {"code": make_kit(design=two_cells()).code, **more}

    return make


def a_follow_up() -> dict[str, Any]:
    from tests.support.kits import make_kit

    return {"code": make_kit(state="handed over").code, "number": 1}


def a_kit_link() -> dict[str, Any]:
    from tests.support.kits import make_link

    link = make_link()
    return {"code": link.build.code, "pk": link.pk}


def for_an_adopter(*, has_step: bool = False) -> Callable[[], dict[str, Any]]:
    """The token of a link that is good today, and the key of a step."""

    def make() -> dict[str, Any]:
        from tests.support.builds import steps_of
        from tests.support.kits import make_link

        link = make_link(design=two_cells())
        return {"token": link.token, **({"key": steps_of(link.build)[0].key} if has_step else {})}

    return make


def a_build_day() -> dict[str, Any]:
    from tests.support.builds import make_build, make_build_day

    day = make_build_day(make_build(state="building"))
    return {"code": day.build.code, "pk": day.pk}


def a_panel_report() -> dict[str, Any]:
    from tests.support.builds import make_build, report_panels

    build = make_build(state="building")
    return {"code": build.code, "pk": report_panels(build).pk}


def a_repair() -> dict[str, Any]:
    from tests.support.builds import make_build, make_repair

    build = make_build(state="building")
    return {"code": build.code, "pk": make_repair(build).pk}


def a_photo() -> dict[str, Any]:
    from tests.support.builds import make_build, make_photo

    build = make_build(state="building")
    return {"code": build.code, "pk": make_photo(build).pk}


def with_a_stray_photo() -> dict[str, Any]:
    from builds.plans.models.build_acts import StrayAct
    from tests.support.builds import make_build, planner

    build = make_build(state="stopped")
    stray = StrayAct.objects.create(
        build=build, payload={}, why="Too late.", image=a_stored_file(), made_by=planner()
    )
    return {"code": build.code, "pk": stray.pk}


def with_a_late_tick() -> dict[str, Any]:
    from builds.plans.models.build_acts import Overtaken
    from tests.support.builds import NOON, make_build, planner, steps_of

    build, by = make_build(state="building"), planner()
    on = {"step_key": steps_of(build)[0].key, "at": NOON, "made_by": by}
    late, stands = (build.ticks.create(is_done=is_done, **on) for is_done in (True, False))
    return {
        "code": build.code,
        "pk": Overtaken.objects.create(tick=late, stands=stands, made_by=by).pk,
    }


def a_stored_file() -> str:
    from django.core.files.base import ContentFile
    from django.core.files.storage import default_storage

    return default_storage.save("stray.jpg", ContentFile(b"a photo"))


def sheet_kind() -> dict[str, Any]:
    from tests.support.sheets import make_kind

    return {"pk": make_kind().pk}


def placed() -> dict[str, Any]:
    from tests.support.sheets import make_place

    return {"code": make_place().code}


def counted(**more: str) -> Callable[[], dict[str, Any]]:
    """The key of a new item, and whatever else its address asks for."""

    def make() -> dict[str, Any]:
        from tests.support.store import make_item

        return {"pk": make_item().pk, **more}

    return make


def packed() -> dict[str, Any]:
    from tests.support.store import make_item, make_pack

    return {"pk": make_pack(make_item(), 12, "24.00").pk}


def delivered() -> dict[str, Any]:
    from builds.store.models.deliveries import receive
    from tests.support.builds import planner
    from tests.support.sheets import make_place
    from tests.support.store import make_item

    words = {"supplier": None, "by": planner(), "idempotency_key": uuid.uuid4()}
    return {"pk": receive([(make_item(), 3)], make_place(), **words).pk}


def supplying() -> dict[str, Any]:
    from builds.store.models.suppliers import Supplier

    packed()
    return {"pk": Supplier.objects.get().pk}


def offcut() -> dict[str, Any]:
    from builds.store.models.offcuts import Offcut
    from tests.support.sheets import make_kind

    return {"label": Offcut.objects.store(make_kind(), 400, 600, by=somebody()).label}


def no_words_but_an_offcut() -> dict[str, Any]:
    offcut()
    return {}


def drawn_on(**more: str) -> Callable[[], dict[str, Any]]:
    """The code of an enclosure that stands, on which a lid was drawn, and what else is asked."""

    def make() -> dict[str, Any]:
        from dataclasses import replace
        from uuid import uuid4

        from habitats.enclosures.models.drawings import begin_drawing
        from habitats.enclosures.models.enclosures import EnclosureState

        enclosure = home_with_an_enclosure()[1]
        by = enclosure.made_by
        enclosure.set_state(EnclosureState.STANDING, on=timezone.localdate(), by=by)
        drawing = begin_drawing(enclosure, by=by, idempotency_key=uuid4())
        drawing.change(replace(drawing.shape(), lid=True), by=by)
        return {"code": enclosure.code, **more}

    return make
