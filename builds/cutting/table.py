"""The table on which a few boards are taken apart and laid anew, in arrays.

Nothing here is written into the boards kept until `write` is called, so a round that fails costs
nothing to undo. All of it runs as machine code, see `compiled`.
"""

from typing import Any, NamedTuple

from builds.cutting.compiled import Floats, Ints, compiled_part
from builds.cutting.flat import NEXT_BAND, NEXT_STACK, NONE, ON_STACK

MOST_ON_TABLE = 6
BOARDS, BANDS, STACKS, POOL = 0, 1, 2, 3
BOARD, BAND, STACK, WAY = 0, 1, 2, 3


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


def table_for(items: int) -> Table:
    import numpy as np

    few = {"count", "number", "frame", "room", "used", "bands", "spot", "picked", "emptied"}
    arrays: dict[str, Any] = {
        name: np.zeros(MOST_ON_TABLE if name in few else items, dtype=np.int64)
        for name in Table._fields
    }
    arrays["key"] = np.zeros(items)
    return Table(**arrays)


@compiled_part
def lay_board(sizes: Any, table: Any, number: int, frame: int) -> Any:
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
def lay(
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
def to_pool(table: Any, item: int) -> Any:
    table.pool[table.count[POOL]] = item
    table.count[POOL] += 1
    return 0


@compiled_part
def write(boards: Any, table: Any, board: int, number: int) -> Any:
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
