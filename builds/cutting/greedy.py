"""A first plan: the best of a fixed set of plain greedy ones.

A plan is made sheet by sheet: each kind of sheet at hand is filled with the pieces that are left,
in a set order, and the one is kept whose material costs least for the area it yields. Orders,
direction of the first cuts, how pieces lie and how the last sheet is chosen make up the tactics.
"""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import product
from typing import NamedTuple

from builds.cutting.board import Board
from builds.cutting.draft import Draft
from builds.cutting.filling import Filling
from builds.cutting.frames import Frame, Orientation, frame_of
from builds.cutting.values import Job, WantedPiece
from builds.cutting.work import Stop

_Order = Callable[[WantedPiece], tuple[int, ...]]

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


def greedy_drafts(job: Job, stop: Stop) -> Iterator[Draft]:
    """Give a plan for each tactic, until time is up; the first one always."""
    for tactic in _tactics(job):
        yield _draft(job, tactic, stop)
        if stop():
            return


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
    """A way to cut one sheet."""

    board: Board
    taken: dict[int, int]  # how many of each kind of piece it yields
    finishes: bool  # nothing is left after it


class _Bench(NamedTuple):
    """A frame made ready for a tactic: what may be laid on it, in order."""

    frame: Frame
    offers: tuple[tuple[int, tuple[Orientation, ...]], ...]  # kind of piece, its ways


def _draft(job: Job, tactic: _Tactic, stop: Stop) -> Draft:
    benches = _benches(job, tactic, stop)
    left = [piece.quantity for piece in job.pieces]
    stock_left = [sum(left) if stock.quantity is None else stock.quantity for stock in job.stock]
    boards: list[Board] = []
    while any(left) and not stop():
        at_hand = [bench for bench in benches if stock_left[bench.frame.source]]
        choice = _best_choice(at_hand, left, tactic.finish, stop)
        if choice is None:
            break
        times = min(left[kind] // count for kind, count in choice.taken.items())
        times = min(times, stock_left[choice.board.frame.source])
        stock_left[choice.board.frame.source] -= times
        for kind, count in choice.taken.items():
            left[kind] -= times * count
        boards.extend([choice.board] * times)
    return Draft(job, tuple(boards), tuple(left))


def _benches(job: Job, tactic: _Tactic, stop: Stop) -> list[_Bench]:
    kinds = sorted(
        range(len(job.pieces)), key=lambda kind: tactic.order(job.pieces[kind]), reverse=True
    )
    benches: list[_Bench] = []
    for source in range(len(job.stock)):
        frame = frame_of(job, source, tactic.upright)
        offers = ((kind, _openers(frame.ways[kind], tactic)) for kind in kinds if frame.ways[kind])
        benches.append(_Bench(frame, tuple(offers)))
        if stop():
            break
    return benches


def _openers(ways: tuple[Orientation, ...], tactic: _Tactic) -> tuple[Orientation, ...]:
    """The way that may open a band first."""
    return tuple(sorted(ways, key=lambda way: way.height, reverse=tactic.standing))


def _best_choice(
    benches: list[_Bench], left: list[int], finish: bool, stop: Stop
) -> _Choice | None:
    choices = [choice for bench in benches if (choice := _filled(bench, left, stop))]
    if finish and (last := [choice for choice in choices if choice.finishes]):
        return min(last, key=lambda choice: choice.board.frame.cost)
    return min(choices, key=_price, default=None)


def _price(choice: _Choice) -> tuple[Fraction, Fraction]:
    """What the yield costs, then how badly it fills its sheet."""
    board = choice.board
    return Fraction(board.frame.cost, board.used), -Fraction(board.used, board.frame.area)


def _filled(bench: _Bench, left: Sequence[int], stop: Stop) -> _Choice | None:
    """Fill one sheet with what is left; None if it takes nothing."""
    filling = Filling(bench.frame)
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
    return _Choice(filling.board, taken, sum(taken.values()) == sum(left))
