"""The buying list: what is needed less what is free, item by item, in the cheapest packs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from builds.buying.packs import MOST_NEED, Pack, cheapest


class Offered(NamedTuple):
    """A pack of an item, at a supplier; both by id."""

    pack: Pack
    item: int
    supplier: int


@dataclass(frozen=True, slots=True)
class BuyLine:
    """So many packs of an item: ``count`` pieces for ``cents``."""

    item: int
    pack: Pack
    packs: int

    @property
    def count(self) -> int:
        return self.packs * self.pack.count

    @property
    def cents(self) -> int:
        return self.packs * self.pack.cents


@dataclass(frozen=True, slots=True)
class Unfilled:
    """So many of an item are needed and cannot be had in packs that are on offer."""

    item: int
    count: int


@dataclass(frozen=True, slots=True)
class BuyingList:
    """``lines`` by supplier, ``to_buy`` and ``over`` (bought and not needed) by item.

    Suppliers and items stand in the order in which they came.
    """

    lines: Mapping[int, tuple[BuyLine, ...]]
    to_buy: Mapping[int, int]
    over: Mapping[int, int]
    unfilled: tuple[Unfilled, ...]

    def cents_of(self, supplier: int) -> int:
        return sum(line.cents for line in self.lines[supplier])

    @property
    def cents(self) -> int:
        return sum(self.cents_of(supplier) for supplier in self.lines)


def buying_list(
    needs: Mapping[int, int], free: Mapping[int, int], packs: Iterable[Offered]
) -> BuyingList:
    """Packs for all that ``needs`` ask beyond what is ``free``, each item for itself.

    Both are pieces by item; an item that ``free`` does not name has none. More than
    ``packs.MOST_NEED`` of one item stay unfilled rather than searched for.
    """
    offered = list(packs)
    suppliers = {one.pack.id: one.supplier for one in offered}
    to_buy = {item: need - free.get(item, 0) for item, need in needs.items()}
    to_buy = {item: count for item, count in to_buy.items() if count > 0}
    lines: dict[int, list[BuyLine]] = {}
    over, unfilled = {}, []
    for item, count in to_buy.items():
        own = [one.pack for one in offered if one.item == item]
        choice = cheapest(min(count, MOST_NEED), own)
        for pack in own:
            if pack.id in choice.packs:
                line = BuyLine(item, pack, choice.packs[pack.id])
                lines.setdefault(suppliers[pack.id], []).append(line)
        if choice.over:
            over[item] = choice.over
        if count > choice.total:
            unfilled.append(Unfilled(item, count - choice.total))
    by_supplier = {supplier: tuple(own) for supplier, own in lines.items()}
    return BuyingList(by_supplier, to_buy, over, tuple(unfilled))
