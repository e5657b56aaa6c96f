"""Plans without stages: what only they can do, and never worse than three stages."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece, cut, faults_in
from builds.cutting.arranging import arranged, largest_growth
from builds.cutting.board import Laid
from builds.cutting.frames import Frame, Orientation
from builds.cutting.free_board import FreeBoard

PINWHEEL = (
    WantedPiece("blade", 40, 30, 2, rotate=False),
    WantedPiece("upright blade", 30, 40, 2, rotate=False),
    WantedPiece("hub", 10, 10),
)
# 50 x 100; beside it 50 x 50; below that 25 x 50; beside that 25 x 25; below that two that fill it.
SPIRAL = tuple(
    WantedPiece(f"p{n}", width, height, rotate=False)
    for n, (width, height) in enumerate(
        [(50, 100), (50, 50), (25, 50), (25, 25), (10, 25), (15, 25)]
    )
)


def job_of(
    pieces: tuple[WantedPiece, ...], side: int, *, guillotine: bool, stages: int | None
) -> Job:
    stock = (StockSheet("sheet", side, side, None, Decimal(1)),)
    return Job(pieces, stock, guillotine=guillotine, stages=stages)


def test_a_pinwheel_takes_one_sheet_where_cuts_are_free() -> None:
    # Four blades round a hub fill 70 x 70, and no straight cut parts them.
    free = job_of(PINWHEEL, 70, guillotine=False, stages=None)
    straight = job_of(PINWHEEL, 70, guillotine=True, stages=None)

    assert cut(free, work=2_000).cost == 1
    assert cut(straight, work=2_000).cost == 2


def test_a_spiral_takes_one_sheet_where_stages_are_not_counted() -> None:
    # It fills 100 x 100, and each piece needs the cuts to change direction once more.
    three = job_of(SPIRAL, 100, guillotine=True, stages=3)
    deep = job_of(SPIRAL, 100, guillotine=True, stages=None)

    assert cut(three, work=2_000).cost == 2
    assert cut(deep, work=2_000).cost == 1


@st.composite
def free_jobs(draw: st.DrawFn) -> Job:
    size = st.integers(1, 40)
    pieces = tuple(
        WantedPiece(
            f"p{number}", draw(size), draw(size), draw(st.integers(1, 4)), draw(st.booleans())
        )
        for number in range(draw(st.integers(1, 8)))
    )
    stock = (
        StockSheet("large", 60, 50, draw(st.none() | st.integers(1, 3)), Decimal(3)),
        StockSheet(
            "small", 45, 30, draw(st.none() | st.integers(0, 3)), Decimal(draw(st.integers(0, 2)))
        ),
    )
    guillotine = draw(st.booleans())
    return Job(
        pieces, stock, draw(st.integers(0, 3)), draw(st.integers(0, 2)), guillotine, None, 1.0, 5
    )


@given(free_jobs())
@settings(max_examples=60)
def test_any_plan_without_stages_passes_the_checker(job: Job) -> None:
    assert faults_in(job, cut(job, work=200)) == []


def test_the_same_work_gives_the_same_plan() -> None:
    pieces = tuple(
        WantedPiece(f"p{n}", 7 + 5 * n % 31, 9 + 11 * n % 29, 1 + n % 3) for n in range(12)
    )
    job = job_of(pieces, 60, guillotine=False, stages=None)

    assert cut(job, work=1_000) == cut(job, work=1_000)


# --- What is left on such a board ---

SIDE = 12


def free_board(*boxes: tuple[int, int, int, int], straight: bool) -> FreeBoard:
    """Pieces given by x, y, width and height."""
    frame = Frame(0, SIDE, SIDE, upright=False, cost=1, ways=())
    placed = tuple((Laid(0, Orientation(w, h, turned=False)), x, y) for x, y, w, h in boxes)
    return FreeBoard(frame, 0, sum(w * h for _, _, w, h in boxes), [], placed, straight)


@st.composite
def boxes(draw: st.DrawFn) -> list[tuple[int, int, int, int]]:
    """Boxes that do not overlap: of those drawn, what keeps clear of the earlier ones."""
    side = st.integers(1, 5)
    kept: list[tuple[int, int, int, int]] = []
    for x, y, w, h in draw(st.lists(st.tuples(st.integers(0, 7), st.integers(0, 7), side, side))):
        if all(x + w <= a or a + c <= x or y + h <= b or b + d <= y for a, b, c, d in kept):
            kept.append((x, y, w, h))
    return kept


def largest_empty(taken: list[tuple[int, int, int, int]]) -> int:
    """Every rectangle of whole cells is tried."""
    full = {(i, j) for x, y, w, h in taken for i in range(x, x + w) for j in range(y, y + h)}
    best = 0
    for x in range(SIDE):
        for y in range(SIDE):
            width = SIDE - x
            for height in range(1, SIDE - y + 1):
                row = y + height - 1
                clear = (i - x for i in range(x, x + width) if (i, row) in full)
                width = next(clear, width)
                best = max(best, width * height)
    return best


@given(boxes())
def test_the_largest_rectangle_where_nothing_lies_is_found(
    taken: list[tuple[int, int, int, int]],
) -> None:
    growth = largest_growth(free_board(*taken, straight=False), 0, 1)

    assert (growth.width * growth.height if growth else 0) == largest_empty(taken)


def test_straight_cuts_have_to_free_the_offcut() -> None:
    # Four blades of 8 x 4 round a hole of 4 x 4: no straight cut reaches the hole.
    blades = ((0, 0, 8, 4), (8, 0, 4, 8), (4, 8, 8, 4), (0, 4, 4, 8))

    assert largest_growth(free_board(*blades, straight=False), 0, 1) is not None
    assert largest_growth(free_board(*blades, straight=True), 0, 1) is None


def test_rests_worth_keeping_are_told_largest_first() -> None:
    # 5 x 12 on 12 x 12, and 7 x 3 in the other corner: 7 x 9 is left.
    board = arranged(free_board((0, 0, 5, 12), (5, 0, 7, 3), straight=True), 0, 2)

    assert [(rest.width, rest.height) for rest in board.rests()] == [(7, 9)]
