"""A plan made cheaper at a few of its boards: the emptiest, with all that lies on them.

A dive fills its boards well until few pieces are left, and these badly. What is left then is a
small job of its own, with the same kinds of pieces and sheets, and is mended as such.
"""

from collections import Counter
from dataclasses import replace

from builds.cutting.board import Board
from builds.cutting.draft import Draft
from builds.cutting.mending import mended
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget


def mended_where_emptiest(draft: Draft, bound: int, pieces: int, work: WorkBudget) -> Draft:
    """The draft with its emptiest boards, of so many pieces in all, mended by themselves.

    `bound` is the whole plan's, in millionths.
    """
    taken, kept = _emptiest(draft, pieces)
    part = Draft(_job_of(draft.job, taken, kept), taken, tuple(0 for _ in draft.left))
    for better in mended(part, bound - (draft.cost - part.cost), work):
        part = better
    return Draft(draft.job, (*kept, *part.boards), draft.left)


def _emptiest(draft: Draft, pieces: int) -> tuple[tuple[Board, ...], tuple[Board, ...]]:
    """The emptiest boards, and the others."""
    order = sorted(draft.boards, key=lambda board: board.used / board.frame.area)
    taken = 0
    while pieces > 0 and taken < len(order):
        pieces -= sum(1 for _ in order[taken].laid())
        taken += 1
    return tuple(order[:taken]), tuple(order[taken:])


def _job_of(job: Job, taken: tuple[Board, ...], kept: tuple[Board, ...]) -> Job:
    """What is on the boards taken, from the stock that the others leave."""
    wanted = Counter(laid.kind for board in taken for laid in board.laid())
    used = Counter(board.frame.source for board in kept)
    return replace(
        job,
        pieces=tuple(replace(p, quantity=wanted[kind]) for kind, p in enumerate(job.pieces)),
        stock=tuple(
            stock if stock.quantity is None else replace(stock, quantity=stock.quantity - used[n])
            for n, stock in enumerate(job.stock)
        ),
    )
