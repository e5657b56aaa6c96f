"""Plans made cheaper without stages: as many as it takes, or free cutting.

The search starts from the best plan in three stages and works towards goals as `mending` does; its
rounds are in `gaps`.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from builds.cutting.board import Board, Laid
from builds.cutting.compiled import get_ready, seeded
from builds.cutting.draft import Draft
from builds.cutting.flat import NONE, cost_step, sizes_of
from builds.cutting.frames import Frame, frames_of
from builds.cutting.free_board import FreeBoard
from builds.cutting.gap_bench import ACROSS, bench_for
from builds.cutting.gaps import Lists, seek_gaps
from builds.cutting.mending import UNITS_A_WORK, UNITS_AT_ONCE, UNITS_AT_ONCE_IF_PLAIN, patience
from builds.cutting.rounds import Pace
from builds.cutting.values import Job
from builds.cutting.work import WorkBudget

_HEAT = 0.05  # of a mean piece's area, falling to nothing as the work is done


def freed(draft: Draft, bound: int, work: WorkBudget, *, seed: int = 1) -> Iterator[Draft]:
    """Give better and better plans until one meets the bound (in millionths) or work is done.

    Plans are for the job's own way of cutting, which is not in three stages.
    """
    if not draft.boards or work.done:
        return
    search = _Search(draft.job, work, seed)
    while not work.done and (draft.cost > bound or not draft.complete):
        better = search.sought(draft)
        if (better.area_left, better.cost) >= (draft.area_left, draft.cost):
            return
        draft = better
        yield draft


class _Search:
    def __init__(self, job: Job, work: WorkBudget, seed: int) -> None:
        self._job = job
        self._work = work
        self._chance = seeded(seed)
        self._patience = patience()
        self._frames = tuple(frame for frame in frames_of(job) if not frame.upright)
        self._sizes = sizes_of(job, self._frames)
        self._count = sum(piece.quantity for piece in job.pieces)
        self._bench = bench_for(self._count)

    def sought(self, draft: Draft) -> Draft:
        """A plan that costs a step less, or places more; pieces are left if work is done first."""
        get_ready(self._work.stop)
        kept, budget = self._within_budget(draft)
        lists = _listed(self._job, self._frames, kept, budget)
        pace = self._pace()
        while lists.loose_count[0] and not self._work.done:
            most = UNITS_AT_ONCE if seek_gaps.machine_code else UNITS_AT_ONCE_IF_PLAIN
            before = int(pace.done[0])
            seek_gaps(self._sizes, lists, self._bench, pace, min(most, pace.most))
            self._work.spend(int(pace.done[0]) // UNITS_A_WORK - before // UNITS_A_WORK)
        return _draft(self._job, _boards(lists, self._frames))

    def _within_budget(self, draft: Draft) -> tuple[list[Board], int]:
        """Boards to start from, without the emptiest, and steps of cost left to spend."""
        step = cost_step(self._frames)
        if not draft.complete:
            return list(draft.boards), self._count * max(f.cost for f in self._frames) // step
        kept = sorted(draft.boards, key=lambda board: (board.frame.cost == 0, board.used))
        budget = -step
        while budget < 0:
            budget += kept.pop(0).frame.cost
        return kept, budget // step

    def _pace(self) -> Pace:
        import numpy as np

        pairs = zip(self._sizes.area.tolist(), self._job.pieces, strict=True)
        mean = sum(area * piece.quantity for area, piece in pairs) / self._count
        most = max(1, self._work.left) * UNITS_A_WORK
        return Pace(np.zeros(1, dtype=np.int64), most, _HEAT * mean, self._patience, self._chance)


def _draft(job: Job, boards: tuple[Board, ...]) -> Draft:
    placed = Counter(laid.kind for board in boards for laid in board.laid())
    left = (piece.quantity - placed[kind] for kind, piece in enumerate(job.pieces))
    return Draft(job, boards, tuple(left))


def _listed(job: Job, frames: Sequence[Frame], boards: Sequence[Board], budget: int) -> Lists:
    """Boards as lists; what is on none of them and fits a frame is loose."""
    kinds = [kind for kind, piece in enumerate(job.pieces) for _ in range(piece.quantity)]
    free: list[list[int]] = [[] for _ in job.pieces]
    for item, kind in enumerate(kinds):
        free[kind].append(item)
    lists = Lists(
        **dict.fromkeys(Lists._fields, NONE)
        | {name: [NONE] * len(kinds) for name in _A_PIECE}
        | {"kind": kinds, "count": [len(boards)], "budget": [budget]}
        | {"stock_used": [0] * len(job.stock), "straight": [int(job.guillotine)]}
    )
    for number, board in enumerate(boards):
        _list(lists, frames, number, board, free)
    loose = [item for kind, items in enumerate(free) if _fits(frames, kind) for item in items]
    lists.loose[: len(loose)] = loose
    return _as_arrays(lists._replace(loose_count=[len(loose)]))


_A_PIECE = ("frame", "used", "first", "after", "x", "y", "way", "split", "loose")


def _fits(frames: Sequence[Frame], kind: int) -> bool:
    return any(frame.ways[kind] for frame in frames)


def _list(
    lists: Any, frames: Sequence[Frame], number: int, board: Board, free: list[list[int]]
) -> None:
    """Write one board; its items are no longer free."""
    (frame,) = (n for n, frame in enumerate(frames) if frame.source == board.frame.source)
    lists.frame[number] = frame
    lists.used[number] = board.used
    lists.stock_used[board.frame.source] += 1
    before = NONE
    for (laid, x, y), split in zip(board.places(), _splits(lists, board), strict=True):
        item = free[laid.kind].pop()
        size = laid.way.width, laid.way.height
        if board.frame.upright:
            x, y, size = y, x, size[::-1]
        lists.x[item], lists.y[item] = x, y
        lists.way[item] = [way[:2] for way in frames[frame].ways[laid.kind]].index(size)
        lists.split[item] = split
        if before == NONE:
            lists.first[number] = item
        else:
            lists.after[before] = item
        before = item


def _splits(lists: Any, board: Board) -> Sequence[int]:
    """How gaps were parted: known of free boards, NONE of others, of no use to free cutting."""
    if isinstance(board, FreeBoard):
        return board.splits
    return [NONE if lists.straight[0] else ACROSS for _ in board.places()]


def _as_arrays(lists: Any) -> Lists:
    import numpy as np

    return Lists(*(np.array(numbers, dtype=np.int64) for numbers in lists))


def _boards(lists: Lists, frames: Sequence[Frame]) -> tuple[Board, ...]:
    """The boards, from their lists."""
    plain = Lists(*(array.tolist() for array in lists))
    return tuple(_board(plain, frames, number) for number in range(plain.count[0]))


def _board(lists: Lists, frames: Sequence[Frame], number: int) -> FreeBoard:
    frame = frames[lists.frame[number]]
    placed: list[tuple[Laid, int, int]] = []
    splits: list[int] = []
    item = lists.first[number]
    while item != NONE:
        kind = lists.kind[item]
        laid = Laid(kind, frame.ways[kind][lists.way[item]])
        placed.append((laid, lists.x[item], lists.y[item]))
        splits.append(lists.split[item])
        item = lists.after[item]
    straight = bool(lists.straight[0])
    return FreeBoard(frame, 0, lists.used[number], [], tuple(placed), straight, tuple(splits))
