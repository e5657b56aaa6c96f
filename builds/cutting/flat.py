"""Boards as arrays of whole numbers, for functions that run as machine code.

The one place where boards become arrays and arrays become boards. Each piece wanted is an item of
its own here, numbered from 0; the items of a board hang on each other in the order of its bands,
stacks and layers, and say whether they begin one. Let n be the number of items, k of kinds of
pieces, f of frames, s of stocks, m of boards at most.
"""

from collections.abc import Iterator, Sequence
from math import gcd
from typing import Any, NamedTuple

from builds.cutting.board import Board, BoardSpot, Laid
from builds.cutting.compiled import Ints
from builds.cutting.frames import Frame
from builds.cutting.values import Job

ON_STACK, NEXT_STACK, NEXT_BAND = 0, 1, 2
NONE = -1


class Sizes(NamedTuple):
    """What is cut and what it is cut from; nothing of it changes."""

    kinds: int
    frame_width: Ints  # [f]
    frame_height: Ints  # [f]
    frame_cost: Ints  # [f], in steps
    frame_stock: Ints  # [f], number of the stock
    stock_most: Ints  # [s], sheets there are
    way_width: Ints  # [f * k * 2], 0 where the piece may not lie so
    way_height: Ints  # [f * k * 2]
    area: Ints  # [k]
    longer: Ints  # [k]
    shorter: Ints  # [k]


class Boards(NamedTuple):
    """Boards with the items on them, and loose items."""

    count: Ints  # [1], how many boards there are
    frame: Ints  # [m]
    used: Ints  # [m], area of the items
    first: Ints  # [m], the first item
    after: Ints  # [n], the item that follows on the same board; NONE after the last
    begins: Ints  # [n], ON_STACK, NEXT_STACK or NEXT_BAND
    way: Ints  # [n], 0 or 1
    kind: Ints  # [n]
    loose_count: Ints  # [1]
    loose: Ints  # [n], items on no board
    stock_used: Ints  # [s], sheets
    budget: Ints  # [1], steps of cost left to spend


def sizes_of(job: Job, frames: Sequence[Frame]) -> Sizes:
    step = cost_step(frames)
    return Sizes(
        kinds=len(job.pieces),
        frame_width=_ints(frame.width for frame in frames),
        frame_height=_ints(frame.height for frame in frames),
        frame_cost=_ints(frame.cost // step for frame in frames),
        frame_stock=_ints(frame.source for frame in frames),
        stock_most=_ints(_most_sheets(job)),
        way_width=_ints(_way_sizes(frames, 0)),
        way_height=_ints(_way_sizes(frames, 1)),
        area=_ints((piece.width + job.kerf) * (piece.height + job.kerf) for piece in job.pieces),
        longer=_ints(max(piece.width, piece.height) + job.kerf for piece in job.pieces),
        shorter=_ints(min(piece.width, piece.height) + job.kerf for piece in job.pieces),
    )


def cost_step(frames: Sequence[Frame]) -> int:
    """What all costs are multiples of, in millionths."""
    return gcd(*(frame.cost for frame in frames)) or 1


def _most_sheets(job: Job) -> list[int]:
    wanted = sum(piece.quantity for piece in job.pieces)
    return [wanted if stock.quantity is None else stock.quantity for stock in job.stock]


def _way_sizes(frames: Sequence[Frame], side: int) -> Any:
    for frame in frames:
        for ways in frame.ways:
            yield from (int(way[side]) for way in ways)
            yield from (0 for _ in range(2 - len(ways)))


def flattened(job: Job, frames: Sequence[Frame], boards: Sequence[Board], budget: int) -> Boards:
    """Boards as arrays; what is on none of them and fits a frame is loose.

    `budget` is what more boards may cost, in steps.
    """
    kinds = [kind for kind, piece in enumerate(job.pieces) for _ in range(piece.quantity)]
    free = _by_kind(kinds)
    flat = Boards(
        count=_ints([len(boards)]),
        frame=_filled(len(kinds)),
        used=_filled(len(kinds)),
        first=_filled(len(kinds)),
        after=_filled(len(kinds)),
        begins=_filled(len(kinds)),
        way=_filled(len(kinds)),
        kind=_ints(kinds),
        loose_count=_filled(1),
        loose=_filled(len(kinds)),
        stock_used=_ints([0] * len(job.stock)),
        budget=_ints([budget]),
    )
    for number, board in enumerate(boards):
        _flatten(flat, frames, number, board, free)
    loose = [item for kind, items in enumerate(free) if _fits(frames, kind) for item in items]
    flat.loose_count[0] = len(loose)
    flat.loose[: len(loose)] = loose
    return flat


def _by_kind(kinds: Sequence[int]) -> list[list[int]]:
    """The items of each kind."""
    free: list[list[int]] = [[] for _ in range(max(kinds, default=-1) + 1)]
    for item, kind in enumerate(kinds):
        free[kind].append(item)
    return free


def _fits(frames: Sequence[Frame], kind: int) -> bool:
    return any(frame.ways[kind] for frame in frames)


def _flatten(
    flat: Boards, frames: Sequence[Frame], number: int, board: Board, free: list[list[int]]
) -> None:
    """Write one board; its items are no longer free."""
    frame = _frame_number(frames, board.frame)
    flat.frame[number] = frame
    flat.used[number] = board.used
    flat.stock_used[board.frame.source] += 1
    before = NONE
    for laid, begins in _in_order(board):
        item = free[laid.kind].pop()
        flat.begins[item] = begins
        flat.way[item] = _way_number(frames[frame], laid)
        if before == NONE:
            flat.first[number] = item
        else:
            flat.after[before] = item
        before = item


def _frame_number(frames: Sequence[Frame], frame: Frame) -> int:
    """A square sheet may be seen in one direction only; then that stands for both."""
    alike = [number for number, other in enumerate(frames) if other.source == frame.source]
    return next((number for number in alike if frames[number].upright == frame.upright), alike[0])


def _way_number(frame: Frame, laid: Laid) -> int:
    size = laid.way.width, laid.way.height
    return [(way.width, way.height) for way in frame.ways[laid.kind]].index(size)


def _in_order(board: Board) -> Iterator[tuple[Laid, int]]:
    """Each piece, and whether it begins a stack or a band."""
    for band in board.bands:
        for number, stack in enumerate(band.stacks):
            opens = NEXT_STACK if number else NEXT_BAND
            for layer, laid in enumerate(stack.laid):
                yield laid, ON_STACK if layer else opens


def boards_from(flat: Boards, frames: Sequence[Frame]) -> tuple[Board, ...]:
    """The boards, from their arrays."""
    lists = Boards(*(array.tolist() for array in flat))
    return tuple(_board(lists, frames, number) for number in range(lists.count[0]))


def _board(flat: Boards, frames: Sequence[Frame], number: int) -> Board:
    frame = frames[flat.frame[number]]
    board = Board(frame, frame.height)
    item = flat.first[number]
    while item != NONE:
        kind, begins = flat.kind[item], flat.begins[item]
        band = None if begins == NEXT_BAND else board.bands[-1]
        stack = band.stacks[-1] if band and begins == ON_STACK else None
        board.lay(kind, BoardSpot(band, stack, frame.ways[kind][flat.way[item]]))
        item = flat.after[item]
    return board


def _filled(count: int) -> Any:
    import numpy as np

    return np.full(count, NONE, dtype=np.int64)


def _ints(numbers: Any) -> Any:
    import numpy as np

    return np.array(list(numbers), dtype=np.int64)
