"""A plan from the linear program over boards: generate boards, then dive.

Boards that would make the linear program cheaper are packed and added, round by round. Then the
board that is cut most in its answer is taken as often as the answer says, and what is left is
planned anew in the same way, with new boards, until nothing is left: diving on residual problems
(Waescher and Gau, OR Spektrum 18 (1996) 131-144, compare ways to do so).
"""

from collections import Counter
from collections.abc import Sequence
from math import ceil, gcd
from random import Random

from builds.cutting.board import Board
from builds.cutting.draft import Draft
from builds.cutting.frames import frames_of
from builds.cutting.master import Answer, Master
from builds.cutting.packing import OFFERS_A_WORK, Packer
from builds.cutting.pricing import Worth, bound_from, whole
from builds.cutting.work import Work

_MOST_FROM_GALLERY = 2_000
_ROUNDS = 45
_ROUNDS_IN_DIVE = 4
_BOARDS_A_ROUND = 20
_BOARDS_A_ROUND_IN_DIVE = 10
_BETTER = 1e-6
_PRICED = 0.25  # of the work, at most, for the worthiest boards
_CELLS_A_WORK = 2_500
_WORK_A_FRAME = 100
_IN_VAIN = 3  # rounds without a new board, and the search for them ends
_SURE = 0.99


def dived(
    draft: Draft, bound: int, work: Work, gallery: list[Board], seed: int = 1
) -> tuple[Draft, int]:
    """A plan of its own for the same job, from the draft's boards, the gallery's and new ones.

    Pieces are left over where work was done before the end of the dive. With it comes the bound,
    raised if the linear program knows better. The new boards join the gallery.
    """
    dive = _Dive(draft, bound, work, Random(seed))
    dive.add(gallery[-_MOST_FROM_GALLERY:])
    found = dive.draft()
    gallery.extend(dive.boards)
    return found, dive.bound


class _Dive:
    def __init__(self, draft: Draft, bound: int, work: Work, random: Random) -> None:
        self._job = draft.job
        self._work = work
        self._random = random
        self._frames = frames_of(draft.job)
        self._dearest = max(frame.cost for frame in self._frames) or 1
        self.bound = bound
        self._whole_step = gcd(*(frame.cost for frame in self._frames)) or 1
        self._step = self._whole_step / self._dearest
        # A cost at which new boards are of no more use: nothing is cheaper than the bound.
        self._enough = bound / self._dearest
        self._left = [
            piece.quantity if any(frame.ways[kind] for frame in self._frames) else 0
            for kind, piece in enumerate(draft.job.pieces)
        ]
        self._used: Counter[int] = Counter()
        self._taken: list[Board] = []
        self._master = Master(draft.job, self._dearest)
        self._known: set[tuple[int, frozenset[tuple[int, int]]]] = set()
        self.add(draft.boards)

    def draft(self) -> Draft:
        self._master.want(self._left)
        answer = self._generated(_ROUNDS, _BOARDS_A_ROUND)
        answer = self._priced(answer)
        self._enough = max(self._enough, ceil(answer.cost / self._step - _BETTER) * self._step)
        while any(self._left) and not self._work.done:
            if not self._take(answer):
                break
            self._master.want(self._left)
            answer = self._generated(_ROUNDS_IN_DIVE, _BOARDS_A_ROUND_IN_DIVE)
        return self._told()

    @property
    def boards(self) -> list[Board]:
        return self._master.boards

    def _priced(self, answer: Answer) -> Answer:
        """Add the worthiest boards there are while they make the answer cheaper; raise the bound.

        Boards with bands of one piece first, because they are found sooner.
        """
        part = self._work.share(_PRICED)
        bands_of_one = True
        while not part.done:
            added = self._add_worthiest(answer, part, bands_of_one)
            if added is None or not (added or bands_of_one):
                break
            bands_of_one = bands_of_one and added > 0
            answer = self._answer()
        return answer

    def _add_worthiest(self, answer: Answer, part: Work, bands_of_one: bool) -> int | None:
        """Add the worthiest board of each frame; None if there was no time to look at all."""
        values = whole(answer.values)
        worths: dict[int, int] = {}
        found: list[Board] = []
        for frame in self._frames:
            worth = Worth(frame, self._left, values, bands_of_one)
            if part.done or not worth.possible:
                return None
            part.spend(_WORK_A_FRAME + worth.cells // _CELLS_A_WORK)
            most = worth.find()
            worths[frame.source] = max(most, worths.get(frame.source, 0))
            cost = frame.cost / self._dearest + answer.fees[frame.source]
            if most > whole([cost + _BETTER])[0]:
                found.append(worth.board())
        if not bands_of_one:
            self._raise_bound(worths, values)
        return self.add(found)

    def _raise_bound(self, worths: dict[int, int], values: Sequence[int]) -> None:
        if self._job.guillotine and self._job.stages == 3:
            costs = {frame.source: frame.cost for frame in self._frames}
            least = bound_from(self._job, worths, self._left, values, costs)
            self.bound = max(self.bound, ceil(least / self._whole_step) * self._whole_step)

    def _told(self) -> Draft:
        placed = Counter(laid.kind for board in self._taken for laid in board.laid())
        left = (piece.quantity - placed[kind] for kind, piece in enumerate(self._job.pieces))
        return Draft(self._job, tuple(self._taken), tuple(left))

    def _generated(self, rounds: int, boards: int) -> Answer:
        """Add boards while they make the answer cheaper."""
        answer = self._answer()
        spent = sum(board.frame.cost for board in self._taken) / self._dearest
        packers = [Packer(frame, self._left, self._random) for frame in self._frames]
        in_vain = 0
        for number in range(rounds):
            cheap = spent + answer.cost < self._enough + _BETTER
            if self._work.done or (number > 1 and cheap):
                break
            added = self.add(self._packed(packers, answer, boards))
            in_vain = 0 if added else in_vain + 1
            if in_vain == _IN_VAIN:
                break
            answer = self._answer()
        return answer

    def _answer(self) -> Answer:
        answer = self._master.answer()
        self._work.spend(30 + 2 * answer.steps)
        return answer

    def _packed(self, packers: Sequence[Packer], answer: Answer, count: int) -> list[Board]:
        """Boards worth more than they cost."""
        found: list[Board] = []
        for _ in range(max(count, len(packers))):
            if self._work.done:
                break
            packer = packers[int(self._random.random() * len(packers))]
            cost = packer.frame.cost / self._dearest + answer.fees[packer.frame.source]
            before = packer.looked_at
            board = packer.board(answer.values, cost)
            self._work.spend(20 + (packer.looked_at - before) // OFFERS_A_WORK)
            if sum(answer.values[laid.kind] for laid in board.laid()) > cost + _BETTER:
                found.append(board)
        return found

    def add(self, boards: Sequence[Board]) -> int:
        """Let the linear program choose among these too; give how many of them are new."""
        added = 0
        for board in boards:
            counts = Counter(laid.kind for laid in board.laid())
            key = board.frame.source, frozenset(counts.items())
            if key not in self._known:
                self._known.add(key)
                self._master.add(board, counts)
                added += 1
        return added

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
