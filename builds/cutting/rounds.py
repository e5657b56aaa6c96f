"""Rounds of ruin and recreate on boards in arrays; all of it runs as machine code.

A round takes a few boards onto the table, emptied or thinned out, then lays what was taken from
them and what was loose on them anew, each piece where it does least harm. The outcome stands if
the area of loose pieces does not grow, or grows no more than the heat allows.
"""

from typing import Any, NamedTuple

from builds.cutting.compiled import Floats, Ints, compiled, compiled_part, draw, draw_below
from builds.cutting.flat import NEXT_BAND, NEXT_STACK, NONE, ON_STACK, Boards, Sizes

_NOISE = 0.5
_BLINK = 0.02
_EMPTIED = 0.4  # share of boards that are emptied, rather than thinned out
_LOOSE_AT_ONCE = 60
PATIENCES = 1024
_MOST_ON_TABLE = 6
_UNITS_A_ROUND = 100  # beside one for each spot looked at


class Table(NamedTuple):
    """Boards being worked on; bands and stacks hang on each other, the latest first."""

    count: Ints  # [4]: boards, bands, stacks, pool
    number: Ints  # [6], where the board is kept; NONE if it is new
    frame: Ints  # [6]
    room: Ints  # [6], height that no band takes
    used: Ints  # [6], area of the items
    bands: Ints  # [6], the latest band
    band_after: Ints  # [n]
    band_width: Ints  # [n]
    band_height: Ints  # [n]
    stacks: Ints  # [n], the latest stack of a band
    stack_after: Ints  # [n]
    stack_width: Ints  # [n]
    stack_height: Ints  # [n]
    items: Ints  # [n], the latest item of a stack
    item_after: Ints  # [n]
    item_way: Ints  # [n]
    pool: Ints  # [n], items to lay
    key: Floats  # [n], by which the pool is sorted
    spot: Ints  # [4]: board on the table, band, stack, way
    still: Ints  # [n], items that found no spot
    picked: Ints  # [6], boards taken, by where they are kept
    emptied: Ints  # [6], 1 if so


BOARDS, BANDS, STACKS, POOL = 0, 1, 2, 3
BOARD, BAND, STACK, WAY = 0, 1, 2, 3


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
    picked = _pick_boards(boards, table, pace.chance)
    loose, area = _pick_loose(sizes, boards, table, pace.chance)
    emptied = 0
    for number in range(picked):
        table.emptied[number] = 0
        if draw(pace.chance) < _EMPTIED:
            table.emptied[number] = 1
            emptied += 1
            _empty(sizes, boards, table, table.picked[number])
        else:
            _thin_out(sizes, boards, table, table.picked[number], pace.chance)
    kept = table.count[BOARDS]
    _open_boards(sizes, boards, table, emptied + 1, pace.chance)
    _sort_pool(sizes, boards, table, pace.chance)
    still = _recreate(sizes, boards, table, pace, area + _allowance(pace))
    if still == NONE:
        _undo(sizes, boards, table, picked, kept)
    else:
        _keep(sizes, boards, table, picked)
        _keep_loose(boards, table, loose, still)
    return 0


@compiled_part
def _allowance(pace: Any) -> Any:
    left = max(0.0, 1.0 - pace.done[0] / pace.most)
    return pace.heat * left * pace.patience[draw_below(pace.chance, PATIENCES)]


@compiled_part
def _pick_boards(boards: Any, table: Any, chance: Any) -> Any:
    """Pick one to three boards, no board twice; give how many."""
    wanted = min((3 + draw_below(chance, 4)) // 2, boards.count[0])
    picked = 0
    while picked < wanted:
        number = draw_below(chance, boards.count[0])
        new = True
        for other in range(picked):
            if table.picked[other] == number:
                new = False
        if new:
            table.picked[picked] = number
            picked += 1
    return picked


@compiled_part
def _pick_loose(sizes: Any, boards: Any, table: Any, chance: Any) -> Any:
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
        _to_pool(table, item)
    return taken, area


@compiled_part
def _to_pool(table: Any, item: int) -> Any:
    table.pool[table.count[POOL]] = item
    table.count[POOL] += 1
    return 0


@compiled_part
def _empty(sizes: Any, boards: Any, table: Any, number: int) -> Any:
    """All items of a board go into the pool, and its cost back to the budget."""
    frame = boards.frame[number]
    boards.budget[0] += sizes.frame_cost[frame]
    boards.stock_used[sizes.frame_stock[frame]] -= 1
    item = boards.first[number]
    while item != NONE:
        _to_pool(table, item)
        item = boards.after[item]
    return 0


@compiled_part
def _thin_out(sizes: Any, boards: Any, table: Any, number: int, chance: Any) -> Any:
    """Lay a board on the table without one of its bands, or without some of its items."""
    board = _lay_board(sizes, table, number, boards.frame[number])
    gone = NONE
    share = 0.0
    if draw(chance) < 0.5:
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
            _to_pool(table, item)
        else:
            kind = boards.kind[item]
            _lay(sizes, table, item, kind, board, band, stack, boards.way[item])
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
def _lay_board(sizes: Any, table: Any, number: int, frame: int) -> Any:
    """Lay an empty board on the table; give its place there."""
    board = table.count[BOARDS]
    table.count[BOARDS] += 1
    table.number[board] = number
    table.frame[board] = frame
    table.room[board] = sizes.frame_height[frame]
    table.used[board] = 0
    table.bands[board] = NONE
    return board


@compiled_part
def _lay(
    sizes: Any,
    table: Any,
    item: int,
    kind: int,
    board: int,
    band: int,
    stack: int,
    way: int,
) -> Any:
    """Lay an item on a stack, on a new stack of a band, or in a new band; `spot` says where."""
    place = (table.frame[board] * sizes.kinds + kind) * 2 + way
    width = sizes.way_width[place]
    height = sizes.way_height[place]
    if band == NONE:
        band = _new_band(table, board)
    if stack == NONE:
        stack = _new_stack(table, band)
    table.item_after[item] = table.items[stack]
    table.items[stack] = item
    table.item_way[item] = way
    table.used[board] += width * height
    table.stack_height[stack] += height
    if width > table.stack_width[stack]:
        table.band_width[band] += width - table.stack_width[stack]
        table.stack_width[stack] = width
    if table.stack_height[stack] > table.band_height[band]:
        table.room[board] -= table.stack_height[stack] - table.band_height[band]
        table.band_height[band] = table.stack_height[stack]
    table.spot[BAND] = band
    table.spot[STACK] = stack
    return 0


@compiled_part
def _new_band(table: Any, board: int) -> Any:
    band = table.count[BANDS]
    table.count[BANDS] += 1
    table.band_after[band] = table.bands[board]
    table.bands[board] = band
    table.band_width[band] = 0
    table.band_height[band] = 0
    table.stacks[band] = NONE
    return band


@compiled_part
def _new_stack(table: Any, band: int) -> Any:
    stack = table.count[STACKS]
    table.count[STACKS] += 1
    table.stack_after[stack] = table.stacks[band]
    table.stacks[band] = stack
    table.stack_width[stack] = 0
    table.stack_height[stack] = 0
    table.items[stack] = NONE
    return stack


@compiled_part
def _open_boards(sizes: Any, boards: Any, table: Any, count: int, chance: Any) -> Any:
    """Lay up to so many empty boards on the table, as far as stock and budget allow."""
    for _ in range(count):
        open_to = 0
        for frame in range(len(sizes.frame_cost)):
            open_to += _may_open(sizes, boards, frame)
        if open_to == 0 or table.count[BOARDS] == _MOST_ON_TABLE:
            return 0
        nth = draw_below(chance, open_to)
        for frame in range(len(sizes.frame_cost)):
            if _may_open(sizes, boards, frame):
                if nth == 0:
                    _lay_board(sizes, table, NONE, frame)
                    boards.budget[0] -= sizes.frame_cost[frame]
                    boards.stock_used[sizes.frame_stock[frame]] += 1
                    break
                nth -= 1
    return 0


@compiled_part
def _may_open(sizes: Any, boards: Any, frame: int) -> Any:
    stock = sizes.frame_stock[frame]
    if sizes.frame_cost[frame] > boards.budget[0]:
        return 0
    return 1 if boards.stock_used[stock] < sizes.stock_most[stock] else 0


@compiled_part
def _sort_pool(sizes: Any, boards: Any, table: Any, chance: Any) -> Any:
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
        if _find_spot(sizes, table, pace, kind):
            spot = table.spot
            _lay(sizes, table, item, kind, spot[BOARD], spot[BAND], spot[STACK], spot[WAY])
        else:
            table.still[still] = item
            still += 1
            most -= sizes.area[kind]
            if most < 0:
                return NONE
    return still


@compiled_part
def _find_spot(sizes: Any, table: Any, pace: Any, kind: int) -> Any:
    """Find where on the table a piece does least harm; False if no board has room.

    The harm of a spot is the area it puts out of reach: sheet height that a band takes anew or
    grows by, band width that a stack grows by, what is trimmed beside a narrow piece. Where a piece
    fits exactly, harm is below zero. Noise and spots passed over ("blinks": Christiaens and Vanden
    Berghe, Transportation Science 54 (2020) 417-433) make one order give many layouts.
    """
    chance = pace.chance
    least = 1e300
    looks = 0
    for board in range(table.count[BOARDS]):
        frame = table.frame[board]
        across_all = sizes.frame_width[frame]
        room = table.room[board]
        if across_all * sizes.frame_height[frame] - table.used[board] < sizes.area[kind]:
            continue
        for way in range(2):
            place = (frame * sizes.kinds + kind) * 2 + way
            across = sizes.way_width[place]
            down = sizes.way_height[place]
            if across == 0:
                continue
            band = table.bands[board]
            while band != NONE:
                looks += 1
                tall = table.band_height[band]
                most = tall + room
                if down <= most:
                    rest = across_all - table.band_width[band]
                    if across <= rest:
                        grows = down - tall
                        harm = grows * across_all if grows > 0 else 0.5 * grows * across
                        harm *= 1 + _NOISE * draw(chance)
                        if harm < least and draw(chance) > _BLINK:
                            least = harm
                            table.spot[BOARD] = board
                            table.spot[BAND] = band
                            table.spot[STACK] = NONE
                            table.spot[WAY] = way
                    most -= down
                    stack = table.stacks[band]
                    while stack != NONE:
                        looks += 1
                        high = table.stack_height[stack]
                        wider = across - table.stack_width[stack]
                        if high <= most and wider <= rest:
                            harm = float(wider * (tall if wider > 0 else down))
                            grows = high + down - tall
                            if grows > 0:
                                harm += grows * across_all
                            harm *= 1 + _NOISE * draw(chance)
                            if harm < least and draw(chance) > _BLINK:
                                least = harm
                                table.spot[BOARD] = board
                                table.spot[BAND] = band
                                table.spot[STACK] = stack
                                table.spot[WAY] = way
                        stack = table.stack_after[stack]
                band = table.band_after[band]
            if down <= room:
                harm = float((across_all - across) * down + down)
                harm *= 1 + _NOISE * draw(chance)
                if harm < least and draw(chance) > _BLINK:
                    least = harm
                    table.spot[BOARD] = board
                    table.spot[BAND] = NONE
                    table.spot[STACK] = NONE
                    table.spot[WAY] = way
    pace.done[0] += looks + 1
    return least < 1e300


@compiled_part
def _undo(sizes: Any, boards: Any, table: Any, picked: int, kept: int) -> Any:
    """Let everything be as it was: boards opened are given back, boards emptied paid again."""
    for board in range(kept, table.count[BOARDS]):
        _pay(sizes, boards, table.frame[board], -1)
    for number in range(picked):
        if table.emptied[number]:
            _pay(sizes, boards, boards.frame[table.picked[number]], 1)
    return 0


@compiled_part
def _pay(sizes: Any, boards: Any, frame: int, sheets: int) -> Any:
    boards.budget[0] -= sheets * sizes.frame_cost[frame]
    boards.stock_used[sizes.frame_stock[frame]] += sheets
    return 0


@compiled_part
def _keep(sizes: Any, boards: Any, table: Any, picked: int) -> Any:
    """Write the boards on the table into the places of those that were picked, and new ones."""
    places = 0
    for board in range(table.count[BOARDS]):
        if table.bands[board] == NONE:
            _pay(sizes, boards, table.frame[board], -1)
        elif places < picked:
            _write(boards, table, board, table.picked[places])
            places += 1
        else:
            _write(boards, table, board, boards.count[0])
            boards.count[0] += 1
    _drop(boards, table, places, picked)
    return 0


@compiled_part
def _drop(boards: Any, table: Any, first: int, picked: int) -> Any:
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
def _write(boards: Any, table: Any, board: int, number: int) -> Any:
    boards.frame[number] = table.frame[board]
    boards.used[number] = table.used[board]
    before = NONE
    band = table.bands[board]
    while band != NONE:
        begins = NEXT_BAND
        stack = table.stacks[band]
        while stack != NONE:
            item = table.items[stack]
            while item != NONE:
                if before == NONE:
                    boards.first[number] = item
                else:
                    boards.after[before] = item
                before = item
                boards.begins[item] = begins
                boards.way[item] = table.item_way[item]
                begins = ON_STACK
                item = table.item_after[item]
            begins = NEXT_STACK
            stack = table.stack_after[stack]
        band = table.band_after[band]
    boards.after[before] = NONE
    return 0


@compiled_part
def _keep_loose(boards: Any, table: Any, taken: int, still: int) -> Any:
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


def table_for(items: int) -> Table:
    import numpy as np

    few = {"count", "number", "frame", "room", "used", "bands", "spot", "picked", "emptied"}
    arrays: dict[str, Any] = {
        name: np.zeros(_MOST_ON_TABLE if name in few else items, dtype=np.int64)
        for name in Table._fields
    }
    arrays["key"] = np.zeros(items)
    return Table(**arrays)
