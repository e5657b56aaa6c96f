"""Twenty builders tick one build at the same moment: nothing is lost, and nothing is doubled."""

import threading
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections

from builds.building.models.intake import KNOWN, TAKEN, take
from builds.plans.models.build_acts import Tick
from builds.plans.models.builds import BuildEvent, BuildState
from tests.support.builds import NOON, make_build, steps_of

BUILDERS, TICKS_EACH = 20, 5


@pytest.fixture
def crew(make_person):
    return [make_person(f"builder{number}", role="builder") for number in range(BUILDERS)]


def all_together(work, people):
    """Do the work for each person in a thread of its own, all beginning at one moment."""
    gate = threading.Barrier(len(people))

    def run(person):
        gate.wait()
        try:
            return work(person)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(len(people)) as pool:
        return list(pool.map(run, people))


@pytest.mark.django_db(transaction=True)
def test_twenty_builders_who_tick_at_once_lose_nothing_and_double_nothing(crew):
    build = make_build(people=crew)
    keys = [step.key for step in steps_of(build)[:TICKS_EACH]]

    def tick(person):
        acts = [{"once": uuid.uuid4(), "kind": "tick", "step": key} for key in keys]
        # Each is sent twice, as a phone does that heard no answer the first time.
        return [take(person, build, act, NOON).outcome for act in acts for _ in range(2)]

    outcomes = all_together(tick, crew)

    assert outcomes == [[TAKEN, KNOWN] * TICKS_EACH] * BUILDERS
    told = sorted(Tick.objects.values_list("made_by", "step_key"))
    assert told == sorted((person.pk, key) for person in crew for key in keys)
    assert [one.state for one in BuildEvent.objects.order_by("pk")] == [
        BuildState.PLANNED,
        BuildState.BUILDING,
    ]


@pytest.mark.django_db(transaction=True)
def test_one_tick_that_comes_twenty_times_at_once_is_one_tick(crew):
    build = make_build(people=crew)
    act = {"once": uuid.uuid4(), "kind": "tick", "step": steps_of(build)[0].key}

    outcomes = all_together(lambda _one: take(crew[0], build, act, NOON).outcome, crew)

    assert sorted(outcomes) == [KNOWN] * (BUILDERS - 1) + [TAKEN]
    assert Tick.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_twenty_builders_tick_at_once_through_the_pages(crew, client_of):
    build = make_build(people=crew)
    step = steps_of(build)[0]
    clients = {person: client_of(person) for person in crew}

    answers = all_together(
        lambda one: clients[one].post(f"/builds/{build.code}/steps/{step.key}/tick/").status_code,
        crew,
    )

    assert answers == [302] * BUILDERS
    assert Tick.objects.count() == BUILDERS
