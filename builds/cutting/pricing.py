"""The worthiest board there can be for given values of pieces, and the bound that follows.

Gilmore and Gomory's dynamic programme (Operations Research 13 (1965) 94-120): the worth of stacks
by width and height, of bands by height, of boards. Stacks keep to the pieces wanted, bands and
boards may repeat them, so the worth is an upper bound. Scaled down until no board is worth more
than it costs, the values are a solution of the linear program's dual, and their sum is a lower
bound on the cost of any plan: Farley, Operations Research 38 (1990) 922-923. Whole numbers, exact.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from builds.cutting.board import Band, Board, Laid, Stack
from builds.cutting.frames import Frame
from builds.cutting.packing import offers
from builds.cutting.values import Job

_SCALE = 10**6
_MOST_CELLS = 40_000_000


def whole(values: Iterable[float]) -> list[int]:
    """Values in whole numbers, rounded down, so that sums of them are exact."""
    return [int(value * _SCALE) for value in values]


class Worth:
    """The worthiest board of a frame; values from `whole`.

    `bands_of_one`: bands are as high as one piece; quicker, but some boards are not considered.
    """

    def __init__(
        self, frame: Frame, left: Sequence[int], values: Sequence[int], bands_of_one: bool
    ) -> None:
        self._frame = frame
        self._values = values
        at_hand = (offer for offer in offers(frame, left) if values[offer.kind])
        self._offers = list(at_hand)
        self._across = _sums((offer.width for offer in self._offers), frame.width)
        self._down = _sums((offer.way.height for offer in self._offers), frame.height)
        self._widths = sorted({offer.width for offer in self._offers})
        heights = {0} | {offer.way.height for offer in self._offers}
        self._heights = _array(sorted(heights)) if bands_of_one else self._down

    @property
    def cells(self) -> int:
        """How large the tables are, for counting work."""
        return len(self._across) * len(self._widths) * len(self._heights)

    @property
    def possible(self) -> bool:
        """Whether the tables can be held in memory."""
        return self.cells <= _MOST_CELLS

    def find(self) -> int:
        """Give the worth of the worthiest board."""
        if not self._offers:
            return 0
        self._fill_stacks()
        self._fill_bands()
        self._fill_boards()
        return int(self._boards[-1])

    def board(self) -> Board:
        """The board found; it may yield more of a kind than are wanted."""
        board = Board(self._frame, self._frame.height)
        at = len(self._down) - 1
        while self._boards[at]:
            if self._boards[at] == self._boards[at - 1]:
                at -= 1
                continue
            before, worths = self._ways_to_end(at)
            number = int(worths.argmax())
            band = self._band(number + 1)
            board.bands.append(band)
            board.room -= band.height
            board.used += band.used
            at = int(before[number])
        return board

    def _fill_stacks(self) -> None:
        """By width (rows) and height."""
        import numpy as np

        rows = np.zeros((len(self._widths), self._frame.height + 1), dtype=np.int64)
        row = 0
        for kind, _, times, across, high in self._offers:  # narrow before wide
            while self._widths[row] < across:
                rows[row + 1] = rows[row]
                row += 1
            more = rows[row, :-high] + times * self._values[kind]
            np.maximum(rows[row, high:], more, out=rows[row, high:])
        self._stacks = rows[:, self._heights]

    def _fill_bands(self) -> None:
        """By width so far (rows) and height."""
        import numpy as np

        self._bands = np.zeros((len(self._across), len(self._heights)), dtype=np.int64)
        for number in range(1, len(self._across)):
            before = self._befores(number)
            best = (self._bands[before] + self._stacks[: len(before)]).max(axis=0)
            np.maximum(self._bands[number - 1], best, out=self._bands[number])

    def _befores(self, number: int) -> Any:
        """By width of the last stack, where the band without it ends."""
        import numpy as np

        x = self._across[number]
        fitting = _array([width for width in self._widths if width <= x])
        return np.searchsorted(self._across, x - fitting, side="right") - 1

    def _fill_boards(self) -> None:
        import numpy as np

        self._boards = np.zeros(len(self._down), dtype=np.int64)
        for number in range(1, len(self._down)):
            _, worths = self._ways_to_end(number)
            self._boards[number] = max(self._boards[number - 1], worths.max())

    def _ways_to_end(self, number: int) -> tuple[Any, Any]:
        """By height of the last band, where the board without it ends, and the worth with it."""
        import numpy as np

        y = self._down[number]
        fitting = self._heights[1 : np.searchsorted(self._heights, y, side="right")]
        before = np.searchsorted(self._down, y - fitting, side="right") - 1
        return before, self._boards[before] + self._bands[-1][1 : len(fitting) + 1]

    def _band(self, column: int) -> Band:
        band = Band(0, 0, [])
        at = len(self._across) - 1
        while self._bands[at, column]:
            if self._bands[at, column] == self._bands[at - 1, column]:
                at -= 1
                continue
            before = self._befores(at)
            row = int((self._bands[before, column] + self._stacks[: len(before), column]).argmax())
            stack = self._stack(self._widths[row], int(self._heights[column]))
            band.stacks.append(stack)
            band.width += stack.width
            band.height = max(band.height, stack.height)
            at = int(before[row])
        return band

    def _stack(self, width: int, height: int) -> Stack:
        """The worthiest stack; its table is filled again, because it was not kept."""
        import numpy as np

        at_hand = [o for o in self._offers if o.width <= width and o.height <= height]
        table = np.zeros((len(at_hand) + 1, height + 1), dtype=np.int64)
        for row, offer in enumerate(at_hand):
            table[row + 1] = table[row]
            more = table[row, : -offer.height] + offer.times * self._values[offer.kind]
            np.maximum(table[row, offer.height :], more, out=table[row + 1, offer.height :])
        stack = Stack(0, 0, [])
        for row in range(len(at_hand), 0, -1):
            if table[row, height] != table[row - 1, height]:
                offer = at_hand[row - 1]
                stack.laid.extend([Laid(offer.kind, offer.way)] * offer.times)
                stack.width = max(stack.width, offer.width)
                stack.height += offer.height
                height -= offer.height
        return stack


def bound_from(
    job: Job,
    worths: dict[int, int],
    left: Sequence[int],
    values: Sequence[int],
    costs: dict[int, int],
) -> Fraction:
    """The least that a plan costs, in millionths, if no board of a stock is worth more.

    `worths` and `costs` are by the stock's number, `left` and `values` by kind of piece.
    """
    factor = min(
        (
            Fraction(costs[source], worth)
            for source, worth in worths.items()
            if worth and job.stock[source].quantity is None
        ),
        default=Fraction(max(costs.values()), _SCALE),
    )
    fees = sum(
        (job.stock[source].quantity or 0) * max(Fraction(0), factor * worth - costs[source])
        for source, worth in worths.items()
    )
    total = sum(count * value for count, value in zip(left, values, strict=True))
    return max(Fraction(0), factor * total - fees)


def _array(lengths: list[int]) -> Any:
    import numpy as np

    return np.array(lengths, dtype=np.int64)


def _sums(lengths: Iterable[int], most: int) -> Any:
    """All sums of these lengths, each as often as one likes, up to `most`; 0 first."""
    reached = 1
    for length in set(lengths):
        step = length
        while step <= most:
            reached |= reached << step
            step *= 2
        reached &= (1 << (most + 1)) - 1
    return _array([total for total in range(most + 1) if reached >> total & 1])
