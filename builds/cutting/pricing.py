"""A lower bound from values of pieces: no board of three stages is worth more than it may be.

Gilmore and Gomory's dynamic programme (Operations Research 13 (1965) 94-120): the worth of stacks
by width and height, of bands by height, of boards. Stacks keep to the pieces wanted, bands and
boards may repeat them, so the worth is an upper bound. Scaled down until no board is worth more
than it costs, the values are a solution of the linear program's dual, and their sum is a lower
bound on the cost of any plan: Farley, Operations Research 38 (1990) 922-923. Whole numbers, exact.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from builds.cutting.frames import Frame
from builds.cutting.packing import offers
from builds.cutting.values import Job
from builds.cutting.work import Work

_SCALE = 10**6
_MOST_CELLS = 60_000_000
_CELLS_A_WORK = 3_000


def priced_bound(
    job: Job, frames: Sequence[Frame], left: Sequence[int], values: Sequence[float], work: Work
) -> Fraction:
    """The least that a plan in three stages costs, in millionths; 0 if that is too much to ask."""
    whole = [int(value * _SCALE) for value in values]
    worths: dict[int, int] = {}
    costs = {frame.source: frame.cost for frame in frames}
    for frame in frames:
        worth = most_worth(frame, left, whole, work)
        if worth is None or work.stop():
            return Fraction(0)
        worths[frame.source] = max(worth, worths.get(frame.source, 0))
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
    total = sum(count * value for count, value in zip(left, whole, strict=True))
    return max(Fraction(0), factor * total - fees)


def most_worth(frame: Frame, left: Sequence[int], values: Sequence[int], work: Work) -> int | None:
    """No board of this frame is worth more; None if the tables would be too large."""
    import numpy as np

    ways = [way for ways, value in zip(frame.ways, values, strict=True) if value for way in ways]
    if not ways:
        return 0
    across = _sums((way.width for way in ways), frame.width)
    down = _sums((way.height for way in ways), frame.height)
    widths = sorted({way.width for way in ways})
    cells = len(across) * len(widths) * len(down)
    if cells > _MOST_CELLS:
        return None
    work.spend(cells // _CELLS_A_WORK)
    stacks = _stacks(frame, left, values, widths)[:, down]
    bands = np.zeros((len(across), len(down)), dtype=np.int64)
    for number, x in enumerate(across[1:], start=1):
        fitting = [width for width in widths if width <= x]
        before = np.searchsorted(across, x - np.array(fitting), side="right") - 1
        best = (bands[before] + stacks[: len(fitting)]).max(axis=0)
        np.maximum(bands[number - 1], best, out=bands[number])
    worth = bands[-1]
    boards = np.zeros(len(down), dtype=np.int64)
    for number, y in enumerate(down[1:], start=1):
        before = np.searchsorted(down, y - down[1 : number + 1], side="right") - 1
        boards[number] = max(
            boards[number - 1], int((boards[before] + worth[1 : number + 1]).max())
        )
    return int(boards[-1])


def _sums(lengths: Iterable[int], most: int) -> Any:
    """All sums of these lengths, each as often as one likes, up to `most`; 0 first."""
    import numpy as np

    reached = 1
    for length in set(lengths):
        step = length
        while step <= most:
            reached |= reached << step
            step *= 2
        reached &= (1 << (most + 1)) - 1
    return np.array([total for total in range(most + 1) if reached >> total & 1])


def _stacks(frame: Frame, left: Sequence[int], values: Sequence[int], widths: list[int]) -> Any:
    """By width (rows) and height, the most that a stack is worth."""
    import numpy as np

    rows = np.zeros((len(widths), frame.height + 1), dtype=np.int64)
    at_hand = [offer for offer in offers(frame, left) if values[offer.kind]]
    for row, width in enumerate(widths):
        if row:
            rows[row] = rows[row - 1]
        for kind, _, times, across, high in at_hand:
            if across == width:
                more = rows[row, :-high] + times * values[kind]
                np.maximum(rows[row, high:], more, out=rows[row, high:])
    return rows
