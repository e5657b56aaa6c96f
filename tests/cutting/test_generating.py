"""The linear program's bound against sheets that were cut up at random, and against arithmetic."""

from collections.abc import Callable
from decimal import Decimal
from itertools import count

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece
from builds.cutting.frames import UNITS
from builds.cutting.generating import Generation
from builds.cutting.layout import never
from builds.cutting.work import WorkBudget


def bound(job: Job) -> Decimal:
    generation = Generation(job)
    generation.run(WorkBudget(10**9, never))
    return Decimal(generation.bound) / UNITS


def parts(draw: st.DrawFn, length: int, kerf: int) -> list[int]:
    """Cut a length into some; what is left over is waste."""
    found = []
    while length > 0 and len(found) < 4:
        found.append(draw(st.integers(1, length)))
        length -= found[-1] + kerf
    return found


@st.composite
def cut_in_three_stages(draw: st.DrawFn) -> tuple[Job, int]:
    """A job of pieces that were cut from so many sheets: bands, stacks, pieces."""
    width, height = draw(st.integers(2, 20)), draw(st.integers(2, 20))
    kerf, sheets, number = draw(st.sampled_from([0, 1])), draw(st.integers(1, 3)), count()
    pieces = tuple(
        WantedPiece(f"p{next(number)}", across, down, 1, draw(st.booleans()))
        for _ in range(sheets)
        for band in parts(draw, height, kerf)
        for across in parts(draw, width, kerf)
        for down in parts(draw, band, kerf)
    )
    return Job(pieces, (StockSheet("sheet", width, height, None, Decimal(1)),), kerf=kerf), sheets


@settings(max_examples=25)
@given(cut_in_three_stages())
def test_what_was_cut_in_three_stages_never_needs_more(case: tuple[Job, int]) -> None:
    job, sheets = case

    assert 1 <= bound(job) <= sheets


def test_halves_of_a_sheet_are_counted_in_pairs(make_job: Callable[..., Job]) -> None:
    # Seven halves: three and a half sheets at 10, so four.
    job = make_job(
        pieces=(WantedPiece("half", 50, 60, 7),),
        stock=(StockSheet("sheet", 100, 60, None, Decimal(10)),),
    )

    assert bound(job) == 40


def test_an_offcut_is_free_but_there_is_only_one(make_job: Callable[..., Job]) -> None:
    # Two halves come from the offcut; five more at 5 each from sheets at 10: 25, in steps of 10.
    job = make_job(
        pieces=(WantedPiece("half", 50, 60, 7),),
        stock=(
            StockSheet("sheet", 100, 60, None, Decimal(10)),
            StockSheet("rest", 100, 60, 1, Decimal(0)),
        ),
    )

    assert bound(job) == 30


def test_a_generation_that_is_stopped_has_a_bound_that_holds(
    make_job: Callable[..., Job],
) -> None:
    job = make_job(pieces=(WantedPiece("side", 40, 60, 7), WantedPiece("end", 30, 20, 9)))
    generation = Generation(job)

    generation.run(WorkBudget(10**9, stop=lambda: True))

    assert 0 <= generation.bound <= 7 * UNITS * 10
