"""Costs of designs and other needs, in the rescue's currency."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from builds.buying import Cost, CostLine, Offered, Wanted, cost_of
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
    def short(self) -> tuple[str, ...]:
        """What is not free in the store, and what it has no item for, in words."""
        lines = [one for one in self.cost.lines if one.to_buy]
        return (*(self.items[one.item].of(one.to_buy) for one in lines), *self.cost.lacking)

    @property
    def has_all(self) -> bool:
        """Nothing is to be bought."""
        return not any(line.to_buy for line in self.cost.lines) and not self.cost.lacking

    @property
    def is_empty(self) -> bool:
        """Nothing is needed at all."""
        return not (self.cost.lines or self.cost.missing or self.cost.lacking)


def priced(needs: Needs, lacking: Needs | None = None) -> PricedNeeds:
    """The needs with their cost; three queries, whatever the needs.

    ``lacking``: what of them is still to be had; None: all.
    """
    lacking = needs if lacking is None else lacking
    items = _items([needs, lacking])
    return _priced(needs, lacking, items, Offers.now().offered)


def price_of(structure: Structure) -> PricedNeeds:
    """One build of the structure; its sheets are planned quickly, and may be one too many."""
    return prices_of([structure])[0]


def prices_of(structures: Iterable[Structure]) -> list[PricedNeeds]:
    """One build of each, as if it alone were built: the same few queries for any number."""
    shelf = Shelf(QUICK)
    return priced_each([items_of(one, shelf) for one in structures])


def priced_each(needs: Sequence[Needs]) -> list[PricedNeeds]:
    """Each as if it alone were needed: the same few queries for any number."""
    items, offered = _items(needs), Offers.now().offered
    return [_priced(one, one, items, offered) for one in needs]


def _items(needs: Iterable[Needs]) -> dict[int, Item]:
    return Item.objects.with_stock().in_bulk({line.item.pk for one in needs for line in one.lines})


def _priced(
    needs: Needs, lacking: Needs, items: dict[int, Item], offered: list[Offered]
) -> PricedNeeds:
    free = {one.pk: one.free for one in items.values()}
    return PricedNeeds(cost_of(_wanted(needs), _wanted(lacking), free, offered), items)


def _wanted(needs: Needs) -> Wanted:
    return Wanted({line.item.pk: line.total for line in needs.lines}, needs.missing)
