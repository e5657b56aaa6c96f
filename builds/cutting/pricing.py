"""The worthiest boards there can be for given values of pieces, and the bound that follows.

Gilmore and Gomory's dynamic programme (Operations Research 13 (1965) 94-120): the worth of stacks
by width and height, of bands by width and height, of boards. All frames of one direction are read
from the same tables. Stacks keep to the pieces wanted, bands and boards may repeat them, so the
worth is an upper bound. Scaled down until no board is worth more than it costs, the values are a
solution of the linear program's dual, and their sum is a lower bound on the cost of any plan:
Farley, Operations Research 38 (1990) 922-923. Whole numbers, exact.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction

from builds.cutting.board import Board
from builds.cutting.frames import Frame
from builds.cutting.offers import offers
from builds.cutting.price_bands import BandTable, Steps, steps_for
from builds.cutting.price_boards import BoardTable
from builds.cutting.price_stacks import StackTable
from builds.cutting.values import Job

SCALE = 10**6
_MOST_CELLS = 30_000_000


def whole(values: Iterable[float]) -> list[int]:
    """Values in whole numbers, rounded down, so that sums of them are exact."""
    return [int(value * SCALE) for value in values]


class Pricing:
    """The worthiest boards of frames whose first cuts run in one direction."""

    def __init__(self, frames: Sequence[Frame]) -> None:
        self.frames = frames
        self._whole = _holding_all(frames)
        self._widths = sorted({frame.width for frame in frames})
        self._steps: Steps | None = None
        self._steps_widths: list[int] | None = None
        self._bands: BandTable | None = None
        self.cells = 0  # how large the tables were, for counting work

    def fill(self, left: Sequence[int], values: Sequence[int], stop: Callable[[], bool]) -> bool:
        """Work out all worths; False if it was stopped or the tables do not fit in memory.

        `left[k]` pieces of kind k are worth `values[k]` each, from `whole`.
        """
        at_hand = [offer for offer in offers(self._whole, left) if values[offer.kind]]
        steps = self._steps_with(sorted({offer.width for offer in at_hand}))
        heights = self._whole.height + 1
        if steps is None or (len(at_hand) + len(steps.reached)) * heights > _MOST_CELLS:
            return False
        stacks = StackTable(self._whole, at_hand, values)
        self.cells = len(steps.target) * heights
        self._bands = bands = BandTable(stacks, steps, self._bands)
        if not bands.fill(stop):
            return False
        tops = zip(self._widths, bands.tops(self._widths), strict=True)
        self._boards = {width: BoardTable(top[: self._highest(width) + 1]) for width, top in tops}
        return all(boards.fill(stop) for boards in self._boards.values())

    def worth(self, frame: Frame) -> int:
        """What the worthiest board of this frame is worth."""
        return self._boards[frame.width].worth(frame.height)

    def boards(self, frame: Frame, least: int, most: int) -> Iterator[Board]:
        """Boards worth more than `least`, the worthiest first; `most` of them at most.

        They may yield more of a kind than are wanted.
        """
        table = self._boards[frame.width]
        for height in table.first_bands(frame.height, least, most):
            yield self._board(frame, [height, *table.heights(frame.height - height)])

    def _board(self, frame: Frame, heights: Iterable[int]) -> Board:
        assert self._bands is not None
        board = Board(frame, frame.height)
        for height in heights:
            band = self._bands.band(frame.width, height)
            board.bands.append(band)
            board.room -= band.height
            board.used += band.used
        return board

    def _steps_with(self, widths: list[int]) -> Steps | None:
        if widths != self._steps_widths:
            self._steps = steps_for(widths, self._whole.width)
            self._steps_widths = widths
        return self._steps

    def _highest(self, width: int) -> int:
        return max(frame.height for frame in self.frames if frame.width == width)


def _holding_all(frames: Sequence[Frame]) -> Frame:
    """A frame that holds each of these, and takes what any of them takes."""
    kinds = zip(*(frame.ways for frame in frames), strict=True)
    return Frame(
        source=frames[0].source,
        width=max(frame.width for frame in frames),
        height=max(frame.height for frame in frames),
        upright=frames[0].upright,
        cost=0,
        ways=tuple(tuple(dict.fromkeys(way for ways in each for way in ways)) for each in kinds),
    )


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
        default=Fraction(max(costs.values()), SCALE),
    )
    fees = sum(
        (job.stock[source].quantity or 0) * max(Fraction(0), factor * worth - costs[source])
        for source, worth in worths.items()
    )
    total = sum(count * value for count, value in zip(left, values, strict=True))
    return max(Fraction(0), factor * total - fees)
