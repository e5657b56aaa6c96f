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
    stacks: list[_Stack] = field(default_factory=list)


class Filling:
    """A sheet being filled; pieces go in one by one and stay where they were laid."""

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._bands: list[_Band] = []
        self._used = 0

    def lay(self, kind: int, ways: Sequence[Way]) -> bool:
        """Lay one piece where it wastes least; False if there is no room for it.

        Onto a stack if any takes it, else beside the stacks of a band, else into a new band, which
        takes the first of `ways` that has room.
        """
        return (
            self._lay_on_stack(kind, ways)
            or self._lay_beside(kind, ways)
            or self._lay_in_new_band(kind, ways)
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

    def _lay_on_stack(self, kind: int, ways: Sequence[Way]) -> bool:
        best: tuple[_Band, _Stack, Way] | None = None
        least = (self.width, self.height)
        for band in self._bands:
            for stack in band.stacks:
                for way in ways:
                    over = (stack.width - way.width, band.height - stack.used - way.height)
                    if over[0] >= 0 and over[1] >= 0 and over < least:
                        best, least = (band, stack, way), over
        if best is None:
            return False
        self._put(*best, kind)
        return True

    def _lay_beside(self, kind: int, ways: Sequence[Way]) -> bool:
        best: tuple[_Band, Way] | None = None
        least = (self.height, self.width)
        for band in self._bands:
            for way in ways:
                over = (band.height - way.height, self.width - band.used - way.width)
                if over[0] >= 0 and over[1] >= 0 and over < least:
                    best, least = (band, way), over
        if best is None:
            return False
        self._open_stack(*best, kind)
        return True

    def _lay_in_new_band(self, kind: int, ways: Sequence[Way]) -> bool:
        for way in ways:
            if way.width <= self.width and way.height <= self.height - self._used:
                band = _Band(self._used, way.height)
                self._bands.append(band)
                self._used += way.height
                self._open_stack(band, way, kind)
                return True
        return False

    def _open_stack(self, band: _Band, way: Way, kind: int) -> None:
        stack = _Stack(band.used, way.width)
        band.stacks.append(stack)
        band.used += way.width
        self._put(band, stack, way, kind)

    def _put(self, band: _Band, stack: _Stack, way: Way, kind: int) -> None:
        stack.laid.append(Laid(kind, stack.x, band.y + stack.used, way))
        stack.used += way.height
