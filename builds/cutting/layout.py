"""Pieces laid out on stock sheets: the best of a fixed set of plain greedy plans.

A plan is made sheet by sheet: each kind of sheet at hand is filled with the pieces that are left,
in a set order, and the one is kept whose material costs least for the area it yields. Orders,
direction of the first cuts, how pieces lie and how the last sheet is chosen make up the tactics;
all are tried, and the plan that leaves least undone, then costs least, then has the largest
rectangular offcut is returned. Nothing is drawn by lot: as long as the time suffices, the same
job gives the same plan.
"""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import NamedTuple

from builds.cutting.bound import lower_bound
from builds.cutting.filling import Filling, Laid, Rest, Way
from builds.cutting.fit import fits_any, reason_unplaced
from builds.cutting.values import (
    Job,
    Offcut,
    Piece,
    Placement,
    Plan,
    Sheet,
    Stock,
    Unplaced,
)

Stop = Callable[[], bool]
_Order = Callable[[Piece], tuple[int, ...]]

_ORDERS: tuple[_Order, ...] = (
    lambda piece: (max(piece.width, piece.height), min(piece.width, piece.height)),
    lambda piece: (min(piece.width, piece.height), max(piece.width, piece.height)),
    lambda piece: (piece.width * piece.height, max(piece.width, piece.height)),
)
# Where a piece may be turned, its own height and width say nothing that the above do not.
_ORDERS_IF_LOCKED: tuple[_Order, ...] = (
    lambda piece: (piece.height, piece.width),
    lambda piece: (piece.width, piece.height),
)


class _Tactic(NamedTuple):
    order: _Order
    upright: bool  # the first cuts run down the sheet instead of across
    standing: bool  # a piece that opens a band stands on its short side
    finish: bool  # a sheet that takes all that is left goes before one of better value


def never() -> bool:
    return False


def cut(job: Job, stop: Stop = never) -> Plan:
    """Lay the job's pieces out on its stock.

    `stop` is asked often and ends the search when it says True; the best plan so far is returned,
    and what was not reached yet is unplaced with that reason.
    """
    drafts: list[_Draft] = []
    for tactic in _tactics(job):
        drafts.append(_draft(job, tactic, stop))
        if stop():
            break
    best = min(drafts, key=lambda draft: draft.rank)
    return _plan(job, best, out_of_time=len(drafts) == 1 and stop())


def _tactics(job: Job) -> Iterator[_Tactic]:
    turnable = any(piece.rotate and piece.width != piece.height for piece in job.pieces)
    locked = any(not piece.rotate for piece in job.pieces)
    mirrored = not locked and all(stock.width == stock.height for stock in job.stock)
    several = len(job.stock) > 1
    for finish, order, upright, standing in product(
        (False, True) if several else (False,),
        (*_ORDERS, *_ORDERS_IF_LOCKED) if locked else _ORDERS,
        (False,) if mirrored else (False, True),
        (False, True) if turnable else (False,),
    ):
        yield _Tactic(order, upright, standing, finish)


class _Choice(NamedTuple):
    """A way to cut one sheet of the stock numbered `source`."""

    source: int
    sheet: Sheet
    taken: dict[int, int]  # how many of each kind of piece it yields
    yields: int  # mm2 of pieces
    finishes: bool  # nothing is left after it


class _Draft(NamedTuple):
    """A plan in the making: its sheets, and how many of each kind of piece are left over."""

    sheets: tuple[Sheet, ...]
    left: tuple[int, ...]
    area_left: int

    @property
    def cost(self) -> Decimal:
        return sum((sheet.stock.cost for sheet in self.sheets), Decimal(0))

    @property
    def rank(self) -> tuple[int, Decimal, int]:
        """Less is better: what is not placed, then cost, then the largest offcut."""
        largest = max((sheet.offcuts[0].area for sheet in self.sheets if sheet.offcuts), default=0)
        return self.area_left, self.cost, -largest


class _Bench(NamedTuple):
    """One kind of stock made ready for a tactic: what may be laid on it, in order."""

    source: int
    frame: "_Frame"
    offers: tuple[tuple[int, tuple[Way, ...]], ...]  # kind of piece, its ways


def _draft(job: Job, tactic: _Tactic, stop: Stop) -> _Draft:
    benches = _benches(job, tactic, stop)
    left = [piece.quantity for piece in job.pieces]
    stock_left = [sum(left) if stock.quantity is None else stock.quantity for stock in job.stock]
    sheets: list[Sheet] = []
    while any(left) and not stop():
        at_hand = [bench for bench in benches if stock_left[bench.source]]
        choice = _best_choice(job, at_hand, left, tactic.finish, stop)
        if choice is None:
            break
        times = min(left[kind] // count for kind, count in choice.taken.items())
        times = min(times, stock_left[choice.source])
        stock_left[choice.source] -= times
        for kind, count in choice.taken.items():
            left[kind] -= times * count
        sheets.extend([choice.sheet] * times)
    area_left = sum(
        count * piece.width * piece.height for count, piece in zip(left, job.pieces, strict=True)
    )
    return _Draft(tuple(sheets), tuple(left), area_left)


def _benches(job: Job, tactic: _Tactic, stop: Stop) -> list[_Bench]:
    kinds = sorted(
        range(len(job.pieces)), key=lambda kind: tactic.order(job.pieces[kind]), reverse=True
    )
    benches: list[_Bench] = []
    for source, stock in enumerate(job.stock):
        frame = _Frame(job, stock, tactic.upright)
        ways = ((kind, frame.ways(job.pieces[kind], tactic.standing)) for kind in kinds)
        benches.append(_Bench(source, frame, tuple(offer for offer in ways if offer[1])))
        if stop():
            break
    return benches


def _best_choice(
    job: Job, benches: list[_Bench], left: list[int], finish: bool, stop: Stop
) -> _Choice | None:
    choices = [choice for bench in benches if (choice := _filled(job, bench, left, stop))]
    if finish and (last := [choice for choice in choices if choice.finishes]):
        return min(last, key=lambda choice: choice.sheet.stock.cost)
    return min(choices, key=_price, default=None)


def _price(choice: _Choice) -> tuple[Fraction, Fraction]:
    """What the yield costs, then how badly it fills its sheet."""
    stock = choice.sheet.stock
    return Fraction(stock.cost) / choice.yields, -Fraction(choice.yields, stock.area)


def _filled(job: Job, bench: _Bench, left: Sequence[int], stop: Stop) -> _Choice | None:
    """Fill one sheet with what is left; None if it takes nothing."""
    filling = Filling(bench.frame.width, bench.frame.height)
    taken: dict[int, int] = {}
    for kind, ways in bench.offers:
        count = 0
        while count < left[kind] and not stop():
            laid = filling.lay(kind, ways, left[kind] - count)
            if not laid:
                break
            count += laid
        if count:
            taken[kind] = count
    if not taken:
        return None
    yields = sum(
        count * job.pieces[kind].width * job.pieces[kind].height for kind, count in taken.items()
    )
    finishes = sum(taken.values()) == sum(left)
    return _Choice(bench.source, bench.frame.sheet(filling), taken, yields, finishes)


class _Frame:
    """The usable part of a sheet, seen so that the first cuts run across it."""

    def __init__(self, job: Job, stock: Stock, upright: bool) -> None:
        self._job = job
        self._stock = stock
        self._upright = upright
        across, down = (stock.height, stock.width) if upright else (stock.width, stock.height)
        self.width = across - 2 * job.trim + job.kerf
        self.height = down - 2 * job.trim + job.kerf

    def ways(self, piece: Piece, standing: bool) -> tuple[Way, ...]:
        """How the piece may lie on the empty sheet, the way that may open a band first."""
        width, height = piece.width + self._job.kerf, piece.height + self._job.kerf
        ways = [Way(height, width, False) if self._upright else Way(width, height, False)]
        if piece.rotate and width != height:
            ways.append(Way(ways[0].height, ways[0].width, True))
            ways.sort(key=lambda way: way.height, reverse=standing)
        return tuple(way for way in ways if way.width <= self.width and way.height <= self.height)

    def sheet(self, filling: Filling) -> Sheet:
        placements = (self._placement(laid) for laid in filling.laid())
        kerf = self._job.kerf
        offcuts = (
            self._offcut(rest)
            for rest in filling.rests()
            if rest.width > kerf and rest.height > kerf
        )
        return Sheet(
            self._stock,
            tuple(placements),
            tuple(sorted(offcuts, key=lambda offcut: (-offcut.area, offcut.y, offcut.x))),
        )

    def _placement(self, laid: Laid) -> Placement:
        x, y, width, height = self._on_sheet(laid.x, laid.y, laid.way.width, laid.way.height)
        piece = self._job.pieces[laid.kind]
        return Placement(piece.id, x, y, width, height, laid.way.turned)

    def _offcut(self, rest: Rest) -> Offcut:
        return Offcut(*self._on_sheet(rest.x, rest.y, rest.width, rest.height))

    def _on_sheet(self, x: int, y: int, width: int, height: int) -> tuple[int, int, int, int]:
        if self._upright:
            x, y, width, height = y, x, height, width
        trim, kerf = self._job.trim, self._job.kerf
        return x + trim, y + trim, width - kerf, height - kerf


def _plan(job: Job, draft: _Draft, *, out_of_time: bool) -> Plan:
    placed = [piece.quantity - left for piece, left in zip(job.pieces, draft.left, strict=True)]
    bound = lower_bound(job, placed)
    unplaced = tuple(
        Unplaced(piece.id, left, reason_unplaced(job, piece, out_of_time=out_of_time))
        for piece, left in zip(job.pieces, draft.left, strict=True)
        if left
    )
    complete = not any(
        left and fits_any(job, piece) for piece, left in zip(job.pieces, draft.left, strict=True)
    )
    return Plan(draft.sheets, draft.cost, bound, complete and draft.cost == bound, unplaced)
