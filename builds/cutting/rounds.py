"""Rounds of ruin and recreate on boards in arrays; all of it runs as machine code.

A round takes a few boards onto the table, emptied or thinned out, then lays what was taken from
them and what was loose on them anew, each piece where it does least harm. The outcome stands if
the area of loose pieces does not grow, or grows no more than the heat allows.
"""

from typing import Any, NamedTuple

from builds.cutting.compiled import Floats, Ints, compiled, compiled_part, draw, draw_below
from builds.cutting.flat import NEXT_BAND, NEXT_STACK, NONE, Boards, Sizes
from builds.cutting.spots import find_spot
from builds.cutting.table import (
    BAND,
    BOARD,
    BOARDS,
    MOST_ON_TABLE,
    POOL,
    STACK,
    WAY,
    Table,
    lay,
    lay_board,
    to_pool,
    write,
)

_EMPTIED = 0.15  # share of boards that are emptied, rather than thinned out
_LESS_A_BAND = 0.2  # share of boards to thin out that lose a whole band
_EMPTIER = 0.6  # how often the emptier of two boards is picked
_LOOSE_AT_ONCE = 60
PATIENCES = 1024
_UNITS_A_ROUND = 100  # beside one for each spot looked at


class Pace(NamedTuple):
    """How far the search is."""

    done: Ints  # [1], units of work
    most: int  # units of work that the heat is spread over
    heat: float  # area that loose pieces may grow by at first, on average
    patience: Floats  # [PATIENCES], quantiles of the exponential distribution
    chance: Ints


@compiled
def seek(sizes: Sizes, boards: Boards, table: Table, pace: Pace, units: int) -> int:
    """Go through rounds until no item is loose or about so many units are spent; give these."""
    start = pace.done[0]
    while boards.loose_count[0] > 0 and pace.done[0] - start < units:
        _round(sizes, boards, table, pace)
        pace.done[0] += _UNITS_A_ROUND
    return int(pace.done[0] - start)


@compiled_part
def _round(sizes: Any, boards: Any, table: Any, pace: Any) -> Any:
    for number in range(4):
        table.count[number] = 0
    picked = pick_boards(boards, table, pace.chance)
    loose, area = pick_loose(sizes, boards, table, pace.chance)
    emptied = 0
    for number in range(picked):
        table.emptied[number] = 0
        if draw(pace.chance) < _EMPTIED:
            table.emptied[number] = 1
            emptied += 1
            empty(sizes, boards, table, table.picked[number])
        else:
            _thin_out(sizes, boards, table, table.picked[number], pace.chance)
    kept = table.count[BOARDS]
    _open_boards(sizes, boards, table, emptied + 1, pace.chance)
    sort_pool(sizes, boards, table, pace.chance)
    still = _recreate(sizes, boards, table, pace, area + allowance(pace))
    if still == NONE:
        undo(sizes, boards, table, picked, kept)
    else:
        _keep(sizes, boards, table, picked)
        keep_loose(boards, table, loose, still)
    return 0


@compiled_part
def allowance(pace: Any) -> Any:
    left = max(0.0, 1.0 - pace.done[0] / pace.most)
    return pace.heat * left * pace.patience[draw_below(pace.chance, PATIENCES)]


@compiled_part
def pick_boards(boards: Any, table: Any, chance: Any) -> Any:
    """Pick one to three boards, no board twice; give how many."""
    wanted = min((3 + draw_below(chance, 4)) // 2, boards.count[0])
    picked = 0
    while picked < wanted:
        number = _pick_board(boards, chance)
        new = True
        for other in range(picked):
            if table.picked[other] == number:
                new = False
        if new:
            table.picked[picked] = number
            picked += 1
    return picked


@compiled_part
def _pick_board(boards: Any, chance: Any) -> Any:
    number = draw_below(chance, boards.count[0])
    other = draw_below(chance, boards.count[0])
    if boards.used[other] < boards.used[number] and draw(chance) < _EMPTIER:
        return other
    return number


@compiled_part
def pick_loose(sizes: Any, boards: Any, table: Any, chance: Any) -> Any:
    """Put loose items into the pool, which come first in `loose` then; give count and area."""
    count = boards.loose_count[0]
    taken = min(count, _LOOSE_AT_ONCE)
    area = 0
    for place in range(taken):
        if count > _LOOSE_AT_ONCE:
            other = place + draw_below(chance, count - place)
            item = boards.loose[other]
            boards.loose[other] = boards.loose[place]
            boards.loose[place] = item
        item = boards.loose[place]
        area += sizes.area[boards.kind[item]]
        to_pool(table, item)
    return taken, area


@compiled_part
def empty(sizes: Any, boards: Any, table: Any, number: int) -> Any:
    """All items of a board go into the pool, and its cost back to the budget."""
    frame = boards.frame[number]
    boards.budget[0] += sizes.frame_cost[frame]
    boards.stock_used[sizes.frame_stock[frame]] -= 1
    item = boards.first[number]
    while item != NONE:
        to_pool(table, item)
        item = boards.after[item]
    return 0


@compiled_part
def _thin_out(sizes: Any, boards: Any, table: Any, number: int, chance: Any) -> Any:
    """Lay a board on the table without one of its bands, or without some of its items."""
    board = lay_board(sizes, table, number, boards.frame[number])
    gone = NONE
    share = 0.0
    if draw(chance) < _LESS_A_BAND:
        gone = draw_below(chance, _count_bands(boards, number))
    else:
        share = 0.2 + 0.5 * draw(chance)
    bands = -1
    band = NONE
    stack = NONE
    item = boards.first[number]
    while item != NONE:
        if boards.begins[item] == NEXT_BAND:
            bands += 1
            band = NONE
            stack = NONE
        elif boards.begins[item] == NEXT_STACK:
            stack = NONE
        if bands == gone or (share > 0 and draw(chance) < share):
            to_pool(table, item)
        else:
            kind = boards.kind[item]
            lay(sizes, table, item, kind, board, band, stack, boards.way[item])
            band = table.spot[BAND]
            stack = table.spot[STACK]
        item = boards.after[item]
    return 0


@compiled_part
def _count_bands(boards: Any, number: int) -> Any:
    count = 0
    item = boards.first[number]
    while item != NONE:
        count += boards.begins[item] == NEXT_BAND
        item = boards.after[item]
    return count


@compiled_part
def _open_boards(sizes: Any, boards: Any, table: Any, count: int, chance: Any) -> Any:
    """Lay up to so many empty boards on the table, as far as stock and budget allow."""
    for _ in range(count):
        open_to = 0
        for frame in range(len(sizes.frame_cost)):
            open_to += may_open(sizes, boards, frame)
        if open_to == 0 or table.count[BOARDS] == MOST_ON_TABLE:
            return 0
        nth = draw_below(chance, open_to)
        for frame in range(len(sizes.frame_cost)):
            if may_open(sizes, boards, frame):
                if nth == 0:
                    lay_board(sizes, table, NONE, frame)
                    boards.budget[0] -= sizes.frame_cost[frame]
                    boards.stock_used[sizes.frame_stock[frame]] += 1
                    break
                nth -= 1
    return 0


@compiled_part
def may_open(sizes: Any, boards: Any, frame: int) -> Any:
    stock = sizes.frame_stock[frame]
    if sizes.frame_cost[frame] > boards.budget[0]:
        return 0
    return 1 if boards.stock_used[stock] < sizes.stock_most[stock] else 0


@compiled_part
def sort_pool(sizes: Any, boards: Any, table: Any, chance: Any) -> Any:
    """Large items first, by one of several measures of largeness, somewhat shuffled."""
    tactic = draw_below(chance, 10)
    spread = 0.4 if tactic < 5 else (3.0 if tactic == 9 else 0.3)
    for place in range(table.count[POOL]):
        kind = boards.kind[table.pool[place]]
        if tactic < 5:
            size = sizes.area[kind]
        elif tactic < 8:
            size = sizes.longer[kind]
        else:
            size = sizes.shorter[kind]
        key = size * (1.0 + spread * draw(chance))
        item = table.pool[place]
        other = place
        while other > 0 and table.key[other - 1] < key:
            table.key[other] = table.key[other - 1]
            table.pool[other] = table.pool[other - 1]
            other -= 1
        table.key[other] = key
        table.pool[other] = item
    return 0


@compiled_part
def _recreate(sizes: Any, boards: Any, table: Any, pace: Any, most: float) -> Any:
    """Lay the pool; give how many items are still loose, NONE if their area is more than `most`."""
    still = 0
    for place in range(table.count[POOL]):
        item = table.pool[place]
        kind = boards.kind[item]
        if find_spot(sizes, table, pace, kind):
            spot = table.spot
            lay(sizes, table, item, kind, spot[BOARD], spot[BAND], spot[STACK], spot[WAY])
        else:
            table.still[still] = item
            still += 1
            most -= sizes.area[kind]
            if most < 0:
                return NONE
    return still


@compiled_part
def undo(sizes: Any, boards: Any, table: Any, picked: int, kept: int) -> Any:
    """Let everything be as it was: boards opened are given back, boards emptied paid again."""
    for board in range(kept, table.count[BOARDS]):
        pay(sizes, boards, table.frame[board], -1)
    for number in range(picked):
        if table.emptied[number]:
            pay(sizes, boards, boards.frame[table.picked[number]], 1)
    return 0


@compiled_part
def pay(sizes: Any, boards: Any, frame: int, sheets: int) -> Any:
    boards.budget[0] -= sheets * sizes.frame_cost[frame]
    boards.stock_used[sizes.frame_stock[frame]] += sheets
    return 0


@compiled_part
def _keep(sizes: Any, boards: Any, table: Any, picked: int) -> Any:
    """Write the boards on the table into the places of those that were picked, and new ones."""
    places = 0
    for board in range(table.count[BOARDS]):
        if table.bands[board] == NONE:
            pay(sizes, boards, table.frame[board], -1)
        elif places < picked:
            write(boards, table, board, table.picked[places])
            places += 1
        else:
            write(boards, table, board, boards.count[0])
            boards.count[0] += 1
    drop(boards, table, places, picked)
    return 0


@compiled_part
def drop(boards: Any, table: Any, first: int, picked: int) -> Any:
    """The places picked from `first` on are empty: fill them from the end, the last one first."""
    while first < picked:
        latest = first
        for number in range(first, picked):
            if table.picked[number] > table.picked[latest]:
                latest = number
        place = table.picked[latest]
        table.picked[latest] = table.picked[first]
        first += 1
        boards.count[0] -= 1
        end = boards.count[0]
        boards.frame[place] = boards.frame[end]
        boards.used[place] = boards.used[end]
        boards.first[place] = boards.first[end]
    return 0


@compiled_part
def keep_loose(boards: Any, table: Any, taken: int, still: int) -> Any:
    """Put the items that are still loose in the place of those that were taken."""
    for place in range(min(taken, still)):
        boards.loose[place] = table.still[place]
    for place in range(taken, still):
        boards.loose[boards.loose_count[0]] = table.still[place]
        boards.loose_count[0] += 1
    for place in range(taken - 1, still - 1, -1):
        boards.loose_count[0] -= 1
        boards.loose[place] = boards.loose[boards.loose_count[0]]
    return 0
