"""The time that a step really took: from its start to its tick, beside the estimate."""

from datetime import timedelta

import pytest

from builds.plans.models.progress import Progress
from builds.plans.models.time_used import Timed, TimesUsed
from tests.support.builds import NOON, make_build, steps_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(builder):
    return make_build(state="building", people=[builder])


@pytest.fixture
def step(build):
    return steps_of(build)[0]


@pytest.fixture
def acts(build, step, builder):
    """`acts(start=-14, tick=0)`: in minutes from noon."""

    def act(by=builder, **minutes):
        for kind, after in minutes.items():
            rows = {"start": build.starts, "tick": build.ticks}[kind]
            rows.create(step_key=step.key, at=NOON + timedelta(minutes=after), made_by=by)

    return act


def used(build):
    return TimesUsed(Progress(build, "metric"))


def test_a_step_took_from_its_start_to_its_tick(build, step, acts):
    acts(start=-14, tick=0)

    assert used(build).minutes == {step.key: 14}
    assert used(build).all == Timed(1, 14, step.card["minutes"])


def test_the_last_start_counts_of_who_ticked_it_first(build, step, acts, coordinator):
    acts(start=-50)
    acts(start=-20, tick=0)
    acts(by=coordinator, start=-40, tick=5)

    assert used(build).minutes == {step.key: 20}


def test_a_tick_in_the_first_half_minute_took_one(build, step, acts):
    acts(start=0, tick=0.1)

    assert used(build).minutes == {step.key: 1}


@pytest.mark.parametrize("said", [{"tick": 0}, {"start": -25 * 60, "tick": 0}, {"start": -9}])
def test_without_a_start_on_the_day_of_the_tick_no_time_is_told(build, acts, said):
    acts(**said)

    assert used(build).minutes == {}


def test_the_start_of_somebody_else_says_nothing(build, acts, coordinator):
    acts(by=coordinator, start=-30)
    acts(tick=0)

    assert used(build).minutes == {}


def test_a_build_shows_the_time_used_beside_the_estimate(build, step, acts, building, text_of):
    before = text_of(building.get(f"/builds/{build.code}/"))
    acts(start=-14, tick=0)

    page = text_of(building.get(f"/builds/{build.code}/"))

    assert "Time used" not in before
    assert "took 14 min" in page
    assert f"14 min for 1 timed step, {step.card['minutes']} min estimated" in page
