"""Pieces laid out on stock sheets, as cheaply as the time allows.

First a plain greedy plan, so that there is always one; then the searches, each of which starts from
the best plan so far and ends as soon as its cost meets the lower bound.
"""

from collections.abc import Callable, Iterator

from builds.cutting.bound import lower_bound
from builds.cutting.draft import Draft, Stop, plan_of
from builds.cutting.frames import UNITS, frames_of
from builds.cutting.greedy import greedy_drafts
from builds.cutting.mending import Work, mended
from builds.cutting.values import Job, Plan

_WORK_A_SECOND = 70_000
_WORK_A_PIECE = 3_000  # more is of no use to a small job


def never() -> bool:
    return False


def cut(
    job: Job,
    stop: Stop = never,
    *,
    work: int | None = None,
    report: Callable[[Plan], None] | None = None,
) -> Plan:
    """Lay the job's pieces out on its stock.

    The search ends when it has proved its plan the cheapest or done its work, which is counted in
    spots sought for a piece (None: as many as `job.seconds` suffice for on a middling machine); the
    same work gives the same plan. `stop` is asked often and ends it earlier when it says True: the
    best plan so far is returned, and what was not reached yet is unplaced with that reason.
    `report` is told each plan that is better than the last.
    """
    most = _usual_work(job) if work is None else work
    best = next(drafts := _drafts(job, Work(most, most, stop)))
    for draft in drafts:
        if draft.rank < best.rank:
            best = draft
            if report:
                report(plan_of(best, _bound(best), out_of_time=False))
    return plan_of(best, _bound(best), out_of_time=stop())


def _usual_work(job: Job) -> int:
    pieces = sum(piece.quantity for piece in job.pieces)
    return min(round(job.seconds * _WORK_A_SECOND), pieces * _WORK_A_PIECE)


def _drafts(job: Job, work: Work) -> Iterator[Draft]:
    yield (best := next(plain := greedy_drafts(job, work.stop)))
    for draft in plain:
        best = min(best, draft, key=lambda draft: draft.rank)
        yield draft
    if frames_of(job) and not work.done:
        yield from mended(best, _bound(best), work)


def _bound(draft: Draft) -> int:
    placed = [
        piece.quantity - left for piece, left in zip(draft.job.pieces, draft.left, strict=True)
    ]
    return int(lower_bound(draft.job, placed) * UNITS)
