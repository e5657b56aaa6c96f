"""Plans that the linear program over boards leads to, through the independent checker."""

from decimal import Decimal
from random import Random

import pytest

from builds.cutting import Job, StockSheet, WantedPiece, faults_in
from builds.cutting.columns import Columns
from builds.cutting.draft import Draft, layout_of
from builds.cutting.greedy import greedy_drafts
from builds.cutting.layout import never
from builds.cutting.partly import mended_where_emptiest
from builds.cutting.work import WorkBudget


def everyday_job(seed: int) -> Job:
    random = Random(seed)
    pieces = tuple(
        WantedPiece(f"p{n}", random.randint(10, 60), random.randint(10, 60), random.randint(1, 12))
        for n in range(6)
    )
    rests = (StockSheet(f"rest{n}", 40 + 10 * n, 50, 1, Decimal(0)) for n in range(3))
    stock = (
        StockSheet("large", 120, 90, None, Decimal(9)),
        StockSheet("small", 60, 90, None, Decimal(5)),
    )
    return Job(pieces, (*stock, *rests), kerf=random.choice((0, 2)))


def first_draft(job: Job) -> Draft:
    return next(greedy_drafts(job, never))


@pytest.mark.parametrize("seed", range(6))
def test_a_dive_lays_everything_and_costs_no_less_than_its_bound(seed: int) -> None:
    job = everyday_job(seed)
    columns = Columns(job, WorkBudget(5_000, never))

    found = columns.dived(first_draft(job), 0, [], 0.5)

    assert found.complete
    assert faults_in(job, layout_of(found, columns.bound, out_of_time=False)) == []
    assert columns.bound <= found.cost


@pytest.mark.parametrize("seed", range(4))
def test_a_second_dive_finds_the_linear_program_as_it_was(seed: int) -> None:
    job = everyday_job(seed)
    columns = Columns(job, WorkBudget(10_000, never))
    columns.dived(first_draft(job), 0, [], 0.5)
    bound = columns.bound

    found = columns.dived(first_draft(job), 0, [], 0.5)

    assert found.complete
    assert columns.bound == bound


@pytest.mark.parametrize("calls", [0, 1, 5, 20, 60])
def test_a_dive_that_is_stopped_says_what_is_left(calls: int) -> None:
    job = everyday_job(1)
    asked = iter(range(calls))
    columns = Columns(job, WorkBudget(5_000, lambda: next(asked, None) is None))

    found = columns.dived(first_draft(job), 0, [], 0.5)

    laid = sum(1 for board in found.boards for _ in board.laid())
    assert laid + sum(found.left) == sum(piece.quantity for piece in job.pieces)


@pytest.mark.parametrize("seed", range(6))
def test_mending_the_emptiest_boards_never_makes_a_plan_worse(seed: int) -> None:
    job = everyday_job(seed)
    draft = first_draft(job)

    better = mended_where_emptiest(draft, 0, 20, WorkBudget(200, never))

    assert better.cost <= draft.cost
    assert faults_in(job, layout_of(better, 0, out_of_time=False)) == []
