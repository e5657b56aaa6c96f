"""Plans from before the facts of dividers told the cut: ticks count for the same work, no other."""

import uuid

import pytest

from builds.building.models.replanning import compare, plan_anew
from builds.making.facts import CUT_AT
from builds.making.step import Task
from builds.making.step_keys import key_of
from builds.plans.models.progress import Progress
from habitats.designs.models.designs import Design
from habitats.structure.lattice import Side
from tests.support.builds import make_build, steps_of, tick_all
from tests.support.designs import Divider, make_design

pytestmark = pytest.mark.django_db

ACROSS = Divider(0, 1, 0, Side.E)
MEETS = make_design(["####", "####"], dividers=(ACROSS,), name="Two rows")
CLEAR = make_design(["####"] * 4, dividers=(ACROSS, Divider(0, 1, 0, Side.S)), name="Four rows")


@pytest.fixture
def make_earlier(coordinator):
    """`make_earlier(shape)`: a build of it, all but ticked, as an earlier version planned it."""

    def make(shape):
        design = Design.objects.draw(shape, by=coordinator)
        build = make_build(design=design, state="building")
        for step in dividers_of(build):
            step.card["facts"] = step.card["facts"][:CUT_AT]
            step.key = key_of(step.card["facts"])
            step.save()
        tick_all(build)
        return build

    return make


def dividers_of(build):
    return [one for one in steps_of(build) if one.card["facts"][0] == Task.DIVIDER]


@pytest.mark.parametrize("shape", [MEETS, CLEAR])
def test_planned_again_from_the_same_drawing_it_keeps_its_ticks_and_keys(
    shape, make_earlier, coordinator
):
    build = make_earlier(shape)
    design, keys = build.plans.get().revision.design, [one.key for one in dividers_of(build)]

    assert compare(Progress(build, "metric"), design).changes_nothing
    plan_anew(build, design, by=coordinator, idempotency_key=uuid.uuid4())

    assert [one.key for one in dividers_of(build)] == keys


@pytest.mark.parametrize(("before", "after"), [(MEETS, CLEAR), (CLEAR, MEETS)])
def test_a_divider_that_now_cuts_the_tray_or_no_longer_does_is_not_ticked(
    before, after, make_earlier, coordinator
):
    build = make_earlier(before)
    drawn = Design.objects.draw(after, by=coordinator)

    plan_anew(build, drawn, by=coordinator, idempotency_key=uuid.uuid4())

    steps = Progress(build, "metric").steps
    assert not any(one.is_done for one in steps if one.card["facts"][0] == Task.DIVIDER)


def test_a_plan_of_today_keeps_its_ticks_too(coordinator):
    design = Design.objects.draw(MEETS, by=coordinator)
    build = make_build(design=design, state="building")
    tick_all(build)

    assert compare(Progress(build, "metric"), design).changes_nothing
