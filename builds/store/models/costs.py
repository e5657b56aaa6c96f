"""Costs of designs and other needs, in the rescue's currency."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from builds.buying import Cost, CostLine, Wanted, cost_of
from builds.store.models.buying import Offers
from builds.store.models.items import Item
from builds.store.models.needs import QUICK, Needs, Shelf, items_of
from builds.store.models.suppliers import CENTS
from habitats.structure.structure import Structure


def as_amount(cents: int) -> Decimal:
    return Decimal(cents) / CENTS


@dataclass(frozen=True, slots=True)
class CostRow:
    """A line of a cost, for reading. ``material`` None: the price is not known."""

    item: Item
    line: CostLine

    @property
    def material(self) -> Decimal | None:
        cents = self.line.material_cents
        return None if cents is None else as_amount(cents)

    @property
    def to_buy(self) -> Decimal:
        return as_amount(self.line.buy_cents)


@dataclass(frozen=True, slots=True)
class PricedNeeds:
    """Needs with their ``cost``; ``items`` are those it tells of, by key."""

    cost: Cost
    items: dict[int, Item]

    @property
    def material(self) -> Decimal:
        return as_amount(self.cost.material_cents)

    @property
    def to_buy(self) -> Decimal:
        return as_amount(self.cost.buy_cents)

    @property
    def rows(self) -> Iterator[CostRow]:
        return (CostRow(self.items[line.item], line) for line in self.cost.lines)

    @property
    def missing(self) -> tuple[str, ...]:
        """What the store has no item for, in words."""
        return tuple(dict.fromkeys([*self.cost.missing, *self.cost.lacking]))

    @property
    def has_all(self) -> bool:
        """Nothing is to be bought."""
        return not any(line.to_buy for line in self.cost.lines) and not self.cost.lacking

    @property
    def is_empty(self) -> bool:
        """Nothing is needed at all."""
        return not (self.cost.lines or self.cost.missing or self.cost.lacking)


def priced(needs: Needs, lacking: Needs | None = None, offers: Offers | None = None) -> PricedNeeds:
    """The needs with their cost; three queries, whatever the needs.

    ``lacking``: what of them is still to be had; None: all. ``offers``: where asked for already.
    """
    lacking = needs if lacking is None else lacking
    keys = {line.item.pk for one in (needs, lacking) for line in one.lines}
    items = Item.objects.with_stock().in_bulk(keys)
    free = {one.pk: one.free for one in items.values()}
    cost = cost_of(_wanted(needs), _wanted(lacking), free, (offers or Offers.now()).offered)
    return PricedNeeds(cost, items)


def price_of(structure: Structure) -> PricedNeeds:
    """One build of the structure; its sheets are planned quickly, and may be one too many."""
    return priced(items_of(structure, Shelf(QUICK)))


def _wanted(needs: Needs) -> Wanted:
    return Wanted({line.item.pk: line.total for line in needs.lines}, needs.missing)
