"""Boards for the linear program, generated until its answer is as cheap as any could be.

Each round asks for the worthiest boards at the values of pieces that the answer gives, mixed with
the values that gave the best bound so far, because answers swing (Wentges, International
Transactions in Operational Research 4 (1997) 151-162). No board worth more than it costs: done.
The bound holds for plans in three stages.
"""

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from math import ceil, gcd
from typing import NamedTuple

from builds.cutting.board import Board
from builds.cutting.frames import frames_of
from builds.cutting.master import Master, MasterSolution
from builds.cutting.pricing import SCALE, Pricing, bound_from, whole
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget

_BOARDS_A_FRAME = 6
_BETTER = 1e-6
_CELLS_A_WORK = 25_000
_WORK_A_ROUND = 100
_WORK_A_BOARD = 15
_WORK_AN_ANSWER = 30


class _Look(NamedTuple):
    """What was found at certain values of pieces."""

    bound: Fraction  # in millionths; no plan for the pieces left is cheaper
    added: int  # new boards


class Generation:
    """Boards to choose from, and the linear program over them."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self.bound = 0  # in millionths
        self.frames = frames_of(job)
        self.wanted = [
            piece.quantity if any(frame.ways[kind] for frame in self.frames) else 0
            for kind, piece in enumerate(job.pieces)
        ]
        self.step = gcd(*(frame.cost for frame in self.frames)) or 1
        self._dearest = max(frame.cost for frame in self.frames) or 1
        self._costs = {frame.source: frame.cost for frame in self.frames}
        self.master = Master(job, self._dearest)
        self._known: set[tuple[int, frozenset[tuple[int, int]]]] = set()
        directions = sorted({frame.upright for frame in self.frames})
        self._pricings = [
            Pricing([frame for frame in self.frames if frame.upright == upright])
            for upright in directions
        ]

    def add(self, boards: Iterable[Board]) -> int:
        """Let the linear program choose among these too; give how many of them are new."""
        added = 0
        for board in boards:
            counts = Counter(laid.kind for laid in board.laid())
            key = board.frame.source, frozenset(counts.items())
            if key not in self._known:
                self._known.add(key)
                self.master.add(board, counts)
                added += 1
        return added

    def answer(self, work: WorkBudget) -> MasterSolution:
        """The linear program's answer; of no use if work was stopped meanwhile."""
        answer = self.master.answer(work.stop)
        work.spend(_WORK_AN_ANSWER + answer.steps)
        return answer

    def run(self, work: WorkBudget) -> None:
        """Add boards while they make the answer cheaper, and raise the bound."""
        answer = self.answer(work)
        centre = answer
        while not work.done and self._cost(answer) > self.bound:
            at = _between(answer, centre)
            look = self._look(at, work)
            if look is None:
                break
            raised = ceil(look.bound / self.step) * self.step
            if raised > self.bound:
                self.bound, centre = raised, at
            elif not look.added:
                if at is answer:
                    break
                centre = answer
            if look.added:
                answer = self.answer(work)

    def _cost(self, answer: MasterSolution) -> int:
        """What whole boards cost at least if the answer is as cheap as any; in millionths."""
        return ceil(answer.cost * self._dearest / self.step - _BETTER) * self.step

    def _look(self, at: MasterSolution, work: WorkBudget) -> _Look | None:
        """Add the worthiest boards at these values; None if there was no time to look."""
        values = whole(at.values)
        worths: dict[int, int] = {}
        added = 0
        for pricing in self._pricings:
            if not pricing.fill(self.wanted, values, work.stop):
                return None
            work.spend(_WORK_A_ROUND + pricing.cells // _CELLS_A_WORK)
            for frame in pricing.frames:
                worths[frame.source] = max(worths.get(frame.source, 0), pricing.worth(frame))
                cost = frame.cost / self._dearest + at.fees[frame.source]
                least = int((cost + _BETTER) * SCALE)
                found = self.add(pricing.boards(frame, least, _BOARDS_A_FRAME))
                work.spend(_WORK_A_BOARD * found)
                added += found
        return _Look(bound_from(self._job, worths, self.wanted, values, self._costs), added)


def _between(answer: MasterSolution, centre: MasterSolution) -> MasterSolution:
    """The answer with values between its own and the centre's."""
    if answer is centre:
        return answer
    return answer._replace(
        values=[(a + b) / 2 for a, b in zip(answer.values, centre.values, strict=True)],
        fees=[(a + b) / 2 for a, b in zip(answer.fees, centre.fees, strict=True)],
    )
