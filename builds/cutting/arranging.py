"""What is on a board put in order: room where it makes one large offcut, equal measures together.

The order of bands, of stacks in a band and of pieces in a stack costs nothing to change. So the
height that no band takes may lie below any band and join the rests of that band, and the width that
no stack takes may join the rests of any stack:

    +-----+-----+ - - +       +-----+-----+-----+
    |     |     |     |       |     |     |     |   the lower band takes the room below it,
    +-----+---+-+ - - +       +-----+---+-+     |   and what is right of it grows
    |         |       |       |         |       |
    +---------+ - - - +       +---------+       |
    | room            |       |         |       |
    +-----------------+       +---------+-------+
"""

from collections.abc import Iterator
from functools import singledispatch
from typing import NamedTuple

from builds.cutting.board import Band, Board, Laid, Stack


class Growth(NamedTuple):
    """A rest, one kerf included, as large as it gets if this band takes all room, and this stack
    all width that is free in its band; None where nothing has to grow for it.
    """

    width: int
    height: int
    band: Band | None
    stack: Stack | None


@singledispatch
def largest_growth(board: Board, kerf: int, least: int) -> Growth | None:
    """The rest that makes the largest offcut with both sides of at least `least`; None if none."""
    side = max(least, 1) + kerf
    return max(
        (each for each in _growths(board) if each.width >= side and each.height >= side),
        key=lambda growth: (growth.width - kerf) * (growth.height - kerf),
        default=None,
    )


def _growths(board: Board) -> Iterator[Growth]:
    yield Growth(board.frame.width, board.room, None, None)
    for band in board.bands:
        spare, height = board.frame.width - band.width, band.height + board.room
        yield Growth(spare, height, band, None)
        for stack in band.stacks:
            width = stack.width + spare
            yield Growth(width, height - stack.height, band, stack)
            for laid in stack.laid:
                yield Growth(stack.width - laid.way.width, laid.way.height, None, None)


@singledispatch
def set_ups(board: Board) -> int:
    """How many measures the straightedge is set to, if all cuts of a kind and measure go together.

    One for all bands that are equally high, for all stacks that are equally wide, for all pieces
    cut off equally high and for all trimmed equally wide; what takes a whole part needs no cut.
    """
    bands = {band.height for band in board.bands} - {board.frame.height}
    stacks = {stack.width for band in board.bands for stack in band.stacks} - {board.frame.width}
    pieces, trimmed = set(), set()
    for band in board.bands:
        for stack in band.stacks:
            pieces |= {laid.way.height for laid in stack.laid} - {band.height}
            trimmed |= {laid.way.width for laid in stack.laid} - {stack.width}
    return len(bands) + len(stacks) + len(pieces) + len(trimmed)


@singledispatch
def arranged(board: Board, kerf: int, least: int) -> Board:
    """The same pieces in the same bands and stacks, in order and with the largest offcut."""
    growth = largest_growth(board, kerf, least)
    grown = growth.band if growth else None
    bands = sorted(board.bands, key=lambda band: (band is grown, -band.height, -band.width))
    ordered = [_ordered(band, growth.stack if growth else None) for band in bands]
    if growth and growth.band:
        _grow(ordered[-1], board, of_stack=growth.stack is not None)
    return Board(board.frame, 0 if grown else board.room, board.used, ordered)


def _ordered(band: Band, last: Stack | None) -> Band:
    stacks = sorted(
        band.stacks, key=lambda stack: (stack is last, -stack.width, -stack.height, _heights(stack))
    )
    return Band(
        band.width,
        band.height,
        [Stack(stack.width, stack.height, sorted(stack.laid, key=_size)) for stack in stacks],
    )


def _heights(stack: Stack) -> list[int]:
    return sorted(-laid.way.height for laid in stack.laid)


def _size(laid: Laid) -> tuple[int, int, int]:
    return -laid.way.height, -laid.way.width, laid.kind


def _grow(band: Band, board: Board, *, of_stack: bool) -> None:
    """Let the band take the room of its board, and its last stack, if so, its free width."""
    band.height += board.room
    if of_stack:
        band.stacks[-1].width += board.frame.width - band.width
        band.width = board.frame.width
