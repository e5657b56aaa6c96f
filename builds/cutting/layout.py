"""Pieces laid out on stock sheets, as cheaply as the time allows.

First a plain greedy plan, so that there is always one; then the searches, each of which starts from
the best plan so far and ends as soon as its cost meets the lower bound; then the finish.
"""

from collections.abc import Callable, Iterator
from itertools import chain

from builds.cutting.board import Board
from builds.cutting.bound import lower_bound
from builds.cutting.columns import Columns
from builds.cutting.draft import Draft, layout_of
from builds.cutting.finishing import finished
from builds.cutting.frames import UNITS, frames_of
from builds.cutting.freeing import freed
from builds.cutting.greedy import greedy_drafts
from builds.cutting.mending import mended
from builds.cutting.values import Job, Layout
from builds.cutting.work import Stop, WorkBudget

_WORK_A_SECOND = 90_000
_GREEDY = 0.1  # of the work, for plain plans
_SHORT = 0.35  # of the work, before boards are chosen by the linear program
_GENERATED = 0.5  # of the work, before each dive, for boards to choose from
_SHORT_OF_MANY = 0.05  # the same two where there are many of each kind
_GENERATED_OF_MANY = 0.4
_MOST_FROM_GALLERY = 1_000
_FREE = 0.5  # of the work, without stages, where the job asks for that
_FINISH = 0.1  # of the work, once the cost is settled
_WORK_A_PIECE = 3_000  # more is of no use to a small job


def never() -> bool:
    return False


def cut(
    job: Job,
    stop: Stop = never,
    *,
    work: int | None = None,
    report: Callable[[Layout], None] | None = None,
) -> Layout:
    """Lay the job's pieces out on its stock.

    The search ends when it has proved its plan the cheapest or done its work, which is counted in
    units of `Work` (None: as many as `job.seconds` suffice for on a middling machine); the same
    work gives the same plan. `stop` is asked often and ends it earlier when it says True: the
    best plan so far is returned, and what was not reached yet is unplaced with that reason.
    `report` is told each plan that is better than the last.
    """
    most = _usual_work(job) if work is None else work
    last = WorkBudget(round(_FINISH * most), stop)
    freely = WorkBudget(0 if _in_three_stages(job) else round(_FREE * most), stop)
    search = _Search(job, WorkBudget(most - last.most - freely.most, stop))
    for draft in chain(search.drafts(), search.freed(freely), search.finished(last)):
        if report:
            report(layout_of(draft, search.bound, out_of_time=False))
    assert search.best is not None
    return layout_of(search.best, search.bound, out_of_time=stop())


def _in_three_stages(job: Job) -> bool:
    return job.guillotine and job.stages == 3


def _usual_work(job: Job) -> int:
    pieces = sum(piece.quantity for piece in job.pieces)
    return min(round(job.seconds * _WORK_A_SECOND), pieces * _WORK_A_PIECE)


class _Search:
    """The best draft so far and the bound it is measured by, in millionths."""

    def __init__(self, job: Job, work: WorkBudget) -> None:
        self._job = job
        self._work = work
        self.best: Draft | None = None
        self.bound = 0

    def drafts(self) -> Iterator[Draft]:
        """Give better and better drafts."""
        for draft in greedy_drafts(self._job, self._work.stop):
            yield from self._better(draft)
            self._work.spend(len(draft.boards) * len(self._job.stock) * len(self._job.pieces) // 4)
            if self._work.left < (1 - _GREEDY) * self._work.most:
                break
        assert self.best is not None
        self.bound = _bound(self.best)
        if frames_of(self._job) and self.best.complete:
            yield from self._searched()

    def freed(self, work: WorkBudget) -> Iterator[Draft]:
        """Give drafts that three stages do not allow."""
        for draft in freed(self._best, self.bound, work):
            yield from self._better(draft)

    def finished(self, work: WorkBudget) -> Iterator[Draft]:
        """Give drafts with a larger offcut, then fewer set-ups."""
        for draft in finished(self._best, work):
            yield from self._better(draft)

    def _searched(self) -> Iterator[Draft]:
        """Mend, dive, mend what the dive brought up, dive again."""
        gallery: list[Board] = []
        columns = Columns(self._job, self._work)
        many = sum(piece.quantity for piece in self._job.pieces) > 3 * len(self._job.pieces)
        generated, between = (_GENERATED_OF_MANY, _SHORT_OF_MANY) if many else (_GENERATED, _SHORT)
        if not many:
            yield from self._mended(self._best, _SHORT, gallery)
        while not self._done:
            latest = gallery[-_MOST_FROM_GALLERY:]
            diver = columns.dived(self._best, self.bound, latest, generated)
            self.bound = max(self.bound, columns.bound)
            yield from self._better(diver)
            promising = not any(diver.left) and diver.cost <= self._best.cost
            yield from self._mended(diver if promising else self._best, between, gallery)

    def _mended(self, start: Draft, part: float, gallery: list[Board]) -> Iterator[Draft]:
        if not self._done:
            work = self._work.share(part)
            for draft in mended(self._best, self.bound, work, start=start, gallery=gallery):
                yield from self._better(draft)

    def _better(self, draft: Draft) -> Iterator[Draft]:
        if self.best is None or draft.rank < self.best.rank:
            self.best = draft
            yield draft

    @property
    def _best(self) -> Draft:
        assert self.best is not None
        return self.best

    @property
    def _done(self) -> bool:
        return self._work.done or self._best.cost <= self.bound


def _bound(draft: Draft) -> int:
    placed = [
        piece.quantity - left for piece, left in zip(draft.job.pieces, draft.left, strict=True)
    ]
    return int(lower_bound(draft.job, placed) * UNITS)
