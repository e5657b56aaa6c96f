"""A plan from the linear program over boards: generate boards, then dive.

The board that is cut most in its answer is taken as often as the answer says, and what is left is
planned anew in the same way, with new boards, until nothing is left: diving on residual problems
(Waescher and Gau, OR Spektrum 18 (1996) 131-144, compare ways to do so). The last boards come out
badly filled, since the linear program takes kinds more often than they are wanted; so a dive ends
with mending them.
"""

from collections import Counter

from builds.cutting.board import Board
from builds.cutting.compiled import get_ready
from builds.cutting.draft import Draft
from builds.cutting.generating import Generation
from builds.cutting.master import Answer
from builds.cutting.partly import mended_where_emptiest
from builds.cutting.work import Work

_MOST_FROM_GALLERY = 2_000
_ROUNDS = 200
_ROUNDS_IN_DIVE = 4
_BETTER = 1e-6
_SURE = 0.99
_PIECES_MENDED = (30, 60, 100)  # on the emptiest boards
_MENDED = 0.08  # of the work, at most, for each of these


def dived(draft: Draft, bound: int, work: Work, gallery: list[Board]) -> tuple[Draft, int]:
    """A plan of its own for the same job, from the draft's boards, the gallery's and new ones.

    Pieces are left over where work was done before the end of the dive. With it comes the bound,
    raised if the linear program knows better. The new boards join the gallery.
    """
    get_ready(work.stop)
    dive = _Dive(draft, bound, work)
    dive.add(gallery[-_MOST_FROM_GALLERY:])
    found = dive.draft()
    gallery.extend(dive.boards)
    for pieces in _PIECES_MENDED:
        if found.complete and found.cost > dive.bound and not work.done:
            found = mended_where_emptiest(found, dive.bound, pieces, work.share(_MENDED))
    return found, dive.bound


class _Dive:
    def __init__(self, draft: Draft, bound: int, work: Work) -> None:
        self._job = draft.job
        self._work = work
        self.bound = bound
        self._generation = Generation(draft.job, work)
        self._left = self._generation.left
        self._master = self._generation.master
        self._used: Counter[int] = Counter()
        self._taken: list[Board] = []
        self.add = self._generation.add
        self.add(draft.boards)

    def draft(self) -> Draft:
        answer, bound = self._generation.run(_ROUNDS)
        if self._job.guillotine and self._job.stages == 3:
            self.bound = max(self.bound, bound)
        while any(self._left) and not self._work.done:
            if not self._take(answer):
                break
            self._master.want(self._left)
            answer, _ = self._generation.run(_ROUNDS_IN_DIVE, inertia=0.0)
        return self._told()

    @property
    def boards(self) -> list[Board]:
        return self._master.boards

    def _told(self) -> Draft:
        placed = Counter(laid.kind for board in self._taken for laid in board.laid())
        left = (piece.quantity - placed[kind] for kind, piece in enumerate(self._job.pieces))
        return Draft(self._job, tuple(self._taken), tuple(left))

    def _take(self, answer: Answer) -> bool:
        """Cut the boards that the answer is sure of, at least the one it cuts most."""
        order = sorted(range(len(answer.times)), key=lambda number: -answer.times[number])
        took = False
        for number in order:
            times = answer.times[number]
            if times <= _BETTER or (took and times < _SURE):
                break
            took |= self._cut(self._master.boards[number], max(1, int(times + 1 - _SURE)), took)
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
