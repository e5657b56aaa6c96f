"""The buying list: needs less free stock, in the cheapest packs on offer."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Self

from builds.buying import BuyLine, Offered, Pack, buying_list
from builds.store.models.items import Item
from builds.store.models.needs import Needs
from builds.store.models.sheets import SheetKind
from builds.store.models.suppliers import CENTS, PackOffer, Supplier

NO_SUPPLIER = 0  # no row has this key


@dataclass(frozen=True, slots=True)
class ToBuy:
    """An item of which more is wanted than is free. ``up_to``: its reorder level, 0 if that is not
    asked for; ``over`` of what is bought is left over, ``unfilled`` cannot be had at any price.
    ``is_sold``: a supplier has packs of it, though perhaps too few."""

    item: Item
    need: int
    up_to: int
    free: int
    buy: int
    over: int
    unfilled: int
    is_sold: bool


@dataclass(frozen=True, slots=True)
class SheetLine:
    """So many sheets of a kind that no supplier has a pack of, at the kind's own price."""

    kind: SheetKind
    count: int

    @property
    def price(self) -> Decimal:
        return self.count * self.kind.cost


@dataclass(frozen=True, slots=True)
class PackLine:
    """So many packs of an item."""

    offer: PackOffer
    packs: int

    @property
    def count(self) -> int:
        return self.packs * self.offer.count

    @property
    def price(self) -> Decimal:
        return self.packs * self.offer.price


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """What is bought of one supplier."""

    supplier: Supplier
    lines: tuple[PackLine, ...]

    @property
    def price(self) -> Decimal:
        return sum((line.price for line in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True)
class Buying:
    """The buying list. ``sheets``: those with a price and no supplier yet. ``missing``: what
    builds need and the store has no item for."""

    rows: tuple[ToBuy, ...]
    orders: tuple[SupplierOrder, ...]
    sheets: tuple[SheetLine, ...]
    missing: tuple[str, ...]

    @property
    def price(self) -> Decimal:
        return sum((order.price for order in self.orders), self.sheets_price)

    @property
    def sheets_price(self) -> Decimal:
        return sum((line.price for line in self.sheets), Decimal(0))

    @property
    def unknown(self) -> int:
        """Of how many things the price is not known, wholly or for some of them."""
        return sum(row.unfilled > 0 for row in self.rows) + len(self.missing)

    @property
    def unsold(self) -> tuple[ToBuy, ...]:
        """What no supplier sells."""
        return tuple(row for row in self.rows if row.unfilled and not row.is_sold)

    @property
    def too_few(self) -> tuple[ToBuy, ...]:
        """What suppliers sell, but not so many."""
        return tuple(row for row in self.rows if row.unfilled and row.is_sold)


@dataclass(frozen=True, slots=True)
class Offers:
    """All that can be bought, by key: packs of suppliers, and sheets that none sells in packs.

    A kind of sheet has a price of its own, which counts until somebody sells it in packs.
    """

    packs: dict[int, PackOffer]
    sheets: dict[int, SheetKind]

    @classmethod
    def now(cls) -> Self:
        """Two queries."""
        packs = {one.pk: one for one in PackOffer.objects.live().with_names().by_supplier()}
        sold = {one.item_id for one in packs.values()}
        kinds = SheetKind.objects.filter(cost__gt=0).select_related("item").by_size()
        return cls(packs, {one.pk: one for one in kinds if one.item_id not in sold})

    @property
    def offered(self) -> list[Offered]:
        """As the pure packages have it; the pack of a sheet has the key of its kind, below 0."""
        of_packs = [
            Offered(
                Pack(one.pk, one.count, int(one.price * CENTS), one.at_most),
                one.item_id,
                one.supplier_id,
            )
            for one in self.packs.values()
        ]
        of_sheets = [
            Offered(Pack(-one.pk, 1, int(one.cost * CENTS)), one.item_id, NO_SUPPLIER)
            for one in self.sheets.values()
        ]
        return of_packs + of_sheets

    def sells(self, item: Item) -> bool:
        return any(one.item_id == item.pk for one in self.packs.values())


def what_to_buy(needs: Needs, *, top_up: bool) -> Buying:
    """The cheapest packs for the needs beyond what is free; three queries, whatever the needs.

    ``top_up``: besides, so much of each item that as much as its reorder level stays free.
    """
    items, offers = list(Item.objects.live().with_stock().by_kind()), Offers.now()
    needed = {line.item.pk: line.total for line in needs.lines}
    up_to = {one.pk: (one.reorder_at or 0) if top_up else 0 for one in items}
    wanted = {one.pk: needed.get(one.pk, 0) + up_to[one.pk] for one in items}
    found = buying_list(wanted, {one.pk: one.free for one in items}, offers.offered)
    unfilled = {one.item: one.count for one in found.unfilled}
    rows = tuple(
        ToBuy(
            one,
            needed.get(one.pk, 0),
            up_to[one.pk],
            one.free,
            found.to_buy[one.pk],
            found.over.get(one.pk, 0),
            unfilled.get(one.pk, 0),
            offers.sells(one),
        )
        for one in items
        if one.pk in found.to_buy
    )
    own = found.lines.get(NO_SUPPLIER, ())
    sheets = tuple(SheetLine(offers.sheets[-line.pack.id], line.packs) for line in own)
    orders = [_order(lines, offers) for by, lines in found.lines.items() if by != NO_SUPPLIER]
    by_name = sorted(orders, key=lambda order: (order.supplier.name, order.supplier.pk))
    return Buying(rows, tuple(by_name), sheets, needs.missing)


def _order(lines: tuple[BuyLine, ...], offers: Offers) -> SupplierOrder:
    packs = tuple(PackLine(offers.packs[line.pack.id], line.packs) for line in lines)
    return SupplierOrder(packs[0].offer.supplier, packs)
