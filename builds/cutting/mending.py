"""Plans made cheaper by ruin and recreate, working towards a goal.

The goal is a budget one step below the best plan's cost. Boards go until the budget is kept, and
their pieces are loose. Then, again and again, a few boards are emptied or thinned out and filled
anew from their own and the loose pieces; the outcome stands if the area of loose pieces does not
grow, or, as in simulated annealing, grows little. No piece loose: the goal is reached, and the
next one set. Goal-driven ruin and recreate for guillotine cutting: Gardeyn and Wauters, European
Journal of Operational Research 301 (2022) 432-444. The rounds themselves are in `rounds`.

All chance comes from one generator with a set seed, so the same work gives the same plan, whatever
the clock says.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import log1p
from typing import Any

from builds.cutting.board import Board
from builds.cutting.compiled import get_ready, seeded
from builds.cutting.draft import Draft
from builds.cutting.flat import Boards, boards_from, cost_step, flattened, sizes_of
from builds.cutting.frames import frames_of
from builds.cutting.rounds import PATIENCES, Pace, seek
from builds.cutting.table import table_for
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget

_HEAT = 0.03  # of a mean piece's area, falling to nothing as the work is done
UNITS_A_WORK = 1_400
UNITS_AT_ONCE = 500_000  # a few milliseconds of machine code
UNITS_AT_ONCE_IF_PLAIN = 2_000
_UNITS_A_PICTURE = 4_000_000  # between two looks at the boards for the gallery
_MOST_COST = 2**62


def mended(
    draft: Draft,
    bound: int,
    work: WorkBudget,
    *,
    start: Draft | None = None,
    gallery: list[Board] | None = None,
    seed: int = 1,
) -> Iterator[Draft]:
    """Give better and better plans until one meets the bound (in millionths) or work is done.

    The first goal is sought from `start`, where another plan than the best one promises more; None:
    from the best. Boards made on the way are added to the gallery, if there is one: others may
    choose among them.
    """
    search = _Search(draft.job, work, seeded(seed), [] if gallery is None else gallery)
    while not work.done and (draft.cost > bound or not draft.complete) and search.possible:
        budget = draft.cost - search.step if draft.complete else search.cost_of_all
        better = search.sought(start or draft, budget)
        start = None
        if better.rank < draft.rank:
            draft = better
            yield draft
        elif not draft.complete:
            return


class _Search:
    """What all goals of one job have in common."""

    def __init__(self, job: Job, work: WorkBudget, chance: Any, gallery: list[Board]) -> None:
        self._job = job
        self._work = work
        self._chance = chance
        self._gallery = gallery
        self._frames = frames_of(job)
        self._count = sum(piece.quantity for piece in job.pieces)
        self._sizes = sizes_of(job, self._frames)
        self._table = table_for(self._count)
        self._patience = patience()
        self.step = cost_step(self._frames)

    @property
    def cost_of_all(self) -> int:
        """More than any plan costs, in millionths."""
        return self._count * max(frame.cost for frame in self._frames)

    @property
    def possible(self) -> bool:
        """Whether costs are small enough to be counted in arrays."""
        return self.cost_of_all // self.step < _MOST_COST

    def sought(self, draft: Draft, budget: int) -> Draft:
        """A plan within the budget, reached from the draft; work done first, pieces are left."""
        get_ready(self._work.stop)
        kept, free = _within(budget, draft.boards)
        boards = flattened(self._job, self._frames, kept, free // self.step)
        pace = self._pace()
        picture = _UNITS_A_PICTURE
        while boards.loose_count[0] and not self._work.done:
            self._seek(boards, pace, min(picture, pace.most))
            if pace.done[0] >= picture:
                self._gallery.extend(boards_from(boards, self._frames))
                picture += _UNITS_A_PICTURE
        return self._draft(boards_from(boards, self._frames))

    def _pace(self) -> Pace:
        import numpy as np

        done = np.zeros(1, dtype=np.int64)
        heat = _HEAT * self._mean_area()
        return Pace(done, self._work.left * UNITS_A_WORK, heat, self._patience, self._chance)

    def _mean_area(self) -> float:
        pairs = zip(self._sizes.area.tolist(), self._job.pieces, strict=True)
        return float(sum(area * piece.quantity for area, piece in pairs) / self._count)

    def _seek(self, boards: Boards, pace: Pace, until: int) -> None:
        """Go through rounds for a few milliseconds, or until so many units are done in all."""
        most = UNITS_AT_ONCE if seek.machine_code else UNITS_AT_ONCE_IF_PLAIN
        before = int(pace.done[0])
        seek(self._sizes, boards, self._table, pace, min(most, until - before))
        self._work.spend(int(pace.done[0]) // UNITS_A_WORK - before // UNITS_A_WORK)

    def _draft(self, boards: tuple[Board, ...]) -> Draft:
        placed = Counter(laid.kind for board in boards for laid in board.laid())
        left = (piece.quantity - placed[kind] for kind, piece in enumerate(self._job.pieces))
        return Draft(self._job, boards, tuple(left))


def patience() -> Any:
    """Quantiles of the exponential distribution: how far above the mean chance may go."""
    import numpy as np

    return np.array([-log1p(-(n + 0.5) / PATIENCES) for n in range(PATIENCES)])


def _within(budget: int, boards: Sequence[Board]) -> tuple[list[Board], int]:
    """Boards that cost no more than the budget, without the emptiest; and what is left of it."""
    kept = sorted(boards, key=lambda board: (board.frame.cost == 0, board.used))
    cost = sum(board.frame.cost for board in kept)
    while cost > budget:
        cost -= kept.pop(0).frame.cost
    return kept, budget - cost
