"""Plans and bounds beside the cheapest plan there is, on jobs so small that all can be tried."""

from dataclasses import replace
from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece, cut, faults_in
from tests.support.tiny_cutting import can_be_cut, cheapest

WORK = 300


def tiny_job(random: Random, stages: int | None) -> Job:
    pieces = tuple(
        WantedPiece(f"p{n}", random.randint(1, 6), random.randint(1, 6), 1, random.random() < 0.6)
        for n in range(random.randint(2, 5))
    )
    stock = (
        StockSheet("large", 9, 7, None, Decimal(random.randint(3, 6))),
        StockSheet("small", 6, 6, random.choice((None, 1, 2)), Decimal(random.randint(0, 4))),
    )
    return Job(pieces, stock, kerf=random.choice((0, 0, 1)), stages=stages, least_offcut=2)


@given(st.integers(0, 10**6), st.sampled_from([3, None]))
@settings(max_examples=25)
def test_the_cheapest_plan_lies_between_bound_and_plan(seed: int, stages: int | None) -> None:
    job = tiny_job(Random(seed), stages)

    plan = cut(job, work=WORK)

    assert faults_in(job, plan) == []
    assert plan.unplaced == ()
    assert plan.lower_bound <= cheapest(job) <= plan.cost
    assert plan.cost == cheapest(job) or not plan.optimal


@pytest.mark.parametrize("stages", [3, None])
def test_the_cheapest_plan_is_reached_on_nearly_all_tiny_jobs(stages: int | None) -> None:
    jobs = [tiny_job(Random(seed), stages) for seed in range(40)]

    missed = [job for job in jobs if cut(job, work=WORK).cost > cheapest(job)]

    assert len(missed) <= 1


def test_the_bound_is_reached_on_most_tiny_jobs() -> None:
    jobs = [tiny_job(Random(seed), 3) for seed in range(40)]

    met = [job for job in jobs if cut(job, work=WORK).lower_bound == cheapest(job)]

    assert len(met) >= 0.75 * len(jobs)


def test_a_bound_for_straight_cuts_holds_for_jobs_that_stages_make_dearer() -> None:
    # Five pieces that fill 100 mm in a spiral, here by tens: in three stages they take two sheets.
    sizes = [(5, 10), (5, 5), (2, 5), (3, 3), (3, 2)]
    pieces = tuple(WantedPiece(f"p{n}", w, h, rotate=False) for n, (w, h) in enumerate(sizes))
    deep = Job(pieces, (StockSheet("sheet", 10, 10, None, Decimal(1)),), stages=None)
    three = replace(deep, stages=3)

    assert (cheapest(deep), cheapest(three)) == (1, 2)
    assert (cut(deep, work=WORK).cost, cut(three, work=WORK).cost) == (1, 2)
    assert cut(deep, work=WORK).lower_bound == 1


# --- The reference itself ---


def test_trying_everything_counts_the_kerf() -> None:
    two = ((4, 5, False), (5, 5, False))

    assert can_be_cut(10, 5, two, 1, 1, 3)
    assert not can_be_cut(10, 5, two, 2, 1, 3)


def test_trying_everything_finds_no_straight_cut_through_a_pinwheel() -> None:
    blades = ((4, 3, False), (3, 4, False), (4, 3, False), (3, 4, False), (1, 1, False))

    assert not any(can_be_cut(7, 7, blades, 0, down, 9) for down in (0, 1))
    assert any(can_be_cut(8, 7, blades, 0, down, 9) for down in (0, 1))
