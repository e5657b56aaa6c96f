"""The cheapest packs that cover a need: exact, by dynamic programming.

The least price is sought; of choices that cost the same the one with the fewest pieces left over,
of those the one with the fewest packs. A choice that is best in this order never has a pack that
could be left out, so it overshoots the need by less than its largest pack: the table below has a
row for each total up to there. It is filled pack by pack, with 1, 2, 4, 8 ... of the pack at a
time, which gives every number of it with few passes over the table.

The table is kept small by three rules that never lose the best choice:

- all counts are divided by their greatest common divisor, and the need with them, rounded up;
- a pack is left out where several of another that can be had without end hold at least as much for
  less;
- of the pack that is cheapest a piece (the largest of such), if it can be had without end, so many
  are taken beforehand that the others still can fill what their number may be. Of any m packs some
  hold together a multiple of m pieces (pigeonhole: of their m running sums two leave the same rest,
  or one leaves none), so m packs of other kinds, with m the count of that pack, can be exchanged in
  part for it: the total stays, neither price nor the number of packs grows.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import reduce
from math import gcd

import numpy as np
from numpy.typing import NDArray

MOST_NEED, MOST_COUNT, MOST_CENTS = 100_000, 100_000, 10**8
# Price and number of packs in one whole number, price first; more packs than this are never taken.
PRICE = 2**18
NEVER = 2**62

Table = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pack:
    """``count`` pieces for ``cents``; no more than ``at_most`` such packs, None: any number."""

    id: int
    count: int
    cents: int
    at_most: int | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """Packs by id with how many of each, in the order in which they were offered.

    ``total`` pieces for ``cents``; ``over`` of them are left over. ``missing``: so many of the need
    cannot be had at all, and all that can be had is chosen; 0 where the need is covered.
    """

    packs: dict[int, int] = field(default_factory=dict)
    total: int = 0
    cents: int = 0
    over: int = 0
    missing: int = 0


def cheapest(need: int, packs: Sequence[Pack]) -> Choice:
    """The cheapest packs that hold at least ``need`` pieces; the same choice for the same offer.

    Raises ``ValueError`` for a need, count or price out of bounds, or an id offered twice.
    """
    _refuse(need, packs)
    had = sum(pack.count * _limit(pack, need) for pack in packs)
    if had < need:
        return _choice(need, packs, {pack.id: _limit(pack, need) for pack in packs})
    divisor = reduce(gcd, (pack.count for pack in packs), 0) or 1
    wanted = -(-need // divisor)
    small = [replace(pack, count=pack.count // divisor) for pack in packs]
    taken = _covering(wanted, _undominated(small)) if wanted else {}
    return _choice(need, packs, taken)


def _covering(need: int, packs: Sequence[Pack]) -> dict[int, int]:
    """The best numbers of packs that cover the need, which can be covered."""
    best = min(packs, key=lambda pack: (_a_piece(pack), -pack.count))
    beforehand = _beforehand(need, packs, best)
    taken = _by_table(need - beforehand * best.count, packs)
    taken[best.id] = taken.get(best.id, 0) + beforehand
    return taken


def _beforehand(need: int, packs: Sequence[Pack], best: Pack) -> int:
    """How many of the pack that is cheapest a piece are in some best choice for sure."""
    others = [pack.count for pack in packs if pack is not best]
    if best.at_most is not None:
        return 0
    most_by_others = (best.count - 1) * max(others, default=0)
    return max(0, need - most_by_others - best.count) // best.count


def _by_table(need: int, packs: Sequence[Pack]) -> dict[int, int]:
    if need <= 0:
        return {}
    largest = max(pack.count for pack in packs)
    top = _greedy_cents(need, packs)
    limits = [_most(pack, need, top) for pack in packs]
    table = np.full(need + largest, NEVER, dtype=np.int64)
    table[0] = 0
    tables = [table]
    for pack, limit in zip(packs, limits, strict=True):
        tables.append(_with(tables[-1], pack, limit))
    cover = tables[-1][need:]
    # Price first, then what is left over, then the number of packs.
    total = need + min(
        range(len(cover)), key=lambda over: (cover[over] // PRICE, over, cover[over])
    )
    return _read_back(tables, packs, limits, total)


def _with(table: Table, pack: Pack, limit: int) -> Table:
    """The table with up to ``limit`` of the pack as well."""
    wider, step = table.copy(), 1
    while limit > 0:
        several = min(step, limit)
        shift = several * pack.count
        if shift < len(wider):
            reached = wider[:-shift] + several * _worth(pack)
            wider[shift:] = np.minimum(wider[shift:], reached)
        limit, step = limit - several, 2 * step
    return wider


def _read_back(
    tables: Sequence[Table], packs: Sequence[Pack], limits: Sequence[int], total: int
) -> dict[int, int]:
    """Which numbers of packs led to the total, from the last table to the first."""
    taken = {}
    for before, after, pack, limit in reversed(
        list(zip(tables, tables[1:], packs, limits, strict=False))
    ):
        worth = _worth(pack)
        several = next(
            one
            for one in range(limit + 1)
            if one * pack.count <= total
            and before[total - one * pack.count] + one * worth == after[total]
        )
        taken[pack.id] = several
        total -= several * pack.count
    return taken


def _a_piece(pack: Pack) -> Fraction:
    return Fraction(pack.cents, pack.count)


def _worth(pack: Pack) -> int:
    return pack.cents * PRICE + 1


def _most(pack: Pack, need: int, top: int) -> int:
    """No best choice has more of the pack: it would hold too much, or cost more than another."""
    by_price = top // pack.cents if pack.cents else need
    return min(_limit(pack, need), by_price)


def _greedy_cents(need: int, packs: Sequence[Pack]) -> int:
    """The price of some choice that covers the need: the best costs no more."""
    cents = 0
    for pack in sorted(packs, key=_a_piece):
        several = min(_limit(pack, need), -(-need // pack.count))
        need, cents = max(0, need - several * pack.count), cents + several * pack.cents
        if not need:
            break
    return cents


def _undominated(packs: Sequence[Pack]) -> list[Pack]:
    return [pack for pack in packs if not any(_is_better(one, pack) for one in packs)]


def _is_better(one: Pack, other: Pack) -> bool:
    """Several of one, which there is no end of, hold as much as the other for less."""
    several = -(-other.count // one.count)
    return one.at_most is None and several * one.cents < other.cents


def _limit(pack: Pack, need: int) -> int:
    """How many of the pack the whole need can take, as far as they can be had."""
    enough = -(-need // pack.count)
    return enough if pack.at_most is None else min(pack.at_most, enough)


def _choice(need: int, packs: Sequence[Pack], taken: dict[int, int]) -> Choice:
    chosen = {pack.id: taken[pack.id] for pack in packs if taken.get(pack.id)}
    total = sum(pack.count * taken.get(pack.id, 0) for pack in packs)
    cents = sum(pack.cents * taken.get(pack.id, 0) for pack in packs)
    return Choice(chosen, total, cents, max(0, total - need), max(0, need - total))


def _refuse(need: int, packs: Sequence[Pack]) -> None:
    if not 0 <= need <= MOST_NEED:
        raise ValueError(f"A need of {need} given; allowed is 0 to {MOST_NEED}.")
    if len({pack.id for pack in packs}) < len(packs):
        raise ValueError("A pack is offered twice; give each its own id.")
    for pack in packs:
        if not 1 <= pack.count <= MOST_COUNT or not 0 <= pack.cents <= MOST_CENTS:
            raise ValueError(
                f"A pack of {pack.count} for {pack.cents} cents given; allowed are 1 to "
                f"{MOST_COUNT} pieces for 0 to {MOST_CENTS} cents."
            )
        if pack.at_most is not None and pack.at_most < 0:
            raise ValueError(f"At most {pack.at_most} packs given; give 0 or more.")
