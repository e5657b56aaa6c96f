"""The bound against arithmetic by hand, and against sheets that were cut up at random."""

from collections.abc import Callable
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece
from builds.cutting.bound import lower_bound

Rectangle = tuple[int, int]


def endless(width: int, height: int, cost: int | str = 1) -> StockSheet:
    return StockSheet(f"{width}x{height}", width, height, None, Decimal(cost))


def test_nothing_costs_nothing(make_job: Callable[..., Job]) -> None:
    assert lower_bound(make_job(), [0]) == 0


def test_area_counts_sheets(make_job: Callable[..., Job]) -> None:
    # 3 x 40 x 60 = 7200 mm2 of sheets of 6000: two.
    job = make_job(pieces=(WantedPiece("side", 40, 60, 3),))

    assert lower_bound(job, [3]) == 20


def test_pieces_over_half_in_both_directions_need_a_sheet_each(
    make_job: Callable[..., Job],
) -> None:
    # 4 x 36 = 144 by area two sheets of 100, but no two of 6 x 6 go on 10 x 10.
    job = make_job(stock=(endless(10, 10),), pieces=(WantedPiece("square", 6, 6, 4),))

    assert lower_bound(job, [4]) == 4


def test_turning_can_save_a_sheet(make_job: Callable[..., Job]) -> None:
    # On 10 x 6: two of 6 x 5 are 12 wide beside and 10 high above each other, so neither way goes.
    # Turned to 5 x 6 they are 10 wide.
    locked = make_job(stock=(endless(10, 6),), pieces=(WantedPiece("a", 6, 5, 2, rotate=False),))
    turned = make_job(stock=(endless(10, 6),), pieces=(WantedPiece("a", 6, 5, 2, rotate=True),))

    assert lower_bound(locked, [2]) == 2
    assert lower_bound(turned, [2]) == 1


def test_kerf_counts(make_job: Callable[..., Job]) -> None:
    # Two of 50 fill 100, but not with a saw of 1 mm between them.
    pieces = (WantedPiece("half", 50, 60, 2),)

    assert lower_bound(make_job(pieces=pieces), [2]) == 10
    assert lower_bound(make_job(pieces=pieces, kerf=1), [2]) == 20


def test_trim_counts(make_job: Callable[..., Job]) -> None:
    # Trimmed by 5 all round, 90 x 50 are left of 100 x 60: one piece of 46 x 50 each.
    job = make_job(pieces=(WantedPiece("a", 46, 50, 2, rotate=False),), trim=5)

    assert lower_bound(job, [2]) == 20


def test_area_is_bought_where_it_is_cheapest(make_job: Callable[..., Job]) -> None:
    # The small sheets give 5000 mm2 for 1 and there are two; the large ones 10 000 for 3.
    stock = (endless(100, 100, 3), StockSheet("small", 100, 50, 2, Decimal(1)))
    job = make_job(stock=stock, pieces=(WantedPiece("a", 50, 50, 6),))

    # 4 x 2500 mm2: two small ones. 6 x 2500: half a large one besides, 2 + 1.5 rounded up.
    assert lower_bound(job, [4]) == 2
    assert lower_bound(job, [6]) == 4


def test_sheets_already_paid_for_cost_nothing(make_job: Callable[..., Job]) -> None:
    stock = (StockSheet("rest", 100, 60, 1, Decimal(0)), endless(100, 60, "12.50"))
    job = make_job(stock=stock, pieces=(WantedPiece("a", 60, 60, 3),))

    # Each takes a sheet: one is free, two at 12.50.
    assert lower_bound(job, [3]) == Decimal("25")


def cut_up(draw: st.DrawFn, width: int, height: int, kerf: int, depth: int = 4) -> list[Rectangle]:
    """Cut a rectangle straight, again and again, at random."""
    down = draw(st.booleans())
    length = width if down else height
    if depth == 0 or length < kerf + 2:
        return [(width, height)]
    at = draw(st.integers(1, length - kerf - 1))
    rest = length - kerf - at
    one, other = ((at, height), (rest, height)) if down else ((width, at), (width, rest))
    return cut_up(draw, *one, kerf, depth - 1) + cut_up(draw, *other, kerf, depth - 1)


@st.composite
def cut_sheets(draw: st.DrawFn) -> tuple[Job, list[int]]:
    width, height = draw(st.integers(2, 30)), draw(st.integers(2, 30))
    kerf, sheets = draw(st.sampled_from([0, 1, 3])), draw(st.integers(1, 3))
    rectangles = [r for _ in range(sheets) for r in cut_up(draw, width, height, kerf)]
    pieces = tuple(
        WantedPiece(f"p{number}", *rectangle, 1, draw(st.booleans()))
        for number, rectangle in enumerate(rectangles)
    )
    return Job(pieces, (endless(width, height),), kerf=kerf), [sheets]


@given(cut_sheets())
def test_what_was_cut_from_so_many_sheets_never_needs_more(case: tuple[Job, list[int]]) -> None:
    job, (sheets,) = case

    assert 1 <= lower_bound(job, [1] * len(job.pieces)) <= sheets
