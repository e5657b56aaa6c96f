"""Layouts: the smallest first, then by hand, brute force, and random jobs through the checker."""

from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, Offcut, PiecePlacement, StockSheet, WantedPiece, cut, faults_in


def test_no_pieces_need_no_sheet(make_job: Callable[..., Job]) -> None:
    plan = cut(make_job(pieces=()))

    assert (plan.sheets, plan.cost, plan.optimal, plan.used_fraction) == ((), 0, True, 0)


def test_a_piece_of_the_sheets_size_takes_it_all(make_job: Callable[..., Job]) -> None:
    (sheet,) = cut(make_job(pieces=(WantedPiece("whole", 100, 60),))).sheets

    assert sheet.placements == (PiecePlacement("whole", 0, 0, 100, 60, rotated=False),)
    assert sheet.offcuts == ()


def test_a_piece_that_fits_only_turned_is_turned(make_job: Callable[..., Job]) -> None:
    (sheet,) = cut(make_job(pieces=(WantedPiece("tall", 60, 100),))).sheets

    assert sheet.placements == (PiecePlacement("tall", 0, 0, 100, 60, rotated=True),)


def test_two_pieces_share_a_sheet_and_leave_the_largest_offcut(
    make_job: Callable[..., Job],
) -> None:
    # Of 100 x 60, two of 40 x 30 above each other leave 60 x 60 = 3600 in one piece;
    # beside each other 100 x 30 = 3000.
    plan = cut(make_job(least_offcut=20))

    assert plan.cost == plan.lower_bound == 10
    assert plan.optimal
    assert plan.sheets[0].offcuts[0] == Offcut(40, 0, 60, 60)
    assert plan.used_fraction == 2 * 40 * 30 / (100 * 60)


def test_the_kerf_is_kept_between_pieces_but_not_at_the_edge(
    make_job: Callable[..., Job],
) -> None:
    pieces = (WantedPiece("half", 49, 60, 2, rotate=False),)

    (sheet,) = cut(make_job(pieces=pieces, kerf=2)).sheets

    assert [placement.x for placement in sheet.placements] == [0, 51]


def test_trim_moves_the_first_piece_in(make_job: Callable[..., Job]) -> None:
    (sheet,) = cut(make_job(pieces=(WantedPiece("all", 90, 50, rotate=False),), trim=5)).sheets

    assert sheet.placements == (PiecePlacement("all", 5, 5, 90, 50, rotated=False),)


def test_the_sheet_that_costs_least_is_taken(make_job: Callable[..., Job]) -> None:
    small = StockSheet("small", 50, 60, None, Decimal(6))
    large = StockSheet("large", 100, 60, None, Decimal(10))
    job = make_job(stock=(small, large), pieces=(WantedPiece("half", 50, 60, 3),))

    # Two on a large one for 10, one on a small one for 6; three small ones would be 18.
    assert cut(job).cost == 16


def test_one_sheet_for_all_that_is_left_may_beat_better_value(
    make_job: Callable[..., Job],
) -> None:
    small = StockSheet("small", 40, 60, None, Decimal(6))
    large = StockSheet("large", 100, 60, None, Decimal(10))
    job = make_job(stock=(small, large), pieces=(WantedPiece("strip", 20, 60, 3, rotate=False),))

    # Two strips of a small sheet cost 3 each, three of a large one 3.33; yet two small ones are 12.
    assert cut(job).cost == 10


def test_an_offcut_at_hand_is_used_before_a_new_sheet(make_job: Callable[..., Job]) -> None:
    stock = (
        StockSheet("new", 100, 60, None, Decimal(10)),
        StockSheet("rest", 45, 35, 1, Decimal(0)),
    )

    plan = cut(make_job(stock=stock, pieces=(WantedPiece("side", 40, 30),)))

    assert [sheet.stock.id for sheet in plan.sheets] == ["rest"]
    assert plan.cost == 0
    assert plan.optimal


@pytest.mark.parametrize(
    ("piece", "reason"),
    [
        (
            WantedPiece("wide", 101, 60),
            "101 x 60 mm is larger than every sheet (usable part of the largest: 100 x 60 mm). "
            "Join it from parts or add a sheet.",
        ),
        (
            WantedPiece("tall", 60, 100, rotate=False),
            "60 x 100 mm fits only when turned, and it may not be turned. "
            "Add a sheet that holds it.",
        ),
    ],
)
def test_a_piece_that_fits_no_sheet_is_unplaced_with_the_reason(
    make_job: Callable[..., Job], piece: WantedPiece, reason: str
) -> None:
    plan = cut(make_job(pieces=(WantedPiece("side", 40, 30), piece)))

    assert [(u.piece, u.quantity, u.reason) for u in plan.unplaced] == [(piece.id, 1, reason)]
    assert plan.optimal


def test_when_the_stock_runs_out_the_rest_is_unplaced(make_job: Callable[..., Job]) -> None:
    stock = (StockSheet("sheet", 100, 60, 2, Decimal(10)),)

    plan = cut(make_job(stock=stock, pieces=(WantedPiece("large", 90, 50, 5),)))

    assert len(plan.sheets) == 2
    assert [(u.quantity, u.reason) for u in plan.unplaced] == [
        (3, "There are not enough sheets. Add sheets or cut fewer.")
    ]
    assert not plan.optimal


def test_out_of_time_the_best_so_far_is_returned(make_job: Callable[..., Job]) -> None:
    job = make_job(pieces=(WantedPiece("large", 90, 50, 50), WantedPiece("wide", 95, 40, 50)))
    answers = iter([False] * 5)

    plan = cut(job, lambda: next(answers, True))

    assert faults_in(job, plan) == []
    assert plan.unplaced[0].reason.startswith("The time ran out")


def test_the_same_job_gives_the_same_plan() -> None:
    pieces = tuple(
        WantedPiece(f"p{n}", 7 + 5 * n % 31, 9 + 11 * n % 29, 1 + n % 3) for n in range(20)
    )
    job = Job(pieces, (StockSheet("sheet", 100, 60, None, Decimal(10)),), kerf=1)

    assert cut(job) == cut(job)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    size = st.integers(1, 60)
    pieces = tuple(
        WantedPiece(
            f"p{number}", draw(size), draw(size), draw(st.integers(1, 5)), draw(st.booleans())
        )
        for number in range(draw(st.integers(1, 8)))
    )
    trim = draw(st.integers(0, 3))
    stock = tuple(
        StockSheet(
            f"s{number}",
            2 * trim + draw(size),
            2 * trim + draw(size),
            draw(st.none() | st.integers(0, 4)),
            draw(st.decimals(0, 50, places=2)),
        )
        for number in range(draw(st.integers(1, 3)))
    )
    guillotine = draw(st.booleans())
    return Job(
        pieces, stock, draw(st.integers(0, 4)), trim, guillotine, 3 if guillotine else None, 0.02
    )


@given(jobs())
def test_any_plan_passes_the_checker(job: Job) -> None:
    assert faults_in(job, cut(job, work=1_000)) == []


@given(jobs(), st.integers(0, 40))
def test_any_plan_cut_short_passes_the_checker(job: Job, asks: int) -> None:
    answers = iter([False] * asks)

    assert faults_in(job, cut(job, lambda: next(answers, True), work=1_000)) == []


# --- Brute force: the fewest sheets there can be, found by trying everything cell by cell ---


def masks(width: int, height: int, piece: WantedPiece) -> Iterator[int]:
    """Each place where the piece can lie, as the set of the sheet's cells it covers."""
    ways = {(piece.width, piece.height)}
    if piece.rotate:
        ways.add((piece.height, piece.width))
    for across, down in sorted(ways):
        for x in range(width - across + 1):
            for y in range(height - down + 1):
                rows = range(y, y + down)
                yield sum(((1 << across) - 1) << (row * width + x) for row in rows)


def fewest_sheets(width: int, height: int, pieces: tuple[WantedPiece, ...]) -> int:
    """Free cutting, no kerf: never more sheets than the best straight cutting."""
    places = [list(masks(width, height, piece)) for piece in pieces]

    def packs(sheets: tuple[int, ...], index: int) -> bool:
        return index == len(places) or any(
            packs((*sheets[:number], covered | mask, *sheets[number + 1 :]), index + 1)
            for number, covered in enumerate(sheets)
            if number == 0 or sheets[number - 1]  # empty sheets are all alike
            for mask in places[index]
            if not covered & mask
        )

    return next(count for count in range(1, len(pieces) + 1) if packs((0,) * count, 0))


SMALL_PIECES = st.lists(
    st.tuples(st.integers(1, 4), st.integers(1, 3), st.booleans()), min_size=1, max_size=5
)


def small_job(sizes: list[tuple[int, int, bool]], *, guillotine: bool) -> Job:
    pieces = tuple(WantedPiece(f"p{n}", w, h, 1, turn) for n, (w, h, turn) in enumerate(sizes))
    stages = 3 if guillotine else None
    return Job(
        pieces, (StockSheet("sheet", 4, 3, None, Decimal(1)),), guillotine=guillotine, stages=stages
    )


@given(SMALL_PIECES, st.booleans())
@settings(max_examples=60)
def test_brute_force_lies_between_bound_and_plan(
    sizes: list[tuple[int, int, bool]], guillotine: bool
) -> None:
    job = small_job(sizes, guillotine=guillotine)

    plan = cut(job, work=200)

    assert plan.lower_bound <= fewest_sheets(4, 3, job.pieces) <= plan.cost


@pytest.mark.parametrize(("guillotine", "share"), [(True, 0.9), (False, 1)])
def test_brute_force_is_reached_on_small_jobs(guillotine: bool, share: float) -> None:
    corners = [(1 + n * 7 % 4, 1 + n * 5 % 3, n % 2 == 0) for n in range(40)]
    jobs = [small_job(corners[start : start + 5], guillotine=guillotine) for start in range(36)]

    reached = [job for job in jobs if cut(job, work=300).cost == fewest_sheets(4, 3, job.pieces)]

    assert len(reached) >= share * len(jobs)
