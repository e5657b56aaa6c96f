"""Costs of needs: purchases of what is not free, and the material as a whole.

To buy is told in the cheapest packs, as the buying list has them. Material is all that goes in,
each piece at the least that one comes to in any pack. Cents that a pack does not divide by are
rounded item by item, half up, so that the items add up to the total.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import NamedTuple

from builds.buying.buying import Offered, buying_list


@dataclass(frozen=True, slots=True)
class CostLine:
    """So many of an item are needed; ``to_buy`` of them are not free.

    ``piece``: the least that one costs in any pack, in cents; None: no pack is on offer.
    ``buy_cents``: for the packs that are bought. ``unfilled`` of ``to_buy`` are in no pack, so
    what they cost is not known.
    """

    item: int
    need: int
    to_buy: int
    piece: Fraction | None
    buy_cents: int
    unfilled: int

    @property
    def material_cents(self) -> int | None:
        """None: not known."""
        return None if self.piece is None else floor(self.need * self.piece + Fraction(1, 2))


@dataclass(frozen=True, slots=True)
class Cost:
    """What needs cost, item by item. A total holds only what is known: beside it stands for how
    many things the price is not.

    ``missing``: what is needed and the store has no item for, so that its price is not known;
    ``lacking``: what of that is still to be had.
    """

    lines: tuple[CostLine, ...] = ()
    missing: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()

    @property
    def material_cents(self) -> int:
        return sum(line.material_cents or 0 for line in self.lines)

    @property
    def buy_cents(self) -> int:
        return sum(line.buy_cents for line in self.lines)

    @property
    def material_unknown(self) -> int:
        """Of how many things needed the price is not known."""
        return sum(line.piece is None for line in self.lines if line.need) + len(self.missing)

    @property
    def has_no_price(self) -> bool:
        """Something is needed, and no price of it is known: as in a store just begun."""
        return self.material_unknown > 0 and all(
            line.piece is None for line in self.lines if line.need
        )

    @property
    def buy_unknown(self) -> int:
        """Of how many things to buy the price is not known."""
        return sum(line.unfilled > 0 for line in self.lines) + len(self.lacking)


class Wanted(NamedTuple):
    """Pieces by item, and in words what the store has no item for."""

    counts: Mapping[int, int]
    missing: tuple[str, ...] = ()


def cost_of(
    needs: Wanted, lacking: Wanted, free: Mapping[int, int], packs: Iterable[Offered]
) -> Cost:
    """The cost of ``needs``, where ``free`` are in the store for anybody.

    ``lacking``: what is still to be had, where some is reserved or taken already; else as needed.
    """
    offered = list(packs)
    found = buying_list(lacking.counts, free, offered)
    unfilled = {one.item: one.count for one in found.unfilled}
    bought = Counter[int]()
    for lines in found.lines.values():
        for line in lines:
            bought[line.item] += line.cents
    pieces = piece_prices(offered)
    items = dict.fromkeys([*(item for item, need in needs.counts.items() if need), *found.to_buy])
    told = tuple(
        CostLine(
            item,
            needs.counts.get(item, 0),
            found.to_buy.get(item, 0),
            pieces.get(item),
            bought[item],
            unfilled.get(item, 0),
        )
        for item in items
    )
    return Cost(told, needs.missing, lacking.missing)


def piece_prices(packs: Iterable[Offered]) -> dict[int, Fraction]:
    """By item, the least that one piece costs in any of these packs, in cents."""
    found: dict[int, Fraction] = {}
    for one in packs:
        piece = Fraction(one.pack.cents, one.pack.count)
        found[one.item] = min(found.get(one.item, piece), piece)
    return found
