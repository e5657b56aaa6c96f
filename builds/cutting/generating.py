"""Boards for the linear program, generated until its answer is as cheap as any could be.

Each round asks for the worthiest boards at the values of pieces that the answer gives, mixed with
the values that gave the best bound so far, because answers swing (Wentges, International
Transactions in Operational Research 4 (1997) 151-162). No board worth more than it costs: done.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil, gcd
from typing import NamedTuple

from builds.cutting.board import Board
from builds.cutting.frames import frames_of
from builds.cutting.master import Answer, Master
from builds.cutting.pricing import SCALE, Pricing, bound_from, whole
from builds.cutting.values import Job
from builds.cutting.work import Work

_BOARDS_A_FRAME = 6
_INERTIA = 0.5  # share of the best values so far
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

    def __init__(self, job: Job, work: Work) -> None:
        self._job = job
        self._work = work
        self.frames = frames_of(job)
        self.left = [
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

    def answer(self) -> Answer:
        answer = self.master.answer()
        self._work.spend(_WORK_AN_ANSWER + answer.steps)
        return answer

    def cost(self, answer: Answer) -> int:
        """What whole boards cost at least if the answer is as cheap as any; in millionths."""
        return ceil(answer.cost * self._dearest / self.step - _BETTER) * self.step

    def run(self, rounds: int, inertia: float = _INERTIA) -> tuple[Answer, int]:
        """Add boards while they make the answer cheaper; with it give the bound, in millionths.

        The bound holds for plans in three stages for the pieces left, from what is left of stock.
        """
        answer = self.answer()
        best = 0
        centre: Answer | None = None
        for _ in range(rounds):
            if self._work.done or self.cost(answer) <= best:
                break
            at = answer if centre is None else _mixed(answer, centre, inertia)
            look = self._look(at)
            if look is None:
                break
            found = ceil(look.bound / self.step) * self.step
            if found > best or centre is None:
                best, centre = max(best, found), at
            elif not look.added:
                centre = None
            if not look.added and at is answer:
                break
            answer = self.answer()
        return answer, best

    def _look(self, at: Answer) -> _Look | None:
        """Add the worthiest boards at these values; None if there was no time to look."""
        values = whole(at.values)
        worths: dict[int, int] = {}
        added = 0
        for pricing in self._pricings:
            if not pricing.fill(self.left, values, self._work.stop):
                return None
            self._work.spend(_WORK_A_ROUND + pricing.cells // _CELLS_A_WORK)
            for frame in pricing.frames:
                worths[frame.source] = max(worths.get(frame.source, 0), pricing.worth(frame))
                cost = frame.cost / self._dearest + at.fees[frame.source]
                least = int((cost + _BETTER) * SCALE)
                found = self.add(pricing.boards(frame, least, _BOARDS_A_FRAME))
                self._work.spend(_WORK_A_BOARD * found)
                added += found
        bound = bound_from(self._job, worths, self.left, values, self._costs)
        return _Look(bound, added)


def _mixed(answer: Answer, centre: Answer, inertia: float) -> Answer:
    """The answer with values between its own and the centre's."""
    return answer._replace(
        values=_between(answer.values, centre.values, inertia),
        fees=_between(answer.fees, centre.fees, inertia),
    )


def _between(one: Sequence[float], other: Sequence[float], part: float) -> list[float]:
    return [a + part * (b - a) for a, b in zip(one, other, strict=True)]
