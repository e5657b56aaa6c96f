"""Is there room for an offcut of some size on these sheets, beside all their pieces?

The offcut is one more piece, and the only loose one; ruin and recreate looks for a place for it.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from builds.cutting.board import Board, Laid
from builds.cutting.compiled import get_ready, seeded
from builds.cutting.flat import Boards, boards_from, flattened, sizes_of
from builds.cutting.frames import Frame, Orientation, frames_of
from builds.cutting.mending import UNITS_A_WORK, UNITS_AT_ONCE, UNITS_AT_ONCE_IF_PLAIN, patience
from builds.cutting.rounds import Pace, seek
from builds.cutting.table import table_for
from builds.cutting.values import Job, WantedPiece
from builds.cutting.work import WorkBudget

_HEAT = 0.02  # of the offcut's area, falling to nothing as the work is done
_OVERHEAD = 20  # units of work, to set a question up


class OffcutRoom:
    """Sheets of a job with their pieces on them, to be asked about again and again."""

    def __init__(self, job: Job, boards: Sequence[Board], seed: int) -> None:
        self._wish = len(job.pieces)
        self._chance = seeded(seed)
        self._patience = patience()
        self._job = _job_with_wish(job, boards)
        self._frames = frames_of(self._job)
        self._sizes = sizes_of(self._job, self._frames)
        self._boards = flattened(self._job, self._frames, boards, 0)
        self._table = table_for(len(self._boards.kind))

    def boards_with(self, across: int, down: int, work: WorkBudget) -> tuple[Board, ...]:
        """Boards with such an offcut (kerf included); none if work is done before it is found.

        The next question starts from them.
        """
        get_ready(work.stop)
        self._wish_for(across, down)
        boards = Boards(*(array.copy() for array in self._boards))
        pace = self._pace(across * down, work)
        work.spend(_OVERHEAD)
        while boards.loose_count[0] and not work.done:
            self._seek(boards, pace, work)
        if boards.loose_count[0]:
            return ()
        kept = (board.kept(self._is_no_wish) for board in boards_from(boards, self._frames))
        found = tuple(board for board in kept if board.bands)
        self._boards = flattened(self._job, self._frames, found, 0)
        return found

    def _is_no_wish(self, laid: Laid) -> bool:
        return laid.kind != self._wish

    def _wish_for(self, across: int, down: int) -> None:
        """Write the offcut's size, and the ways it lies in each frame."""
        sizes = self._sizes
        ways = [_ways(frame, across, down) for frame in self._frames]
        self._frames = tuple(
            replace(frame, ways=(*frame.ways[: self._wish], its))
            for frame, its in zip(self._frames, ways, strict=True)
        )
        for number, its in enumerate(ways):
            place = (number * sizes.kinds + self._wish) * 2
            for way in range(2):
                sizes.way_width[place + way] = its[way].width if way < len(its) else 0
                sizes.way_height[place + way] = its[way].height if way < len(its) else 0
        sizes.area[self._wish] = across * down
        sizes.longer[self._wish] = max(across, down)
        sizes.shorter[self._wish] = min(across, down)

    def _pace(self, area: int, work: WorkBudget) -> Pace:
        import numpy as np

        done = np.zeros(1, dtype=np.int64)
        return Pace(
            done, max(1, work.left) * UNITS_A_WORK, _HEAT * area, self._patience, self._chance
        )

    def _seek(self, boards: Boards, pace: Pace, work: WorkBudget) -> None:
        most = UNITS_AT_ONCE if seek.machine_code else UNITS_AT_ONCE_IF_PLAIN
        before = int(pace.done[0])
        seek(self._sizes, boards, self._table, pace, min(most, work.left * UNITS_A_WORK))
        work.spend(int(pace.done[0]) // UNITS_A_WORK - before // UNITS_A_WORK)


def _ways(frame: Frame, across: int, down: int) -> tuple[Orientation, ...]:
    """How an offcut fits the frame."""
    ways = (Orientation(across, down, False), Orientation(down, across, True))[
        : 1 + (across != down)
    ]
    return tuple(way for way in ways if way.width <= frame.width and way.height <= frame.height)


def _job_with_wish(job: Job, boards: Sequence[Board]) -> Job:
    """The job of only these sheets and pieces, and of one piece more."""
    used = Counter(board.frame.source for board in boards)
    placed = Counter(laid.kind for board in boards for laid in board.laid())
    pieces = (replace(piece, quantity=placed[kind]) for kind, piece in enumerate(job.pieces))
    stock = (replace(each, quantity=used[source]) for source, each in enumerate(job.stock))
    return replace(job, pieces=(*pieces, WantedPiece("offcut", 1, 1)), stock=tuple(stock))
