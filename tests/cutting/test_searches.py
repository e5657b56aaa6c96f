"""Each search by itself: from a right draft come right drafts, better ones, and the same again."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece, faults_in
from builds.cutting.columns import Columns
from builds.cutting.draft import Draft, layout_of
from builds.cutting.freeing import freed
from builds.cutting.greedy import greedy_drafts
from builds.cutting.mending import mended
from builds.cutting.work import WorkBudget
from tests.support.tiny_cutting import cheapest

WORK = 200
Search = Callable[[Draft], Iterator[Draft]]


def never() -> bool:
    return False


def dive(draft: Draft) -> Iterator[Draft]:
    yield Columns(draft.job, WorkBudget(WORK, never)).dived(draft, 0, [])


SEARCHES: dict[str, Search] = {
    "mended": lambda draft: mended(draft, 0, WorkBudget(WORK, never)),
    "dived": dive,
    "freed": lambda draft: freed(draft, 0, WorkBudget(WORK, never)),
}
each_search = pytest.mark.parametrize("search", SEARCHES.values(), ids=SEARCHES)


def job_from(random: Random) -> Job:
    """A job of up to thirty pieces; there are always sheets for all of them."""
    pieces = tuple(
        WantedPiece(
            f"p{n}",
            random.randint(5, 50),
            random.randint(5, 45),
            random.randint(1, 4),
            random.random() < 0.6,
        )
        for n in range(random.randint(1, 8))
    )
    stock = (
        StockSheet("large", 100, 60, None, Decimal(5)),
        StockSheet("small", 60, 50, random.choice((None, 2)), Decimal(random.randint(0, 3))),
    )
    return Job(pieces, stock, kerf=random.choice((0, 3)), trim=random.choice((0, 2)))


def worst_draft(job: Job) -> Draft:
    return max(greedy_drafts(job, never), key=lambda draft: draft.rank)


@each_search
@given(st.integers(0, 10**6))
@settings(max_examples=15)
def test_a_search_gives_plans_that_pass_the_checker(search: Search, seed: int) -> None:
    job = job_from(Random(seed))

    for draft in search(worst_draft(job)):
        plan = layout_of(draft, 0, out_of_time=True)
        # Boards without stages have more of them than the job allows.
        faults = [fault for fault in faults_in(job, plan) if "stages of cuts" not in fault]
        assert faults == []


@each_search
def test_a_search_gives_the_same_for_the_same_work(search: Search) -> None:
    job = job_from(Random(4))

    plans = [
        [layout_of(draft, 0, out_of_time=True) for draft in search(worst_draft(job))]
        for _ in range(2)
    ]
    assert plans[0] == plans[1]


@pytest.mark.parametrize("name", ["mended", "freed"])
def test_each_plan_of_a_search_is_better_than_the_last(name: str) -> None:
    for seed in range(6):
        draft = worst_draft(job_from(Random(seed)))
        for better in SEARCHES[name](draft):
            assert better.rank < draft.rank
            draft = better


@pytest.mark.parametrize("name", ["mended", "freed"])
def test_what_found_no_sheet_is_placed_where_there_is_room_after_all(name: str) -> None:
    # Two of 50 x 60 fill the only sheet; the draft has not placed one of them.
    job = Job((WantedPiece("half", 50, 60, 2),), (StockSheet("sheet", 100, 60, 1, Decimal(1)),))
    first = next(greedy_drafts(job, never))
    board = first.boards[0]
    kept = iter((True, False))
    lacking = Draft(job, (board.kept(lambda _: next(kept)),), (1,))

    *_, found = SEARCHES[name](lacking)

    assert (found.left, len(found.boards)) == ((0,), 1)


def test_a_dive_raises_the_bound_no_higher_than_the_cheapest_plan() -> None:
    for seed in range(12):
        random = Random(seed)
        pieces = tuple(
            WantedPiece(f"p{n}", random.randint(1, 6), random.randint(1, 6)) for n in range(5)
        )
        job = Job(pieces, (StockSheet("sheet", 9, 7, None, Decimal(1)),))

        columns = Columns(job, WorkBudget(WORK, never))
        columns.dived(worst_draft(job), 0, [])

        assert columns.bound <= cheapest(job) * 10**6


def test_a_search_without_work_gives_nothing() -> None:
    draft, work = worst_draft(job_from(Random(2))), WorkBudget(0, never)

    assert [*mended(draft, 0, work), *freed(draft, 0, work)] == []
