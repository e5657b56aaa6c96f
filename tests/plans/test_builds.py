"""Builds: their plan is kept, their state is appended, their ticks count where the step is."""

import uuid

import pytest

from builds.plans.models.build_acts import Tick
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import BuildState, CannotBuild, build_state_set
from builds.plans.models.planning import plan_build
from habitats.designs.models.designs import Design
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def revision(coordinator):
    return Design.objects.draw(make_design(), by=coordinator).current


@pytest.fixture
def build(revision, coordinator, today):
    return plan_build(revision, "For the Wren household", by=coordinator, on=today)


def test_a_build_keeps_its_steps_with_their_pictures(build):
    steps = list(build.plans.get().steps.all())

    assert len(steps) > 5
    assert all(step.picture("metric").startswith("<svg") for step in steps)
    assert all(step.card_in("inches")["instructions"] for step in steps)


def test_the_same_step_has_the_same_key_when_a_build_is_planned_anew(build, coordinator):
    first = build.plans.get()
    again = BuildPlan.objects.work_out(build, first.revision, by=coordinator)

    assert again.number == 2
    assert [one.key for one in again.steps.all()] == [one.key for one in first.steps.all()]


def test_planning_with_the_same_key_gives_the_same_build(revision, coordinator, today):
    idempotency_key = uuid.uuid4()
    builds = {
        plan_build(revision, "Twice", by=coordinator, on=today, idempotency_key=idempotency_key).pk
        for _ in range(2)
    }
    assert len(builds) == 1


def test_a_build_that_is_planned_cannot_be_handed_over(build, coordinator, today):
    with pytest.raises(CannotBuild, match="is planned, so it cannot be handed over next"):
        build.set_state(BuildState.HANDED_OVER, today, by=coordinator)


def test_a_build_stays_as_it_was_when_a_receiver_of_its_state_fails(build, coordinator, today):
    def fail(**_of_the_signal):
        raise RuntimeError("the store cannot be written")

    build_state_set.connect(fail)
    try:
        with pytest.raises(RuntimeError, match="cannot be written"):
            build.set_state(BuildState.STOPPED, today, by=coordinator)
    finally:
        build_state_set.disconnect(fail)

    assert build.state_now() == BuildState.PLANNED


def test_the_last_word_on_a_step_counts(build, coordinator):
    key = build.plans.get().steps.first().key
    for is_done in (True, False):
        build.ticks.create(step_key=key, is_done=is_done, at=build.made_at, made_by=coordinator)
    assert [one.is_done for one in Tick.objects.filter(build=build).last_words()] == [False]
