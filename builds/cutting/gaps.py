"""Rounds of ruin and recreate on boards without stages, in arrays; all of it runs as machine code.

A board is a list of items in the order they were laid, each in the top left corner of a gap of
`gap_bench`. A round is as in `rounds`; a board is thinned out by laying those items that stay
where they lay.
"""

from typing import Any, NamedTuple

from builds.cutting.compiled import Ints, compiled, compiled_part, draw, draw_below
from builds.cutting.flat import NONE, Sizes
from builds.cutting.gap_bench import (
    ACROSS,
    DOWN,
    MOST_BOARDS,
    MOST_GAPS,
    Bench,
    gap_at,
    lay,
    lay_board,
)
from builds.cutting.rounds import (
    Pace,
    allowance,
    drop,
    empty,
    keep_loose,
    may_open,
    pay,
    pick_boards,
    pick_loose,
    sort_pool,
    undo,
)
from builds.cutting.table import BOARDS, POOL, to_pool

BOARD, GAP, WAY = 0, 1, 2  # where the spot that was found is kept in `Bench.spot`
_NOISE = 0.5
_BLINK = 0.02
_EMPTIED = 0.4  # share of boards that are emptied, rather than thinned out
_LEAST_OUT, _MORE_OUT = 0.1, 0.6  # share of its items that a board loses when it is thinned out
_ALL_LEFT = 0.02  # what area left round a piece counts, beside the narrower strips
_FAR = 1e300  # more harm than any spot does
_OTHER_SPLIT = 0.2  # how often a gap is not parted where that leaves the larger gap
_UNITS_A_ROUND = 100


class Lists(NamedTuple):
    """Boards as lists of items, and loose items; n items, s stocks."""

    count: Ints  # [1], how many boards there are
    frame: Ints  # [n]
    used: Ints  # [n], area of the items
    first: Ints  # [n], the first item of a board
    after: Ints  # [n], the item laid next; NONE after the last
    x: Ints  # [n]
    y: Ints  # [n]
    way: Ints  # [n], 0 or 1
    split: Ints  # [n], ACROSS or DOWN; NONE if laid otherwise
    kind: Ints  # [n]
    loose_count: Ints  # [1]
    loose: Ints  # [n], items on no board
    stock_used: Ints  # [s], sheets
    budget: Ints  # [1], steps of cost left to spend
    straight: Ints  # [1], 1 if cuts run straight across


@compiled
def seek_gaps(sizes: Sizes, lists: Lists, bench: Bench, pace: Pace, units: int) -> int:
    """Go through rounds until no item is loose or about so many units are spent; give these."""
    start = pace.done[0]
    while lists.loose_count[0] > 0 and pace.done[0] - start < units:
        _round(sizes, lists, bench, pace)
        pace.done[0] += _UNITS_A_ROUND
    return int(pace.done[0] - start)


@compiled_part
def _round(sizes: Any, lists: Any, bench: Any, pace: Any) -> Any:
    bench.count[BOARDS] = 0
    bench.count[POOL] = 0
    picked = pick_boards(lists, bench, pace.chance)
    loose, area = pick_loose(sizes, lists, bench, pace.chance)
    emptied = 0
    for place in range(picked):
        number = bench.picked[place]
        bench.emptied[place] = 0
        if draw(pace.chance) < _EMPTIED or lists.split[lists.first[number]] == NONE:
            bench.emptied[place] = 1
            emptied += 1
            empty(sizes, lists, bench, number)
        else:
            _thin_out(sizes, lists, bench, number, pace.chance)
    kept = bench.count[BOARDS]
    _open_boards(sizes, lists, bench, emptied + 1, pace.chance)
    sort_pool(sizes, lists, bench, pace.chance)
    still = _recreate(sizes, lists, bench, pace, area + allowance(pace))
    if still == NONE:
        undo(sizes, lists, bench, picked, kept)
    else:
        _keep(sizes, lists, bench, picked)
        keep_loose(lists, bench, loose, still)
    return 0


@compiled_part
def _thin_out(sizes: Any, lists: Any, bench: Any, number: int, chance: Any) -> Any:
    """Lay a board on the bench without some of its items, and what hangs on these."""
    frame = lists.frame[number]
    board = lay_board(sizes, bench, number, frame)
    share = _LEAST_OUT + _MORE_OUT * draw(chance)
    item = lists.first[number]
    while item != NONE:
        place = (frame * sizes.kinds + lists.kind[item]) * 2 + lists.way[item]
        width = sizes.way_width[place]
        height = sizes.way_height[place]
        if draw(chance) < share or not _lay_again(lists, bench, item, board, width, height):
            to_pool(bench, item)
        item = lists.after[item]
    return 0


@compiled_part
def _lay_again(lists: Any, bench: Any, item: int, board: int, width: int, height: int) -> Any:
    """Lay an item where it lay; False if, under straight cuts, its gap is not there any more."""
    bench.x[item] = lists.x[item]
    bench.y[item] = lists.y[item]
    bench.way[item] = lists.way[item]
    bench.split[item] = lists.split[item]
    gap = NONE
    if lists.straight[0]:
        gap = gap_at(bench, board, bench.x[item], bench.y[item], width, height)
        if gap == NONE:
            return False
    lay(lists, bench, item, board, gap, width, height)
    return True


@compiled_part
def _open_boards(sizes: Any, lists: Any, bench: Any, count: int, chance: Any) -> Any:
    """Lay up to so many empty boards on the bench, as far as stock and budget allow."""
    for _ in range(count):
        open_to = 0
        for frame in range(len(sizes.frame_cost)):
            open_to += may_open(sizes, lists, frame)
        if open_to == 0 or bench.count[BOARDS] == MOST_BOARDS:
            return 0
        nth = draw_below(chance, open_to)
        for frame in range(len(sizes.frame_cost)):
            if may_open(sizes, lists, frame):
                if nth == 0:
                    lay_board(sizes, bench, NONE, frame)
                    pay(sizes, lists, frame, 1)
                    break
                nth -= 1
    return 0


@compiled_part
def _recreate(sizes: Any, lists: Any, bench: Any, pace: Any, most: float) -> Any:
    """Lay the pool; give how many items are still loose, NONE if their area is more than `most`."""
    still = 0
    for place in range(bench.count[POOL]):
        item = bench.pool[place]
        kind = lists.kind[item]
        if _find_gap(sizes, bench, pace, kind):
            _lay_in_gap(sizes, lists, bench, item, kind, pace.chance)
        else:
            bench.still[still] = item
            still += 1
            most -= sizes.area[kind]
            if most < 0:
                return NONE
    return still


@compiled_part
def _find_gap(sizes: Any, bench: Any, pace: Any, kind: int) -> Any:
    """Find the gap on the bench that a piece fills best; False if none has room.

    The harm is the narrower of the two strips that are left beside the piece and below it.
    """
    chance = pace.chance
    least = _FAR
    looks = 0
    for board in range(bench.count[BOARDS]):
        for way in range(2):
            place = (bench.frame[board] * sizes.kinds + kind) * 2 + way
            width = sizes.way_width[place]
            height = sizes.way_height[place]
            if width == 0:
                continue
            for gap in range(board * MOST_GAPS, board * MOST_GAPS + bench.gaps[board]):
                looks += 1
                beside = bench.gap_width[gap] - width
                below = bench.gap_height[gap] - height
                if beside >= 0 and below >= 0:
                    harm = min(beside * height, below * width) + _ALL_LEFT * (
                        beside * (height + below) + below * width
                    )
                    harm = (harm + 1) * (1 + _NOISE * draw(chance))
                    if harm < least and draw(chance) > _BLINK:
                        least = harm
                        bench.spot[BOARD] = board
                        bench.spot[GAP] = gap
                        bench.spot[WAY] = way
    pace.done[0] += looks + 1
    return least < _FAR


@compiled_part
def _lay_in_gap(sizes: Any, lists: Any, bench: Any, item: int, kind: int, chance: Any) -> Any:
    board = bench.spot[BOARD]
    gap = bench.spot[GAP]
    way = bench.spot[WAY]
    place = (bench.frame[board] * sizes.kinds + kind) * 2 + way
    width = sizes.way_width[place]
    height = sizes.way_height[place]
    wide = bench.gap_width[gap] - width > bench.gap_height[gap] - height
    if draw(chance) < _OTHER_SPLIT:
        wide = not wide
    bench.x[item] = bench.gap_x[gap]
    bench.y[item] = bench.gap_y[gap]
    bench.way[item] = way
    bench.split[item] = DOWN if wide else ACROSS
    lay(lists, bench, item, board, gap, width, height)
    return 0


@compiled_part
def _keep(sizes: Any, lists: Any, bench: Any, picked: int) -> Any:
    """Write the boards on the bench into the places of those that were picked, and new ones."""
    places = 0
    for board in range(bench.count[BOARDS]):
        if bench.first[board] == NONE:
            pay(sizes, lists, bench.frame[board], -1)
        elif places < picked:
            _write(lists, bench, board, bench.picked[places])
            places += 1
        else:
            _write(lists, bench, board, lists.count[0])
            lists.count[0] += 1
    drop(lists, bench, places, picked)
    return 0


@compiled_part
def _write(lists: Any, bench: Any, board: int, number: int) -> Any:
    lists.frame[number] = bench.frame[board]
    lists.used[number] = bench.used[board]
    lists.first[number] = bench.first[board]
    item = bench.first[board]
    while item != NONE:
        lists.after[item] = bench.after[item]
        lists.x[item] = bench.x[item]
        lists.y[item] = bench.y[item]
        lists.way[item] = bench.way[item]
        lists.split[item] = bench.split[item]
        item = bench.after[item]
    return 0
