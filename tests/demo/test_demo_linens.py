"""The demo's linens: a month of them, in turn, with something to see."""

import pytest

from builds.demo.rescue import fill
from habitats.linens.models.forecasts import pool_forecast
from habitats.linens.models.line import lines_of
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.pools import Pool
from habitats.rotation.states import State, may_follow

pytestmark = pytest.mark.django_db


@pytest.fixture
def demo(today):
    fill(today)
    return list(Pool.objects.order_by("pk"))


def test_the_demo_has_a_line_a_shortage_ahead_and_one_set_aside(demo, today, this_day):
    line = lines_of(demo)[demo[0].pk]
    forecast = pool_forecast(demo[0], today)

    assert min(line.clean, line.in_use, line.soiled, line.washing, line.drying) > 0
    assert line.set_aside == 1
    assert line.new == 3
    assert forecast.first_dry is not None
    assert forecast.first_dry > today


def test_what_happened_in_the_demo_could_have_happened(demo):
    before: dict[int, LinenEvent] = {}
    for event in LinenEvent.objects.order_by("pk"):
        last = before.get(event.linen_id)
        if last is not None:
            assert may_follow(State(last.state), State(event.state))
            assert last.on <= event.on
            assert event.washes == last.washes + (event.state == State.WASHING)
        before[event.linen_id] = event
    for linen in Linen.objects.all():
        last = before[linen.pk]
        assert (linen.state, linen.since, linen.spot_id, linen.pool_id, linen.washes) == (
            last.state,
            last.on,
            last.spot_id,
            last.pool_id,
            last.washes,
        )
