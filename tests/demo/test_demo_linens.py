"""The demo's linens: a month of them, in turn, with something to see."""

import pytest
from django.utils import timezone

from habitats.linens.models.forecasts import pool_forecasts
from habitats.linens.models.line import lines_of
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.pools import Pool
from habitats.rotation.states import State, may_follow


@pytest.fixture
def pools(demo):
    return list(Pool.objects.order_by("pk"))


def test_the_demo_has_a_line_and_one_set_aside(pools):
    line = lines_of(pools)[pools[0].pk]

    assert min(line.clean, line.in_use, line.soiled, line.washing, line.drying) > 0
    assert line.set_aside == 1
    assert line.new == 3


def test_one_pool_runs_out_tomorrow_and_the_others_last(pools):
    today = timezone.localdate()
    forecasts = pool_forecasts(pools, today)
    days = {str(one): forecasts[one.pk].first_dry for one in pools}

    assert {name: day and (day - today).days for name, day in days.items()} == {
        "The depot's cupboard": None,
        "Noor's cupboard": 1,
        "Ines's cupboard": None,
    }


def test_what_happened_in_the_demo_could_have_happened(pools):
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
