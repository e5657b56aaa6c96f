"""A cost below which no plan can be, for stating how good a plan is.

Two bounds, the larger counts. Both hold for any straight or free cutting.

Area: the pieces with their kerf need at least so much area, and it is bought where it is cheapest.

Count: dual feasible functions (Fekete and Schepers, Mathematical Methods of Operations Research 60
(2004) 311-329). Such a function f on [0, 1] keeps sums: what adds up to at most 1 still does after
f. So f(width) x g(height), for any two of them, is a volume of which no sheet holds more than 1,
and the volumes of all pieces, rounded up, count sheets. Sheets of several sizes are measured
against the smallest frame that holds each of them; a piece that may be turned counts with the
smaller volume of its two ways.

All in whole numbers: sizes with one kerf added, costs in millionths.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import islice
from math import gcd
from typing import Any, NamedTuple

from builds.cutting.fit import fits
from builds.cutting.limits import COST_PLACES
from builds.cutting.values import Job, WantedPiece

_UNITS: int = 10**COST_PLACES
_MOST_WORK = 200_000
_MOST_PARTS = 4


class _Demand(NamedTuple):
    """How often a piece is placed, and the ways it may lie: widths and heights with kerf."""

    quantity: int
    ways: tuple[tuple[int, int], ...]


class _Supply(NamedTuple):
    """Sheets of one kind: usable width and height with kerf; cost in millionths."""

    width: int
    height: int
    quantity: int
    cost: int

    @property
    def area(self) -> int:
        return self.width * self.height


class _Plain(NamedTuple):
    """f(x) = x."""

    frame: int

    @property
    def one(self) -> int:
        return self.frame

    def value(self, length: int) -> int:
        return length


class _Parts(NamedTuple):
    """u(k): x where (k + 1) x is whole, else (k + 1) x rounded down, by k."""

    frame: int
    parts: int

    @property
    def one(self) -> int:
        return self.parts * self.frame

    def value(self, length: int) -> int:
        whole, rest = divmod((self.parts + 1) * length, self.frame)
        return whole * self.frame if rest else self.parts * length


class _Without(NamedTuple):
    """U(e): nothing below e, all above 1 - e, x between: what is small finds room anywhere."""

    frame: int
    least: int

    @property
    def one(self) -> int:
        return self.frame

    def value(self, length: int) -> int:
        if length > self.frame - self.least:
            return self.frame
        return length if length >= self.least else 0


class _Counted(NamedTuple):
    """phi(e): counts pieces of at least e; a long one counts for those it leaves no room for."""

    frame: int
    least: int

    @property
    def one(self) -> int:
        return self.frame // self.least

    def value(self, length: int) -> int:
        if 2 * length > self.frame:
            return self.one - (self.frame - length) // self.least
        return 1 if length >= self.least else 0


_Function = _Plain | _Parts | _Without | _Counted


class _Scale(NamedTuple):
    """A dual feasible function's values for each demand's two ways, as whole parts of `one`."""

    one: int
    values: Any  # int64[demands, 2]


def lower_bound(job: Job, quantities: Sequence[int]) -> Decimal:
    """The least that a plan could cost which places `quantities[i]` of `job.pieces[i]`.

    Each piece with a quantity has to fit a sheet, and the stock has to be large enough.
    """
    supplies = _supplies(job, sum(quantities))
    demands = _demands(job, quantities, supplies)
    if not demands:
        return Decimal(0)
    cost = max(_area_cost(demands, supplies), _count_cost(demands, supplies))
    step = gcd(*(supply.cost for supply in supplies))
    rounded_up = -(-cost // step) * step if step else 0
    return Decimal(rounded_up) / _UNITS


def _supplies(job: Job, pieces: int) -> list[_Supply]:
    return [
        _Supply(
            width=stock.width - 2 * job.trim + job.kerf,
            height=stock.height - 2 * job.trim + job.kerf,
            quantity=pieces if stock.quantity is None else min(stock.quantity, pieces),
            cost=int(stock.cost * _UNITS),
        )
        for stock in job.stock
        if stock.quantity != 0 and any(fits(job, piece, stock) for piece in job.pieces)
    ]


def _demands(job: Job, quantities: Sequence[int], supplies: list[_Supply]) -> list[_Demand]:
    return [
        _Demand(quantity, _ways(piece, job.kerf, supplies))
        for piece, quantity in zip(job.pieces, quantities, strict=True)
        if quantity
    ]


def _ways(piece: WantedPiece, kerf: int, supplies: list[_Supply]) -> tuple[tuple[int, int], ...]:
    width, height = piece.width + kerf, piece.height + kerf
    ways = [(width, height)]
    if piece.rotate and width != height:
        ways.append((height, width))
    return tuple(
        (across, down)
        for across, down in ways
        if any(across <= supply.width and down <= supply.height for supply in supplies)
    )


def _area_cost(demands: list[_Demand], supplies: list[_Supply]) -> int:
    """Buy the area by part sheets, the cheapest area first."""
    area = sum(demand.quantity * demand.ways[0][0] * demand.ways[0][1] for demand in demands)
    cost = 0
    for supply in sorted(supplies, key=lambda supply: (Fraction(supply.cost, supply.area), supply)):
        sheets, rest = divmod(area, supply.area)
        if sheets < supply.quantity:
            return cost + sheets * supply.cost + -(-rest * supply.cost // supply.area)
        cost += supply.quantity * supply.cost
        area -= supply.quantity * supply.area
    return cost


def _count_cost(demands: list[_Demand], supplies: list[_Supply]) -> int:
    """Buy as many sheets as the volumes count, the cheapest sheets first."""
    sheets = _sheets_needed(demands, supplies)
    cost = 0
    for supply in sorted(supplies, key=lambda supply: supply.cost):
        taken = min(sheets, supply.quantity)
        cost += taken * supply.cost
        sheets -= taken
    return cost


def _sheets_needed(demands: list[_Demand], supplies: list[_Supply]) -> int:
    import numpy as np

    frame_width = max(supply.width for supply in supplies)
    frame_height = max(supply.height for supply in supplies)
    most = max(2, round((_MOST_WORK / len(demands) / 2) ** 0.5))
    # A piece that lies one way only has it twice.
    ways = np.array([(demand.ways[0], demand.ways[-1]) for demand in demands])
    quantities = np.array([demand.quantity for demand in demands])
    across = _scales(frame_width, ways[:, :, 0], most)
    down = _scales(frame_height, ways[:, :, 1], most)
    return max(_most_counted(quantities, one, down) for one in across)


def _most_counted(quantities: Any, across: _Scale, down: list[_Scale]) -> int:
    """The most sheets that this measure of widths counts with any of these of heights."""
    volumes = (
        ((across.values * other.values).min(axis=1) @ quantities, across.one * other.one)
        for other in down
    )
    return max(-(-int(volume) // one) for volume, one in volumes)


def _scales(frame: int, lengths: Any, most: int) -> list[_Scale]:
    """Measure all lengths by each function worth trying, the plain one first."""
    import numpy as np

    each, place = np.unique(lengths, return_inverse=True)
    plain = each.tolist()
    functions = islice(_functions(frame, plain), most)
    return [
        _Scale(f.one, np.array([f.value(x) for x in plain])[place.reshape(lengths.shape)])
        for f in functions
    ]


def _functions(frame: int, lengths: list[int]) -> Iterator[_Function]:
    """For lengths in ascending order."""
    yield _Plain(frame)
    small = [length for length in lengths if 2 * length <= frame]
    yield from (_Parts(frame, parts) for parts in range(1, _MOST_PARTS + 1))
    # From both ends inwards, so that a cut-off list still holds the telling ones.
    for least in sorted(small, key=lambda length: min(length, frame // 2 - length)):
        yield _Without(frame, least)
        yield _Counted(frame, least)
