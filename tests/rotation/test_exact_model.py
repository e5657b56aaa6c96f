"""Forecasts and par against integer programs solved by HiGHS (`tests/support/linen_model.py`)."""

from hypothesis import given, settings

from habitats.rotation.forecast import forecast
from habitats.rotation.par import par_levels
from tests.support.linen_model import fewest_shortages, least_number
from tests.support.linen_rounds import small_rounds


@settings(max_examples=40)
@given(small_rounds(most_days=11))
def test_no_plan_of_loads_has_fewer_shortages(inputs):
    found = forecast(inputs)

    assert len(found.shortages) == found.bound == fewest_shortages(inputs)


@settings(max_examples=40)
@given(small_rounds(most_days=11, alike=True))
def test_nor_where_all_are_changed_equally_often(inputs):
    found = forecast(inputs)

    assert len(found.shortages) == found.bound == fewest_shortages(inputs)


@settings(max_examples=40)
@given(small_rounds(most_days=21))
def test_par_is_the_least_number_of_the_program(inputs):
    assert par_levels(inputs) == {size: least_number(inputs, size) for size in inputs.sizes}
