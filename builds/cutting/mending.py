"""Plans made cheaper by ruin and recreate, working towards a goal.

The goal is a budget one step below the best plan's cost. Boards go until the budget is kept, and
their pieces are loose. Then, again and again, a few boards are emptied or thinned out and filled
anew from their own and the loose pieces; the outcome stands if the area of loose pieces does not
grow, or, as in simulated annealing, grows little. No piece loose: the goal is reached, and the
next one set. Goal-driven ruin and recreate for guillotine cutting: Gardeyn and Wauters, European
Journal of Operational Research 301 (2022) 432-444.

Work is counted in spots sought for a piece on a board. All chance comes from one generator with a
set seed, so the same work gives the same plan, whatever the clock says.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import gcd, log
from random import Random

from builds.cutting.board import Board
from builds.cutting.draft import Draft
from builds.cutting.frames import Frame, frames_of
from builds.cutting.packing import OFFERS_A_WORK, Packer
from builds.cutting.spots import NO_SPOT, best_spot
from builds.cutting.values import Job
from builds.cutting.work import Work

_HEAT = 0.05  # of a mean piece's area, falling to nothing as the work is done
_BOARDS_AT_ONCE = (1, 2, 2, 3)
_LOOSE_AT_ONCE = 60
_EMPTIED = 0.4  # share of boards that are emptied, rather than thinned out
_NOT_ZERO = 1e-12
_WORK_A_ROUND = 2  # and half of one for each frame that may be opened
_PACKED = 0.1  # share of rounds whose emptied boards are packed by worth


def mended(
    draft: Draft,
    bound: int,
    work: Work,
    *,
    start: Draft | None = None,
    gallery: list[Board] | None = None,
    seed: int = 1,
) -> Iterator[Draft]:
    """Give better and better plans until one meets the bound (in millionths) or work is done.

    The first goal is sought from `start`, where another plan than the best one promises more.
    Boards made on the way are added to the gallery: others may choose among them.
    """
    random = Random(seed)
    step = gcd(*(frame.cost for frame in frames_of(draft.job))) or 1
    while not work.done and (draft.cost > bound or not draft.complete):
        budget = draft.cost - step if draft.complete else None
        goal = _Goal(start or draft, budget, work, random, gallery)
        start = None
        goal.seek()
        better = goal.draft()
        if better.rank < draft.rank:
            draft = better
            yield draft
        elif not draft.complete:
            return


class _Goal:
    """A search for a plan within a budget; None is any cost, to place what found no room yet."""

    def __init__(
        self,
        draft: Draft,
        budget: int | None,
        work: Work,
        random: Random,
        gallery: list[Board] | None,
    ) -> None:
        self._job = draft.job
        self._work = work
        self._gallery = gallery
        self._random = random
        self._draw = random.random
        self._frames = frames_of(draft.job)
        self._areas = _areas(draft.job)
        self._orders = _orders(draft.job)
        self._budget = self._cost_of_all() if budget is None else budget
        self._boards = list(draft.boards)
        self._loose = [
            kind
            for kind, left in enumerate(draft.left)
            if any(frame.ways[kind] for frame in self._frames)
            for _ in range(left)
        ]
        self._heat = _HEAT * self._mean_area()
        self._keep_budget()

    def seek(self) -> None:
        """Ruin and recreate until no piece is loose or the work is done."""
        while self._loose and not self._work.done:
            self._round()

    def draft(self) -> Draft:
        """The plan as it stands; what is loose is left over."""
        placed = Counter(laid.kind for board in self._boards for laid in board.laid())
        left = (piece.quantity - placed[kind] for kind, piece in enumerate(self._job.pieces))
        return Draft(self._job, tuple(self._boards), tuple(left))

    def _cost_of_all(self) -> int:
        pieces = sum(piece.quantity for piece in self._job.pieces)
        return pieces * max(frame.cost for frame in self._frames)

    def _mean_area(self) -> float:
        pieces = self._job.pieces
        total = sum(self._areas[kind] * piece.quantity for kind, piece in enumerate(pieces))
        return total / sum(piece.quantity for piece in pieces)

    def _keep_budget(self) -> None:
        """Take boards away, the emptiest first, until the others cost no more than the budget."""
        self._boards.sort(key=lambda board: (board.frame.cost == 0, board.used))
        cost = sum(board.frame.cost for board in self._boards)
        while cost > self._budget:
            board = self._boards.pop(0)
            cost -= board.frame.cost
            self._loose.extend(laid.kind for laid in board.laid())

    def _round(self) -> None:
        self._work.spend(_WORK_A_ROUND + len(self._frames) // 2)
        picked = self._picked_boards()
        loose, waiting = self._picked_loose()
        pool = list(loose)
        refilled: list[Board] = []
        emptied = 0
        for number in picked:
            board = self._boards[number]
            if self._draw() < _EMPTIED:
                pool.extend(laid.kind for laid in board.laid())
                emptied += 1
            else:
                refilled.append(self._thinned(board, pool))
        untouched = [board for number, board in enumerate(self._boards) if number not in picked]
        opened = list(self._opened([*untouched, *refilled], emptied))
        if self._draw() < _PACKED:
            opened = [self._packed(board.frame, pool) for board in opened]
        refilled.extend(opened)
        still = self._recreate(pool, refilled, self._most_loose(loose))
        if still is not None:
            self._loose = still + waiting
            refilled = [board for board in refilled if board.bands]
            self._boards = untouched + refilled
            if self._gallery is not None:
                self._gallery.extend(refilled)

    def _packed(self, frame: Frame, pool: list[int]) -> Board:
        """A board packed by worth, which is area, from the pool."""
        counts = Counter(pool)
        left = [counts[kind] for kind in range(len(self._areas))]
        packer = Packer(frame, left, self._random)
        board = packer.board(self._areas, frame.area)
        self._work.spend(60 + packer.looked_at // OFFERS_A_WORK)
        for laid in board.laid():
            pool.remove(laid.kind)
        return board

    def _picked_boards(self) -> list[int]:
        count = _BOARDS_AT_ONCE[int(self._draw() * len(_BOARDS_AT_ONCE))]
        return self._random.sample(range(len(self._boards)), min(count, len(self._boards)))

    def _picked_loose(self) -> tuple[list[int], list[int]]:
        """Loose pieces to lay in this round, and those that wait."""
        if len(self._loose) > _LOOSE_AT_ONCE:
            self._random.shuffle(self._loose)
        return self._loose[:_LOOSE_AT_ONCE], self._loose[_LOOSE_AT_ONCE:]

    def _most_loose(self, loose: Sequence[int]) -> float:
        """The area of loose pieces that is taken for good enough."""
        heat = self._heat * self._work.left / self._work.most
        return sum(self._areas[kind] for kind in loose) - heat * log(self._draw() + _NOT_ZERO)

    def _thinned(self, board: Board, pool: list[int]) -> Board:
        """The board without a band or without some of its pieces; these join the pool."""
        if self._draw() < 0.5:
            gone = self._random.choice(board.bands)
            thinner = board.without(gone)
            pool.extend(laid.kind for stack in gone.stacks for laid in stack.laid)
            return thinner
        share = 0.2 + 0.5 * self._draw()
        kept = [self._draw() >= share for _ in board.laid()]
        pool.extend(laid.kind for laid, stays in zip(board.laid(), kept, strict=True) if not stays)
        stays = iter(kept)
        return board.kept(lambda _: next(stays))

    def _opened(self, others: Sequence[Board], count: int) -> Iterator[Board]:
        """Empty boards in place of so many, and one more, as far as stock and budget allow."""
        free = self._budget - sum(board.frame.cost for board in others)
        used = Counter(board.frame.source for board in others)
        for _ in range(count + 1):
            frames = [frame for frame in self._frames if frame.cost <= free]
            frames = [frame for frame in frames if self._has(frame, used)]
            if not frames:
                return
            frame = frames[int(self._draw() * len(frames))]
            free -= frame.cost
            used[frame.source] += 1
            yield Board(frame, frame.height)

    def _has(self, frame: Frame, used: Counter[int]) -> bool:
        quantity = self._job.stock[frame.source].quantity
        return quantity is None or used[frame.source] < quantity

    def _recreate(self, pool: list[int], boards: list[Board], most: float) -> list[int] | None:
        """Lay the pool on the boards; give what stays loose, None if that is more than `most`."""
        self._put_in_order(pool)
        still: list[int] = []
        for kind in pool:
            if not self._lay(kind, boards):
                still.append(kind)
                most -= self._areas[kind]
                if most < 0:
                    return None
        return still

    def _put_in_order(self, pool: list[int]) -> None:
        sizes, spread = self._orders[int(self._draw() * len(self._orders))]
        draw = self._draw
        pool.sort(key=lambda kind: sizes[kind] * (1 + spread * draw()), reverse=True)

    def _lay(self, kind: int, boards: list[Board]) -> bool:
        """Lay a piece on the board where it does least harm, if any has room."""
        area, draw = self._areas[kind], self._draw
        least, chosen, where = NO_SPOT, None, None
        for board in boards:
            if board.frame.area - board.used >= area:
                self._work.spend(1)
                harm, spot = best_spot(board, kind, draw)
                if spot and harm < least:
                    least, chosen, where = harm, board, spot
        if chosen is None or where is None:
            return False
        chosen.lay(kind, where)
        return True


def _areas(job: Job) -> tuple[int, ...]:
    return tuple((piece.width + job.kerf) * (piece.height + job.kerf) for piece in job.pieces)


def _orders(job: Job) -> tuple[tuple[tuple[int, ...], float], ...]:
    """Sizes to sort pieces by and how far chance may shift them, the better ones more often."""
    longer = tuple(max(piece.width, piece.height) for piece in job.pieces)
    shorter = tuple(min(piece.width, piece.height) for piece in job.pieces)
    by_area, by_longer, by_shorter = (_areas(job), 0.4), (longer, 0.3), (shorter, 0.3)
    return (*[by_area] * 5, *[by_longer] * 3, by_shorter, (shorter, 3.0))
