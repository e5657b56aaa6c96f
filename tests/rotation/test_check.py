"""The checker against forecasts that were broken by hand: each fault is named."""

from dataclasses import replace
from datetime import timedelta

import pytest

from habitats.rotation.check import faults_in
from habitats.rotation.forecast import forecast
from habitats.rotation.values import LinenShortage
from tests.support.linen_rounds import MONDAY, make_laundry, make_round

NEEDS = [("E1", 2, 2), ("E2", 3, 2)]
PIECES = [
    ("L1", "in_use", "E1"),
    ("L2", "in_use", "E2"),
    ("L3", "clean"),
    ("L4", "soiled"),
    ("L5", "soiled", None, True),
]
QUESTION = make_round(NEEDS, PIECES, make_laundry(0, 3, load_g=1800), days=14)
TOLD = forecast(QUESTION)


def with_load(at, **other):
    """The forecast with another load in place of one."""
    loads = list(TOLD.loads)
    loads[at] = loads[at]._replace(**other)
    return replace(TOLD, loads=tuple(loads))


def one_named(broken, *words):
    """Whether a fault has all of these words."""
    return any(all(word in fault for word in words) for fault in faults_in(QUESTION, broken))


def test_what_was_planned_has_no_fault_and_something_to_break():
    assert faults_in(QUESTION, TOLD) == []
    assert TOLD.shortages
    assert TOLD.loads[0].linens == ("L4", "L1")
    assert TOLD.loads[1].linens == ("L5",)


def test_a_linen_in_two_loads_is_named():
    assert one_named(with_load(0, linens=("L4", "L4"), grams=1200), "L4 is washing, not soiled")


def test_a_linen_that_is_not_soiled_is_named():
    assert one_named(with_load(0, linens=("L4", "L2"), grams=1200), "L2 is in_use, not soiled")


def test_a_linen_nobody_knows_is_named():
    assert one_named(with_load(0, linens=("L4", "L9")), "L9 is no linen")


def test_a_load_on_another_day_of_the_week_is_named():
    tuesday = MONDAY + timedelta(days=1)

    assert one_named(with_load(0, date=tuesday), "2027-01-05", "no wash day")


def test_a_load_after_the_last_day_is_named():
    assert one_named(with_load(0, date=MONDAY + timedelta(days=14)), "outside the days")


def test_a_load_too_heavy_is_named():
    lighter = replace(QUESTION, laundry=make_laundry(0, 3, load_g=1000))

    assert any("1200 g, 1000 g may be" in fault for fault in faults_in(lighter, TOLD))


def test_a_mass_that_is_not_that_of_the_linens_is_named():
    assert one_named(with_load(0, grams=1100), "1200 g stands as 1100 g")


def test_more_loads_than_a_day_has_are_named():
    fewer = replace(QUESTION, laundry=make_laundry(0, 3, load_g=1800, loads=1))

    assert any("2 loads, 1 can be washed" in fault for fault in faults_in(fewer, TOLD))


def test_a_linen_set_aside_among_others_is_named():
    assert one_named(with_load(0, linens=("L4", "L5"), grams=1200), "set aside share a load")


def test_a_linen_set_aside_in_the_usual_programme_is_named():
    assert one_named(with_load(1, programme="usual"), "programme")


def test_an_empty_load_is_named():
    assert one_named(with_load(0, linens=(), grams=0), "empty load")


def test_a_shortage_that_is_not_told_is_named():
    first = TOLD.shortages[0]

    assert one_named(replace(TOLD, shortages=TOLD.shortages[1:]), first.enclosure, "not told")


def test_a_shortage_that_does_not_come_is_named():
    invented = (LinenShortage(MONDAY, "A", "E2"), *TOLD.shortages)

    assert one_named(replace(TOLD, shortages=invented), "2027-01-04", "E2", "but does not")


def test_a_load_left_out_has_consequences_that_are_named():
    assert one_named(replace(TOLD, loads=TOLD.loads[1:]), "not told")


@pytest.mark.parametrize(
    ("broken", "word"),
    [
        (replace(TOLD, runs_dry={"A": None}), "runs out"),
        (replace(TOLD, overloaded=(MONDAY,)), "overloaded"),
        (replace(TOLD, days={"A": TOLD.days["A"][:-1]}), "counts"),
        (replace(TOLD, bound=len(TOLD.shortages) + 1), "bounded"),
    ],
)
def test_what_else_is_told_is_looked_at(broken, word):
    assert one_named(broken, word)
