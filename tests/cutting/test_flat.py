"""Boards in arrays are the boards they were made from."""

from collections import Counter
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from builds.cutting import Job, StockSheet, WantedPiece
from builds.cutting.flat import boards_from, flattened
from builds.cutting.frames import frames_of
from builds.cutting.greedy import greedy_drafts
from builds.cutting.layout import never

SIZES = st.tuples(st.integers(1, 60), st.integers(1, 60), st.integers(1, 4), st.booleans())
JOBS = st.builds(
    lambda sizes, kerf: Job(
        tuple(WantedPiece(f"p{n}", *size) for n, size in enumerate(sizes)),
        (StockSheet("wide", 90, 60, None, Decimal(3)), StockSheet("square", 60, 60, 2, Decimal(1))),
        kerf=kerf,
    ),
    st.lists(SIZES, min_size=1, max_size=6),
    st.integers(0, 3),
)


@given(JOBS)
def test_boards_come_back_from_their_arrays_as_they_were(job: Job) -> None:
    frames = frames_of(job)

    for draft in greedy_drafts(job, never):
        back = boards_from(flattened(job, frames, draft.boards, 0), frames)

        assert [_places(board) for board in back] == [_places(board) for board in draft.boards]
        assert [(board.used, board.room) for board in back] == [
            (board.used, board.room) for board in draft.boards
        ]


@given(JOBS, st.integers(0, 3))
def test_what_is_on_no_board_is_loose(job: Job, kept: int) -> None:
    draft = next(greedy_drafts(job, never))
    gone = Counter(laid.kind for board in draft.boards[kept:] for laid in board.laid())

    flat = flattened(job, frames_of(job), draft.boards[:kept], 0)

    loose = flat.loose[: flat.loose_count[0]]
    assert Counter(flat.kind[loose].tolist()) == gone


def _places(board):
    return [(laid.kind, laid.way.width, laid.way.height, x, y) for laid, x, y in board.places()]
