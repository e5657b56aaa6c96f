"""The rest of the goal, once the cost is settled: the largest offcut, then the fewest set-ups.

An offcut to be kept is one more piece. So a larger one is asked for as such: is there room for it
on the same sheets, beside all pieces? Its one side is given, and the most for the other is found by
halving. Then boards are filled anew from their own pieces, and stand if fewer measures do.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from random import Random

from builds.cutting.arranging import set_ups
from builds.cutting.board import Board
from builds.cutting.draft import Draft
from builds.cutting.filling import Filling
from builds.cutting.frames import Frame, Orientation, frames_of
from builds.cutting.free_board import FreeBoard
from builds.cutting.room import OffcutRoom
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget

_FOR_OFFCUT = 0.7  # of the work; what is left of it goes into set-ups
# How many boards are looked at, and how much of the work a question is worth: easy ones first.
_QUESTIONS = ((4, 0.006), (12, 0.02), (40, 0.05))
_MOST_SIDES = 40
_SPREAD = 0.3
_BOARDS_AT_ONCE = (1, 1, 2)
_WORK_A_BOARD = 8
_WORK_A_PIECE = 2


def finished(draft: Draft, work: WorkBudget, seed: int = 1) -> Iterator[Draft]:
    """Give drafts that cost the same and rank better and better; none of free boards."""
    if work.done or any(isinstance(board, FreeBoard) for board in draft.boards):
        return
    for better in _with_larger_offcuts(draft, work.share(_FOR_OFFCUT), seed):
        draft = better
        yield draft
    yield from _with_fewer_set_ups(draft, work, Random(seed))


def _with_larger_offcuts(draft: Draft, work: WorkBudget, seed: int) -> Iterator[Draft]:
    for count, part in _QUESTIONS if draft.boards else ():
        if work.done:
            return
        asking = _Asking(draft, count, seed)
        for across, most in _sides(draft):
            yield from asking.as_high_as_may_be(across, most, work, part)
        draft = asking.draft


class _Asking:
    """Questions for larger offcuts about the boards with most room; the others stay as they are."""

    def __init__(self, draft: Draft, count: int, seed: int) -> None:
        self.draft = draft
        boards = sorted(draft.boards, key=lambda board: board.used - board.frame.area)
        self._others = tuple(boards[count:])
        self._room = OffcutRoom(draft.job, boards[:count], seed)
        self._area_free = sum(board.frame.area - board.used for board in boards[:count])

    def as_high_as_may_be(
        self, across: int, most: int, work: WorkBudget, part: float
    ) -> Iterator[Draft]:
        """Ask for this width, first for hardly more height than there is, then by halves.

        `most` is the greatest height, `part` how much of the work a question is worth.
        """
        most = min(most, self._area_free // across)
        down = least = _height_that_betters(self.draft, across)
        while down <= most and not work.done:
            if self._find(across, down, work.share(part)):
                yield self.draft
                least = _height_that_betters(self.draft, across)
            elif down == least:
                return
            else:
                most = down - 1
            down = (least + most + 1) // 2

    def _find(self, across: int, down: int, work: WorkBudget) -> bool:
        found = self._room.boards_with(across, down, work)
        better = replace(self.draft, boards=self._others + found)
        if not found or better.rank >= self.draft.rank:
            return False
        self.draft = better
        return True


def _sides(draft: Draft) -> list[tuple[int, int]]:
    """Sides that an offcut may have, and the most for the other; the most promising first.

    A side is the whole sheet's, or what one piece or two leave of it.
    """
    least = draft.job.kerf + max(draft.job.least_offcut, 1)
    found: dict[tuple[int, int], None] = {}
    frames = [board.frame for board in draft.boards if board.frame.cost or not draft.cost]
    sheets = {(frame.width, frame.height) for frame in frames}
    sheets |= {(height, width) for width, height in sheets}
    for taken in _taken(draft.job):
        sides = [(width - taken, height) for width, height in sorted(sheets, reverse=True)]
        found |= dict.fromkeys(side for side in sides if side[0] >= least)
    return list(found)[:_MOST_SIDES]


def _taken(job: Job) -> list[int]:
    """What none, one and two pieces take of a sheet's width, with little taken first."""
    sides = {side + job.kerf for piece in job.pieces for side in (piece.width, piece.height)}
    few = sides if len(sides) < _MOST_SIDES else set()
    pairs = {one + other for one in few for other in few} - sides
    return [0, *sorted(sides), *sorted(pairs)]


def _height_that_betters(draft: Draft, across: int) -> int:
    """The least height, kerf included, with which an offcut of this width is larger than any."""
    kerf = draft.job.kerf
    return max(draft.largest_offcut // (across - kerf) + 1, draft.job.least_offcut) + kerf


def _with_fewer_set_ups(draft: Draft, work: WorkBudget, random: Random) -> Iterator[Draft]:
    """Fill a board or two anew, again and again."""
    frames = {(f.source, f.upright): f for f in frames_of(draft.job)}
    while draft.boards and not work.done:
        count = min(random.choice(_BOARDS_AT_ONCE), len(draft.boards))
        picked = sorted(random.sample(range(len(draft.boards)), count))
        old = [draft.boards[number] for number in picked]
        new = _refilled(old, frames, random)
        work.spend(_WORK_A_BOARD * count + _WORK_A_PIECE * sum(len(list(b.laid())) for b in old))
        if new and sum(map(set_ups, new)) < sum(map(set_ups, old)):
            others = [board for n, board in enumerate(draft.boards) if n not in picked]
            better = Draft(draft.job, (*others, *new), draft.left)
            if better.rank < draft.rank:
                draft = better
                yield draft


def _refilled(
    boards: Sequence[Board], frames: dict[tuple[int, bool], Frame], random: Random
) -> list[Board] | None:
    """The pieces of these boards laid on the same sheets in another order; None if they do not fit.

    Each kind of piece lies one way, so that like lies beside like.
    """
    left = Counter(laid.kind for board in boards for laid in board.laid())
    filled: list[Board] = []
    for board in boards:
        upright = random.random() < 0.5
        frame = frames.get((board.frame.source, upright)) or board.frame
        filling = Filling(frame)
        for kind, ways in _order(frame, left, random):
            while left[kind] and (laid := filling.lay(kind, ways, left[kind])):
                left[kind] -= laid
        if filling.board.bands:
            filled.append(filling.board)
    return None if any(left.values()) else filled


def _order(
    frame: Frame, kinds: Iterable[int], random: Random
) -> list[tuple[int, tuple[Orientation, ...]]]:
    """Kinds with the way they lie, high before low; where both ways do, chance prefers one."""
    chosen = []
    for kind in kinds:
        ways = frame.ways[kind]
        if ways:
            way = ways[int(random.random() * len(ways))]
            chosen.append((way.height * (1 + _SPREAD * random.random()), kind, (way,)))
    return [(kind, ways) for _, kind, ways in sorted(chosen, reverse=True)]
