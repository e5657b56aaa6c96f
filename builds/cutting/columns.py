"""Plans from the linear program over boards: generate boards, dive, mend where the dive ends.

The board that is cut most in the program's answer is taken as often as the answer says, and what is
left is asked for anew, until nothing is left: diving (Waescher and Gau, OR Spektrum 18 (1996)
131-144, compare ways to do so). The last boards come out badly filled, since the linear program
takes kinds more often than they are wanted; so these are mended as a job of their own.
"""

from collections import Counter
from collections.abc import Iterable

from builds.cutting.board import Board
from builds.cutting.compiled import get_ready
from builds.cutting.draft import Draft
from builds.cutting.generating import Generation
from builds.cutting.master import Master, MasterSolution
from builds.cutting.partly import mended_where_emptiest
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget

_SURE = (0.7, 0.99, 0.5)  # boards cut so often are taken together; by dive, in turn
_PIECES_MENDED = (30, 60, 100)  # on the emptiest boards
_MENDED = 0.05  # of the work, at most, for each of these
_NEVER = 1e-6


class Columns:
    """The linear program over boards, for any number of dives."""

    def __init__(self, job: Job, work: WorkBudget) -> None:
        self._job = job
        self._work = work
        self._generation = Generation(job)
        self._dives = 0
        self.bound = 0  # in millionths; holds for plans in three stages

    def dived(
        self, draft: Draft, bound: int, gallery: Iterable[Board], generated: float = 0.5
    ) -> Draft:
        """A plan of its own, from the draft's boards, the gallery's and new ones.

        Pieces are left over where work was done before the end of the dive. `bound` is one that is
        known already: a plan that meets it is good enough. `generated` is the part of the work
        that may go into new boards before the dive; the next dive goes on with them.
        """
        get_ready(self._work.stop)
        self._generation.add([*draft.boards, *gallery])
        self._generation.run(self._work.share(generated))
        if self._job.guillotine and self._job.stages == 3:
            self.bound = bound = max(bound, self._generation.bound)
        sure = _SURE[self._dives % len(_SURE)]
        self._dives += 1
        found = _Dive(self._job, self._generation, self._work, sure).draft()
        return self._mended(found, bound)

    @property
    def boards(self) -> list[Board]:
        return self._generation.master.boards

    def _mended(self, draft: Draft, bound: int) -> Draft:
        for pieces in _PIECES_MENDED:
            if self._work.done or not draft.complete or draft.cost <= bound:
                break
            draft = mended_where_emptiest(draft, bound, pieces, self._work.share(_MENDED))
        return draft


class _Dive:
    """One dive; boards cut more often than `sure` are taken together."""

    def __init__(self, job: Job, generation: Generation, work: WorkBudget, sure: float) -> None:
        self._job = job
        self._generation = generation
        self._master: Master = generation.master
        self._work = work
        self._sure = sure
        self._left = generation.wanted.copy()
        self._used: Counter[int] = Counter()
        self._taken: list[Board] = []

    def draft(self) -> Draft:
        while any(self._left):
            self._master.want(self._left)
            answer = self._generation.answer(self._work)
            if self._work.done or not self._take(answer):
                break
        self._ask_for_all()
        return self._draft()

    def _ask_for_all(self) -> None:
        """Leave the linear program as it was."""
        self._master.want(self._generation.wanted)
        for source, stock in enumerate(self._job.stock):
            if stock.quantity is not None:
                self._master.stock(source, stock.quantity)

    def _draft(self) -> Draft:
        placed = Counter(laid.kind for board in self._taken for laid in board.laid())
        left = (piece.quantity - placed[kind] for kind, piece in enumerate(self._job.pieces))
        return Draft(self._job, tuple(self._taken), tuple(left))

    def _take(self, answer: MasterSolution) -> bool:
        """Cut the boards that the answer is sure of, at least the one it cuts most."""
        order = sorted(range(len(answer.times)), key=lambda number: -answer.times[number])
        took = False
        for number in order:
            times = answer.times[number]
            if times <= _NEVER or (took and times < self._sure):
                break
            at_once = max(1, int(times + 1 - self._sure))
            took |= self._cut(self._master.boards[number], at_once, took)
        return took

    def _cut(self, board: Board, times: int, whole: bool) -> bool:
        """Take a board so often; `whole`: only where all its pieces are wanted."""
        quantity = self._job.stock[board.frame.source].quantity
        if quantity is not None:
            times = min(times, quantity - self._used[board.frame.source])
        took = 0
        while took < times:
            fitting = self._wanted(board)
            if not fitting.bands or (whole and fitting is not board):
                break
            self._taken.append(fitting)
            for laid in fitting.laid():
                self._left[laid.kind] -= 1
            took += 1
        self._used[board.frame.source] += took
        if quantity is not None and took:
            self._master.stock(board.frame.source, quantity - self._used[board.frame.source])
        return took > 0

    def _wanted(self, board: Board) -> Board:
        """The board without pieces that nobody wants any more."""
        counts = Counter(laid.kind for laid in board.laid())
        if all(count <= self._left[kind] for kind, count in counts.items()):
            return board
        free = Counter(dict(enumerate(self._left)))

        def wanted(kind: int) -> bool:
            free[kind] -= 1
            return free[kind] >= 0

        return board.kept(lambda laid: wanted(laid.kind))
