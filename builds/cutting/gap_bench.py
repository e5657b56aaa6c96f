"""The bench on which boards without stages are laid: each item in the corner of a gap.

A gap is a rectangle of a board where nothing lies. Under straight cuts gaps never overlap: an item
parts its gap into one beside and one below it, and the cut between these two runs across or down.
Under free cutting gaps are the largest rectangles there are, and overlap.

A gap is known by its place in the arrays of the bench: those of board b begin at b * MOST_GAPS.
All of it but `bench_for` runs as machine code, as a part of `gaps`.
"""

from typing import Any, NamedTuple

from builds.cutting.compiled import Floats, Ints, compiled_part
from builds.cutting.flat import NONE
from builds.cutting.table import BOARDS

ACROSS, DOWN = 0, 1  # how the cut between the gap beside an item and the one below it runs
MOST_BOARDS = 6  # worked on at once
MOST_GAPS = 200  # of a board; more are forgotten


class Bench(NamedTuple):
    """Boards being worked on; n items, b = MOST_BOARDS boards, g = b * MOST_GAPS gaps."""

    count: Ints  # [4]: boards, -, -, pool
    number: Ints  # [b], where the board is kept; NONE if it is new
    frame: Ints  # [b]
    used: Ints  # [b]
    first: Ints  # [b]
    last: Ints  # [b]
    after: Ints  # [n]
    x: Ints  # [n]
    y: Ints  # [n]
    way: Ints  # [n]
    split: Ints  # [n]
    gaps: Ints  # [b], how many gaps
    gap_x: Ints  # [g]
    gap_y: Ints  # [g]
    gap_width: Ints  # [g]
    gap_height: Ints  # [g]
    spot: Ints  # [3]: board, gap, way
    pool: Ints  # [n], items to lay
    key: Floats  # [n], by which the pool is sorted
    still: Ints  # [n], items that found no gap
    picked: Ints  # [b], boards taken, by where they are kept
    emptied: Ints  # [b], 1 if so


@compiled_part
def lay_board(sizes: Any, bench: Any, number: int, frame: int) -> Any:
    """Lay an empty board on the bench; give its place there."""
    board = bench.count[BOARDS]
    bench.count[BOARDS] += 1
    bench.number[board] = number
    bench.frame[board] = frame
    bench.used[board] = 0
    bench.first[board] = NONE
    bench.gaps[board] = 0
    _add_gap(bench, board, 0, 0, sizes.frame_width[frame], sizes.frame_height[frame])
    return board


@compiled_part
def gap_at(bench: Any, board: int, x: int, y: int, width: int, height: int) -> Any:
    """The gap with this corner that has room; NONE if there is none."""
    for gap in range(board * MOST_GAPS, board * MOST_GAPS + bench.gaps[board]):
        if (
            bench.gap_x[gap] == x
            and bench.gap_y[gap] == y
            and bench.gap_width[gap] >= width
            and bench.gap_height[gap] >= height
        ):
            return gap
    return NONE


@compiled_part
def lay(lists: Any, bench: Any, item: int, board: int, gap: int, width: int, height: int) -> Any:
    """Lay an item in the corner of a gap; how that is parted says `split`."""
    bench.after[item] = NONE
    if bench.first[board] == NONE:
        bench.first[board] = item
    else:
        bench.after[bench.last[board]] = item
    bench.last[board] = item
    bench.used[board] += width * height
    if lists.straight[0]:
        _part_gap(bench, board, gap, width, height, bench.split[item])
    else:
        _part_gaps(bench, board, bench.x[item], bench.y[item], width, height)
    return 0


@compiled_part
def _add_gap(bench: Any, board: int, x: int, y: int, width: int, height: int) -> Any:
    if width > 0 and height > 0 and bench.gaps[board] < MOST_GAPS:
        gap = board * MOST_GAPS + bench.gaps[board]
        bench.gaps[board] += 1
        bench.gap_x[gap] = x
        bench.gap_y[gap] = y
        bench.gap_width[gap] = width
        bench.gap_height[gap] = height
    return 0


@compiled_part
def _drop_gap(bench: Any, board: int, gap: int) -> Any:
    """The last gap takes its place."""
    bench.gaps[board] -= 1
    _move_gap(bench, board * MOST_GAPS + bench.gaps[board], gap)
    return 0


@compiled_part
def _move_gap(bench: Any, gap: int, to: int) -> Any:
    bench.gap_x[to] = bench.gap_x[gap]
    bench.gap_y[to] = bench.gap_y[gap]
    bench.gap_width[to] = bench.gap_width[gap]
    bench.gap_height[to] = bench.gap_height[gap]
    return 0


@compiled_part
def _part_gap(bench: Any, board: int, gap: int, width: int, height: int, split: int) -> Any:
    x = bench.gap_x[gap]
    y = bench.gap_y[gap]
    beside = bench.gap_width[gap] - width
    below = bench.gap_height[gap] - height
    _drop_gap(bench, board, gap)
    if split == ACROSS:
        _add_gap(bench, board, x + width, y, beside, height)
        _add_gap(bench, board, x, y + height, width + beside, below)
    else:
        _add_gap(bench, board, x + width, y, beside, height + below)
        _add_gap(bench, board, x, y + height, width, below)
    return 0


@compiled_part
def _part_gaps(bench: Any, board: int, x: int, y: int, width: int, height: int) -> Any:
    """Take an item's place out of all gaps; what is left of each is gaps again, the largest."""
    start = board * MOST_GAPS
    end = start + bench.gaps[board]
    gap = start
    while gap < end:
        left = bench.gap_x[gap]
        top = bench.gap_y[gap]
        right = left + bench.gap_width[gap]
        bottom = top + bench.gap_height[gap]
        if left < x + width and x < right and top < y + height and y < bottom:
            _add_gap(bench, board, left, top, x - left, bottom - top)
            _add_gap(bench, board, left, top, right - left, y - top)
            _add_gap(bench, board, x + width, top, right - x - width, bottom - top)
            _add_gap(bench, board, left, y + height, right - left, bottom - y - height)
            end -= 1
            _move_gap(bench, end, gap)
            _drop_gap(bench, board, end)
        else:
            gap += 1
    _drop_inner_gaps(bench, board, end)
    return 0


@compiled_part
def _drop_inner_gaps(bench: Any, board: int, new: int) -> Any:
    """Drop gaps, from `new` on, that lie within another."""
    start = board * MOST_GAPS
    gap = new
    while gap < start + bench.gaps[board]:
        inner = False
        for other in range(start, start + bench.gaps[board]):
            if other != gap and _contains(bench, other, gap):
                inner = True
                break
        if inner:
            _drop_gap(bench, board, gap)
        else:
            gap += 1
    return 0


@compiled_part
def _contains(bench: Any, outer: int, inner: int) -> Any:
    return (
        bench.gap_x[outer] <= bench.gap_x[inner]
        and bench.gap_y[outer] <= bench.gap_y[inner]
        and bench.gap_x[outer] + bench.gap_width[outer]
        >= bench.gap_x[inner] + bench.gap_width[inner]
        and bench.gap_y[outer] + bench.gap_height[outer]
        >= bench.gap_y[inner] + bench.gap_height[inner]
    )


def bench_for(items: int) -> Bench:
    """Room for so many items."""
    import numpy as np

    few = {"count", "number", "frame", "used", "first", "last", "gaps", "spot", "picked", "emptied"}
    arrays: dict[str, Any] = {}
    for name in Bench._fields:
        size = MOST_BOARDS if name in few else items
        size = MOST_BOARDS * MOST_GAPS if name.startswith("gap_") else size
        arrays[name] = np.zeros(size, dtype=np.float64 if name == "key" else np.int64)
    return Bench(**arrays)
