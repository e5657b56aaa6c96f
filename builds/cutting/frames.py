"""The job as the searches see it: frames to fill, kinds of pieces to fill them with.

A frame is the usable part of one kind of sheet with one kerf added, seen so that its first cuts run
across it; a sheet whose first cuts run down it is laid on its side. Pieces get one kerf too, so a
piece fills a frame just as it fills the sheet, and the cuts need no further thought. Costs are
whole numbers, in millionths.
"""

from dataclasses import dataclass
from typing import NamedTuple

from builds.cutting.limits import COST_PLACES
from builds.cutting.values import Job, StockSheet, WantedPiece

UNITS: int = 10**COST_PLACES


class Orientation(NamedTuple):
    """How a piece may lie: width along the bands, height across them."""

    width: int
    height: int
    turned: bool


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """One kind of sheet in one direction; `ways` by kind of piece, empty where it does not fit."""

    source: int  # the stock's number in the job
    width: int
    height: int
    upright: bool  # the first cuts run down the sheet instead of across
    cost: int
    ways: tuple[tuple[Orientation, ...], ...]

    @property
    def area(self) -> int:
        return self.width * self.height


def frames_of(job: Job) -> tuple[Frame, ...]:
    """All frames that take any piece: two for each kind of sheet, one where both are alike."""
    turnable = all(piece.rotate for piece in job.pieces)
    frames = (
        frame_of(job, source, upright)
        for source, stock in enumerate(job.stock)
        if stock.quantity != 0
        for upright in ((False,) if turnable and stock.width == stock.height else (False, True))
    )
    return tuple(frame for frame in frames if any(frame.ways))


def frame_of(job: Job, source: int, upright: bool) -> Frame:
    """See the stock with this number in one direction."""
    stock = job.stock[source]
    width, height = _usable(job, stock, upright)
    ways = (
        tuple(
            way
            for way in _ways(piece, job.kerf, upright)
            if way.width <= width and way.height <= height
        )
        for piece in job.pieces
    )
    return Frame(source, width, height, upright, int(stock.cost * UNITS), tuple(ways))


def _usable(job: Job, stock: StockSheet, upright: bool) -> tuple[int, int]:
    across, down = (stock.height, stock.width) if upright else (stock.width, stock.height)
    return across - 2 * job.trim + job.kerf, down - 2 * job.trim + job.kerf


def _ways(piece: WantedPiece, kerf: int, upright: bool) -> tuple[Orientation, ...]:
    width, height = piece.width + kerf, piece.height + kerf
    as_is = Orientation(height, width, False) if upright else Orientation(width, height, False)
    if not piece.rotate or width == height:
        return (as_is,)
    return as_is, Orientation(as_is.height, as_is.width, True)
