"""One sheet filled in three stages, greedily.

The first cuts divide the sheet into bands across its whole width, the second a band into stacks,
the third a stack into pieces; a piece narrower than its stack is trimmed.

    +--------+-----+------+   band: as high as the piece that opened it
    | piece  |     |      |   stack: as wide as the piece that opened it
    +------+-+     |      |
    | piece| |     |      |
    +------+-+-----+------+
    |   |    |            |   next band

All sizes here carry one kerf, as does the sheet: a piece with its kerf fills a sheet with one kerf
added just as the piece fills the sheet, and the cuts need no further thought.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple


class Way(NamedTuple):
    """How a piece may lie: width along the bands, height across them."""

    width: int
    height: int
    turned: bool


class Laid(NamedTuple):
    """A piece laid down: which kind, its corner, and the way it lies."""

    kind: int
    x: int
    y: int
    way: Way


class Rest(NamedTuple):
    """A rectangle left over, one kerf included in each size."""

    x: int
    y: int
    width: int
    height: int


@dataclass(slots=True)
class _Stack:
    x: int
    width: int
    used: int = 0
    laid: list[Laid] = field(default_factory=list)


@dataclass(slots=True)
class _Band:
    y: int
    height: int
    used: int = 0
    room: int = 0  # height left on the stack that has most; saves looking through them
    stacks: list[_Stack] = field(default_factory=list)


class Filling:
    """A sheet being filled; pieces go in one by one and stay where they were laid."""

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._bands: list[_Band] = []
        self._used = 0

    def lay(self, kind: int, ways: Sequence[Way], most: int) -> int:
        """Lay up to `most` pieces where one wastes least, above each other; 0 if none has room.

        Onto a stack if any takes it, else beside the stacks of a band, else into a new band, which
        takes the first of `ways` that has room. Each of `ways` has to fit the empty sheet.
        """
        return (
            self._lay_on_stack(kind, ways, most)
            or self._lay_beside(kind, ways, most)
            or self._lay_in_new_band(kind, ways, most)
        )

    def laid(self) -> list[Laid]:
        return [laid for band in self._bands for stack in band.stacks for laid in stack.laid]

    def rests(self) -> list[Rest]:
        """All that is left over, as the cuts leave it."""
        rests = [Rest(0, self._used, self.width, self.height - self._used)]
        for band in self._bands:
            rests.append(Rest(band.used, band.y, self.width - band.used, band.height))
            for stack in band.stacks:
                top = band.y + stack.used
                rests.append(Rest(stack.x, top, stack.width, band.height - stack.used))
                rests.extend(
                    Rest(stack.x + way.width, y, stack.width - way.width, way.height)
                    for _, _, y, way in stack.laid
                )
        return rests

    def _lay_on_stack(self, kind: int, ways: Sequence[Way], most: int) -> int:
        best: tuple[_Band, _Stack, Way] | None = None
        least = (self.width, self.height)
        lowest = min(way.height for way in ways)
        for band in self._bands:
            if band.room < lowest:
                continue
            for stack in band.stacks:
                for way in ways:
                    over = (stack.width - way.width, band.height - stack.used - way.height)
                    if over[0] >= 0 and over[1] >= 0 and over < least:
                        best, least = (band, stack, way), over
        if best is None:
            return 0
        band, stack, way = best
        count = _pile(band, stack, way, kind, most)
        band.room = band.height - min(stack.used for stack in band.stacks)
        return count

    def _lay_beside(self, kind: int, ways: Sequence[Way], most: int) -> int:
        best: tuple[_Band, Way] | None = None
        least = (self.height, self.width)
        for band in self._bands:
            for way in ways:
                over = (band.height - way.height, self.width - band.used - way.width)
                if over[0] >= 0 and over[1] >= 0 and over < least:
                    best, least = (band, way), over
        if best is None:
            return 0
        return _open_stack(*best, kind, most)

    def _lay_in_new_band(self, kind: int, ways: Sequence[Way], most: int) -> int:
        for way in ways:
            if way.height <= self.height - self._used:
                band = _Band(self._used, way.height)
                self._bands.append(band)
                self._used += way.height
                return _open_stack(band, way, kind, most)
        return 0


def _open_stack(band: _Band, way: Way, kind: int, most: int) -> int:
    stack = _Stack(band.used, way.width)
    band.stacks.append(stack)
    band.used += way.width
    count = _pile(band, stack, way, kind, most)
    band.room = max(band.room, band.height - stack.used)
    return count


def _pile(band: _Band, stack: _Stack, way: Way, kind: int, most: int) -> int:
    count = min(most, (band.height - stack.used) // way.height)
    for _ in range(count):
        stack.laid.append(Laid(kind, stack.x, band.y + stack.used, way))
        stack.used += way.height
    return count
