"""Ruin and recreate: it finds what is known to be there, and keeps to budget and stock."""

from decimal import Decimal
from random import Random

import pytest

from builds.cutting import Job, StockSheet, WantedPiece, faults_in
from builds.cutting.board import Board, BoardSpot
from builds.cutting.draft import Draft, layout_of
from builds.cutting.frames import UNITS, frames_of
from builds.cutting.layout import never
from builds.cutting.mending import mended
from builds.cutting.work import WorkBudget

SHEET = StockSheet("sheet", 120, 100, None, Decimal(1))


def pieces_of_whole_sheets(count: int, seed: int) -> tuple[WantedPiece, ...]:
    """Sheets cut in three stages until nothing is left over; so they fit on as many again."""
    random = Random(seed)
    sizes = [
        (across, down)
        for _ in range(count)
        for band in parts(random, SHEET.height)
        for across in parts(random, SHEET.width)
        for down in ((band,) if random.random() < 0.5 else (band // 2, band - band // 2))
    ]
    return tuple(WantedPiece(f"p{n}", *size, rotate=False) for n, size in enumerate(sizes))


def parts(random: Random, whole: int) -> tuple[int, int]:
    part = random.randint(20, whole - 20)
    return part, whole - part


def one_a_board(job: Job) -> Draft:
    """The worst plan: a sheet for each piece, the dearest there is."""
    frame = max(frames_of(job), key=lambda frame: frame.cost)
    boards = []
    for kind, piece in enumerate(job.pieces):
        for _ in range(piece.quantity):
            boards.append(Board(frame, frame.height))
            boards[-1].lay(kind, BoardSpot(None, None, frame.ways[kind][0]))
    return Draft(job, tuple(boards), (0,) * len(job.pieces))


def best(job: Job, bound: int, work: int) -> Draft:
    *_, last = mended(one_a_board(job), bound * UNITS, WorkBudget(work, never))
    return last


@pytest.mark.parametrize("seed", range(4))
def test_pieces_of_two_whole_sheets_go_on_two_sheets_again(seed: int) -> None:
    job = Job(pieces_of_whole_sheets(2, seed), (SHEET,))

    draft = best(job, bound=2, work=20_000)

    assert len(draft.boards) == 2
    assert faults_in(job, layout_of(draft, 0, out_of_time=False)) == []


def test_a_finite_stock_is_not_overdrawn_and_the_cheap_is_taken_first() -> None:
    stock = (SHEET, StockSheet("rest", 120, 50, 2, Decimal(0)))
    job = Job((WantedPiece("half", 60, 50, 8, rotate=False),), stock)

    draft = best(job, bound=1, work=5_000)

    # Two rests hold two each for nothing; the other four fill one sheet.
    assert sorted(board.frame.source for board in draft.boards) == [0, 1, 1]
    assert faults_in(job, layout_of(draft, 0, out_of_time=False)) == []


def test_boards_on_the_way_join_the_gallery() -> None:
    job = Job(pieces_of_whole_sheets(3, 2), (SHEET,))
    gallery: list[Board] = []

    list(mended(one_a_board(job), 0, WorkBudget(20_000, never), gallery=gallery))

    assert gallery
    assert all(board.frame.source == 0 for board in gallery)
