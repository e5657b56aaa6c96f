"""One board filled greedily: each piece goes where it wastes least, and nothing grows or moves."""

from collections.abc import Sequence

from builds.cutting.board import Band, Board, BoardSpot, Stack
from builds.cutting.frames import Frame, Orientation


class Filling:
    """A board being filled; pieces go in one by one and stay where they were laid."""

    def __init__(self, frame: Frame) -> None:
        self.board = Board(frame, frame.height)
        # Height left on the stack of each band that has most; saves looking through them.
        self._rooms: list[int] = []

    def lay(self, kind: int, ways: Sequence[Orientation], most: int) -> int:
        """Lay up to `most` pieces where one wastes least, above each other; 0 if none has room.

        Onto a stack if any takes it, else beside the stacks of a band, else into a new band, which
        takes the first of `ways` that has room.
        """
        return (
            self._lay_on_stack(kind, ways, most)
            or self._lay_beside(kind, ways, most)
            or self._lay_in_new_band(kind, ways, most)
        )

    def _lay_on_stack(self, kind: int, ways: Sequence[Orientation], most: int) -> int:
        best: tuple[int, Stack, Orientation] | None = None
        least = (self.board.frame.width, self.board.frame.height)
        lowest = min(way.height for way in ways)
        for number, band in enumerate(self.board.bands):
            if self._rooms[number] < lowest:
                continue
            for stack in band.stacks:
                for way in ways:
                    over = (stack.width - way.width, band.height - stack.height - way.height)
                    if over[0] >= 0 and over[1] >= 0 and over < least:
                        best, least = (number, stack, way), over
        if best is None:
            return 0
        number, stack, way = best
        band = self.board.bands[number]
        count = self._pile(kind, band, stack, way, most)
        self._rooms[number] = band.height - min(stack.height for stack in band.stacks)
        return count

    def _lay_beside(self, kind: int, ways: Sequence[Orientation], most: int) -> int:
        best: tuple[int, Orientation] | None = None
        least = (self.board.frame.height, self.board.frame.width)
        for number, band in enumerate(self.board.bands):
            for way in ways:
                over = (
                    band.height - way.height,
                    self.board.frame.width - band.width - way.width,
                )
                if over[0] >= 0 and over[1] >= 0 and over < least:
                    best, least = (number, way), over
        if best is None:
            return 0
        number, way = best
        return self._open_stack(number, kind, way, most)

    def _lay_in_new_band(self, kind: int, ways: Sequence[Orientation], most: int) -> int:
        for way in ways:
            if way.height <= self.board.room:
                self.board.bands.append(Band(0, way.height, []))
                self.board.room -= way.height
                self._rooms.append(0)
                return self._open_stack(len(self._rooms) - 1, kind, way, most)
        return 0

    def _open_stack(self, number: int, kind: int, way: Orientation, most: int) -> int:
        band = self.board.bands[number]
        self.board.lay(kind, BoardSpot(band, None, way))
        stack = band.stacks[-1]
        count = 1 + self._pile(kind, band, stack, way, most - 1)
        self._rooms[number] = max(self._rooms[number], band.height - stack.height)
        return count

    def _pile(self, kind: int, band: Band, stack: Stack, way: Orientation, most: int) -> int:
        count = min(most, (band.height - stack.height) // way.height)
        for _ in range(count):
            self.board.lay(kind, BoardSpot(band, stack, way))
        return count
