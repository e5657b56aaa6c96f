"""Builds for tests: planned from a small design, taken as far as asked."""

import uuid
from datetime import UTC, date, datetime, time

from builds.building.models.build_days import DayFacts, plan_build_day
from builds.building.models.inspections import Inspection
from builds.building.models.panel_reports import report_panel
from builds.plans.models.build_acts import BuildPhoto
from builds.plans.models.builds import Build, BuildState
from builds.plans.models.planning import plan_build
from habitats.designs.models.designs import Design
from habitats.people.models.people import Person
from habitats.structure.design import PanelSize
from tests.support.designs import make_design

DAY = date(2027, 3, 8)
NOON = datetime(2027, 3, 8, 12, tzinfo=UTC)
WAY = (BuildState.BUILDING, BuildState.INSPECTED, BuildState.HANDED_OVER)


def planner() -> Person:
    known = Person.objects.filter(username="planner").first()
    return known or Person.objects.create_user("planner", roles="coordinator")


def make_build(name="Nook", *, state="planned", people=None, design=None, **facts) -> Build:
    """A build in this state; all builders are on it unless it is said who is."""
    by = planner()
    drawn = design or Design.objects.draw(make_design(), by=by)
    on = Person.objects.with_role("builder") if people is None else people
    build = plan_build(drawn.current, name, by=by, on=DAY, people=on, **facts)
    if state == "stopped":
        build.set_state(state, DAY, by=by)
    elif state != "planned":
        for one in WAY[: WAY.index(BuildState(state)) + 1]:
            build.set_state(one, DAY, by=by)
    return build


def steps_of(build):
    """The steps of its newest plan, in their order."""
    return list(build.plans.newest_first()[0].steps.all())


def tick_all(build, by=None, but=0):
    """Tick every step but the last ones: the inspection, which is not ticked by hand, and more."""
    by = by or planner()
    for step in steps_of(build)[: -1 - but]:
        build.ticks.create(step_key=step.key, at=NOON, made_by=by)


def make_build_day(build, *coming, on=DAY, begins=time(10), **facts):
    """A day for this build, with those who come."""
    facts = DayFacts(on=on, begins=begins, **facts)
    return plan_build_day(build, facts, coming, by=planner(), key=uuid.uuid4())


def report_panels(build, size_mm=350, squares=9):
    """Somebody measured panels of this size."""
    return report_panel(
        build, PanelSize(size_mm, squares), note="", by=planner(), idempotency_key=uuid.uuid4()
    )


def make_repair(build, what="a tie tail stands out"):
    by = planner()
    made = Inspection.objects.create(
        build=build, on=DAY, answers=[], signed="Planner", has_passed=False, made_by=by
    )
    return build.repairs.create(inspection=made, code="tails", what=what, made_by=by)


def make_photo(build, content=b"a photo", **facts):
    from django.core.files.base import ContentFile

    photo = BuildPhoto(build=build, at=NOON, made_by=planner(), **facts)
    photo.image.save("photo.jpg", ContentFile(content), save=False)
    photo.save()
    return photo
