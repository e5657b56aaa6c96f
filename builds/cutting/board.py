"""One sheet cut in three stages, as it is built up and taken apart again.

The first cuts divide the sheet into bands across its whole width, the second a band into stacks,
the third a stack into pieces; a piece narrower than its stack is trimmed.

    +--------+-----+------+   band: as high as its highest stack
    | piece  |     |      |   stack: as wide as its widest piece
    +------+-+     |      |
    | piece| |     |      |
    +------+-+-----+------+
    |   |    |            |   next band

Bands and stacks hold no coordinates, so that a piece may come or go anywhere.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from builds.cutting.frames import Frame, Orientation


class Laid(NamedTuple):
    """A piece laid down: which kind, and the way it lies."""

    kind: int
    way: Orientation


class Rest(NamedTuple):
    """A rectangle left over, one kerf included in each size."""

    x: int
    y: int
    width: int
    height: int


@dataclass(slots=True)
class Stack:
    width: int
    height: int
    laid: list[Laid]

    def copy(self) -> "Stack":
        return Stack(self.width, self.height, self.laid.copy())


@dataclass(slots=True)
class Band:
    width: int
    height: int
    stacks: list[Stack]

    @property
    def used(self) -> int:
        """Area of the pieces."""
        return sum(laid.way.width * laid.way.height for stack in self.stacks for laid in stack.laid)

    def copy(self) -> "Band":
        return Band(self.width, self.height, [stack.copy() for stack in self.stacks])


class BoardSpot(NamedTuple):
    """Where a piece may go: on a stack, beside the stacks of a band, or in a band of its own."""

    band: Band | None
    stack: Stack | None
    way: Orientation


@dataclass(slots=True)
class Board:
    """A frame with what is laid on it; `room` is the height that no band takes."""

    frame: Frame
    room: int
    used: int = 0  # area of the pieces
    bands: list[Band] = field(default_factory=list)

    def lay(self, kind: int, spot: BoardSpot) -> None:
        """Put the piece there; band and stack grow as it needs."""
        band, stack, way = spot
        self.used += way.width * way.height
        laid = Laid(kind, way)
        if band is None:
            self.bands.append(Band(way.width, way.height, [Stack(way.width, way.height, [laid])]))
            self.room -= way.height
            return
        if stack is None:
            stack = Stack(way.width, way.height, [laid])
            band.stacks.append(stack)
            band.width += way.width
        else:
            stack.laid.append(laid)
            stack.height += way.height
            if way.width > stack.width:
                band.width += way.width - stack.width
                stack.width = way.width
        if stack.height > band.height:
            self.room -= stack.height - band.height
            band.height = stack.height

    def laid(self) -> Iterator[Laid]:
        for band in self.bands:
            for stack in band.stacks:
                yield from stack.laid

    def kept(self, keep: Callable[[Laid], bool]) -> "Board":
        """A board of its own with only these pieces; bands and stacks shrink to them."""
        board = Board(self.frame, self.frame.height)
        for band in self.bands:
            stacks = [
                _stack(laid) for stack in band.stacks if (laid := list(filter(keep, stack.laid)))
            ]
            if stacks:
                height = max(stack.height for stack in stacks)
                board.bands.append(Band(sum(stack.width for stack in stacks), height, stacks))
                board.room -= height
        board.used = sum(laid.way.width * laid.way.height for laid in board.laid())
        return board

    def without(self, gone: Band) -> "Board":
        """A board of its own with all bands but this one."""
        bands = [band.copy() for band in self.bands if band is not gone]
        used = self.used - gone.used
        return Board(self.frame, self.room + gone.height, used, bands)

    def places(self) -> Iterator[tuple[Laid, int, int]]:
        """Each piece with the x and y of its corner."""
        top = 0
        for band in self.bands:
            left = 0
            for stack in band.stacks:
                y = top
                for laid in stack.laid:
                    yield laid, left, y
                    y += laid.way.height
                left += stack.width
            top += band.height

    def rests(self) -> Iterator[Rest]:
        """All that is left over, as the cuts leave it; some have no area."""
        top = 0
        for band in self.bands:
            left = 0
            for stack in band.stacks:
                y = top
                for _, way in stack.laid:
                    yield Rest(left + way.width, y, stack.width - way.width, way.height)
                    y += way.height
                yield Rest(left, y, stack.width, top + band.height - y)
                left += stack.width
            yield Rest(left, top, self.frame.width - left, band.height)
            top += band.height
        yield Rest(0, top, self.frame.width, self.frame.height - top)


def _stack(laid: list[Laid]) -> Stack:
    return Stack(max(each.way.width for each in laid), sum(each.way.height for each in laid), laid)
