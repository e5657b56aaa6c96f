"""The checker is fed plans that are right, and plans broken in one way each."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from builds.cutting import (
    CutSheet,
    Job,
    Layout,
    Offcut,
    PiecePlacement,
    StockSheet,
    Unplaced,
    WantedPiece,
    faults_in,
)

STOCK = StockSheet("sheet", 100, 60, 2, Decimal(10))
LEFT = PiecePlacement("side", 0, 0, 40, 30, rotated=False)
RIGHT = PiecePlacement("side", 40, 0, 40, 30, rotated=False)
OFFCUTS = (Offcut(0, 30, 100, 30), Offcut(80, 0, 20, 30))
GOOD = Layout((CutSheet(STOCK, (LEFT, RIGHT), OFFCUTS),), Decimal(10), Decimal(10), True, ())


@pytest.fixture
def job(make_job: Callable[..., Job]) -> Job:
    return make_job(stock=(STOCK,))


def laid(*placements: PiecePlacement, offcuts: tuple[Offcut, ...] = ()) -> Layout:
    return replace(GOOD, sheets=(CutSheet(STOCK, placements, offcuts),))


def test_a_right_plan_has_no_faults(job: Job) -> None:
    assert faults_in(job, GOOD) == []


def test_touching_pieces_do_not_overlap(job: Job) -> None:
    assert faults_in(job, laid(LEFT, replace(LEFT, y=30))) == []


def test_an_overlap_of_the_last_two_pieces_is_found(make_job: Callable[..., Job]) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 20, 20, 5),))
    corners = [(0, 0), (20, 0), (40, 0), (60, 0), (60, 19)]
    plan = laid(*(PiecePlacement("side", x, y, 20, 20, False) for x, y in corners))

    assert faults_in(job, plan) == ["Sheet 1: side at 60, 0 overlaps side at 60, 19."]


def test_a_piece_inside_another_is_found(make_job: Callable[..., Job]) -> None:
    job = make_job(
        stock=(STOCK,), pieces=(WantedPiece("large", 50, 50), WantedPiece("small", 10, 10))
    )
    plan = laid(
        PiecePlacement("large", 0, 0, 50, 50, False), PiecePlacement("small", 20, 20, 10, 10, False)
    )

    assert faults_in(job, plan) == ["Sheet 1: large at 0, 0 overlaps small at 20, 20."]


@pytest.mark.parametrize(("x", "y"), [(-1, 0), (0, -1), (61, 0), (0, 31)])
def test_one_millimetre_past_the_sheet_is_found(
    make_job: Callable[..., Job], x: int, y: int
) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 40, 30),))
    plan = laid(replace(LEFT, x=x, y=y))

    assert faults_in(job, plan) == [
        f"Sheet 1: side at {x}, {y} reaches past the usable part of the sheet."
    ]


@pytest.mark.parametrize(("x", "y"), [(4, 5), (5, 4), (56, 5), (5, 26)])
def test_one_millimetre_of_trim_used_is_found(make_job: Callable[..., Job], x: int, y: int) -> None:
    # Trim 5: the piece of 40 x 30 may begin from 5, 5 to 55, 25.
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 40, 30),), trim=5)

    assert "past the usable part" in faults_in(job, laid(replace(LEFT, x=x, y=y)))[0]
    assert faults_in(job, laid(replace(LEFT, x=min(max(x, 5), 55), y=min(max(y, 5), 25)))) == []


def test_a_missing_kerf_is_found(job: Job) -> None:
    near, apart = replace(RIGHT, x=42), replace(RIGHT, x=43)
    sawn = replace(job, kerf=3)

    assert faults_in(sawn, laid(LEFT, near)) == [
        "Sheet 1: side at 0, 0 leaves no kerf to side at 42, 0."
    ]
    assert faults_in(sawn, laid(LEFT, apart)) == []


def test_a_missing_piece_is_found(job: Job) -> None:
    assert faults_in(job, laid(LEFT)) == ["side: 2 are wanted, 1 placed and 0 unplaced."]


def test_a_piece_too_many_is_found(job: Job) -> None:
    plan = laid(LEFT, RIGHT, replace(LEFT, y=30))

    assert faults_in(job, plan) == ["side: 2 are wanted, 3 placed and 0 unplaced."]


def test_a_piece_both_placed_and_unplaced_is_found(job: Job) -> None:
    plan = replace(GOOD, optimal=False, unplaced=(Unplaced("side", 1, "No room."),))

    assert faults_in(job, plan) == ["side: 2 are wanted, 2 placed and 1 unplaced."]


def test_a_stranger_is_found(job: Job) -> None:
    plan = laid(LEFT, RIGHT, replace(LEFT, piece="lid", y=30))

    assert faults_in(job, plan) == ["Sheet 1: lid is not in the job."]


def test_a_locked_piece_that_is_turned_is_found(make_job: Callable[..., Job]) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 40, 30, 1, rotate=False),))
    plan = laid(PiecePlacement("side", 0, 0, 30, 40, rotated=True))

    assert faults_in(job, plan) == ["Sheet 1: side is turned, but may not be."]


@pytest.mark.parametrize(
    "wrong",
    [
        PiecePlacement("side", 0, 0, 30, 40, rotated=False),
        PiecePlacement("side", 0, 0, 40, 30, rotated=True),
        PiecePlacement("side", 0, 0, 39, 30, rotated=False),
    ],
)
def test_a_wrong_size_is_found(make_job: Callable[..., Job], wrong: PiecePlacement) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 40, 30, 1, rotate=True),))

    (fault,) = faults_in(job, laid(wrong))

    assert fault.endswith("which is not its size.")


# +-----------+-----+
# |           |     |   Four pieces around a hole: no straight cut passes.
# +-----+-----+     |
# |     |hole |     |
# |     +-----+-----+
# |     |           |
# +-----+-----------+
PINWHEEL = (
    PiecePlacement("blade", 0, 0, 40, 20, False),
    PiecePlacement("blade", 40, 0, 20, 40, True),
    PiecePlacement("blade", 20, 40, 40, 20, False),
    PiecePlacement("blade", 0, 20, 20, 40, True),
)


def test_a_pinwheel_cannot_be_cut_straight(make_job: Callable[..., Job]) -> None:
    pieces = (WantedPiece("blade", 40, 20, 4),)

    straight = make_job(stock=(STOCK,), pieces=pieces)
    free = make_job(stock=(STOCK,), pieces=pieces, guillotine=False, stages=None)

    assert faults_in(straight, laid(*PINWHEEL)) == ["Sheet 1: no straight cuts take it apart."]
    assert faults_in(free, laid(*PINWHEEL)) == []


# +---+---+-------+   Across (foot off), down (tall off), across (flat off), down (two squares):
# | s | s | tall  |   four stages.
# +---+---+       |
# | flat  |       |
# +-------+-------+
# | foot          |
# +---------------+
FOUR_STAGES = (
    PiecePlacement("square", 0, 0, 20, 20, False),
    PiecePlacement("square", 20, 0, 20, 20, False),
    PiecePlacement("flat", 0, 20, 40, 20, False),
    PiecePlacement("tall", 40, 0, 20, 40, False),
    PiecePlacement("foot", 0, 40, 60, 20, False),
)
FOUR_STAGE_PIECES = (
    WantedPiece("square", 20, 20, 2),
    WantedPiece("flat", 40, 20),
    WantedPiece("tall", 20, 40),
    WantedPiece("foot", 60, 20),
)


def test_a_fourth_stage_is_found_where_three_are_allowed(make_job: Callable[..., Job]) -> None:
    job = make_job(stock=(STOCK,), pieces=FOUR_STAGE_PIECES)

    assert faults_in(job, laid(*FOUR_STAGES)) == [
        "Sheet 1: it takes 4 stages of cuts; 3 are allowed."
    ]
    assert faults_in(replace(job, stages=None), laid(*FOUR_STAGES)) == []


def test_three_stages_are_allowed(make_job: Callable[..., Job]) -> None:
    # Without the foot the first cut runs down: tall off, flat off, two squares.
    job = make_job(stock=(STOCK,), pieces=FOUR_STAGE_PIECES[:3])

    assert faults_in(job, laid(*FOUR_STAGES[:4])) == []


def test_a_cut_has_to_be_as_wide_as_the_kerf_all_along(make_job: Callable[..., Job]) -> None:
    # Each pair keeps 2 mm in one direction or the other. The only line that no piece crosses runs
    # down between x = 19 (top ends) and x = 20 (right begins): 1 mm wide, too narrow for the saw.
    rectangles = {
        "long": (0, 0, 8, 40),
        "top": (10, 0, 9, 18),
        "foot": (0, 42, 17, 18),
        "right": (20, 20, 20, 18),
        "corner": (22, 40, 18, 20),
    }
    pieces = tuple(WantedPiece(name, w, h) for name, (_, _, w, h) in rectangles.items())
    plan = laid(
        *(PiecePlacement(name, *rectangle, False) for name, rectangle in rectangles.items())
    )

    job = make_job(stock=(STOCK,), pieces=pieces, stages=None)

    assert faults_in(job, plan) == []
    assert faults_in(replace(job, kerf=2), plan) == ["Sheet 1: no straight cuts take it apart."]


def test_a_sheet_too_many_is_found(make_job: Callable[..., Job]) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("side", 40, 30, 3),))
    sheet = CutSheet(STOCK, (LEFT,), ())
    plan = Layout((sheet,) * 3, Decimal(30), Decimal(10), False, ())

    assert faults_in(job, plan) == ["3 sheets of sheet are used; 2 are in stock."]


def test_a_sheet_that_is_not_in_the_stock_is_found(job: Job) -> None:
    sheet = CutSheet(replace(STOCK, width=120), (LEFT, RIGHT), ())

    assert faults_in(job, replace(GOOD, sheets=(sheet,))) == [
        "Sheet sheet, 120 x 60 mm, is not in the stock."
    ]


def test_an_empty_sheet_is_found(job: Job) -> None:
    plan = replace(GOOD, sheets=(*GOOD.sheets, CutSheet(STOCK, (), ())), cost=Decimal(20))

    assert "Sheet 2: nothing is cut from it." in faults_in(job, plan)


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"cost": Decimal(9)}, "The cost is given as 9; the sheets cost 10."),
        ({"lower_bound": Decimal(11), "optimal": False}, "The lower bound, 11, is above the cost"),
        ({"lower_bound": Decimal(9)}, "It is called optimal, but the bound is 9 and the cost 10."),
    ],
)
def test_a_wrong_claim_is_found(job: Job, changes: dict[str, object], fault: str) -> None:
    (found,) = faults_in(job, replace(GOOD, **changes))

    assert found.startswith(fault)


def test_a_plan_that_leaves_out_a_fitting_piece_is_not_optimal(job: Job) -> None:
    plan = replace(laid(LEFT), unplaced=(Unplaced("side", 1, "No time."),))

    assert faults_in(job, plan) == ["It is called optimal, but leaves out pieces that fit a sheet."]


def test_an_unplaced_piece_needs_a_reason(job: Job) -> None:
    plan = replace(laid(LEFT), optimal=False, unplaced=(Unplaced("side", 1, ""),))

    assert faults_in(job, plan) == ["side is named unplaced without a count or a reason."]


@pytest.mark.parametrize(
    ("offcut", "fault"),
    [
        (Offcut(79, 0, 20, 30), "overlaps an offcut"),
        (Offcut(81, 0, 20, 30), "reaches past"),
        (Offcut(80, 0, 0, 30), "has no area"),
    ],
)
def test_an_offcut_that_is_not_there_is_found(job: Job, offcut: Offcut, fault: str) -> None:
    assert fault in faults_in(job, laid(LEFT, RIGHT, offcuts=(offcut,)))[0]


def test_offcuts_that_overlap_are_found(job: Job) -> None:
    plan = laid(LEFT, RIGHT, offcuts=(Offcut(0, 30, 100, 30), Offcut(80, 0, 20, 60)))

    assert "an offcut at 0, 30 overlaps an offcut at 80, 0." in faults_in(job, plan)[0]


def test_an_offcut_that_no_straight_cut_frees_is_found(make_job: Callable[..., Job]) -> None:
    job = make_job(stock=(STOCK,), pieces=(WantedPiece("blade", 40, 20, 2),))
    around = (Offcut(40, 0, 20, 40), Offcut(0, 20, 20, 40))

    plan = laid(PINWHEEL[0], PINWHEEL[2], offcuts=around)

    assert faults_in(job, plan) == ["Sheet 1: no straight cuts free its offcuts."]
