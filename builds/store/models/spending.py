"""Spending by month, and the value of the stock.

Spent is what was paid for deliveries, in the month in which they came. Of a delivery that was
reversed the part that came off is not spent.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from django.db import models
from django.db.models.functions import TruncMonth
from django.utils.translation import gettext_lazy as _

from builds.buying import piece_prices
from builds.store.models.buying import NO_SUPPLIER, Offers
from builds.store.models.deliveries import Delivery
from builds.store.models.items import Item
from builds.store.models.stock import Movement
from builds.store.models.suppliers import CENTS

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class MonthSpent:
    """``on``: the first of the month. Of ``unknown`` lines of deliveries nobody said the price."""

    on: date
    deliveries: int
    spent: Decimal
    unknown: int


@dataclass(frozen=True, slots=True)
class Spending:
    """The months in which something was received, the first of them first."""

    months: tuple[MonthSpent, ...]

    @property
    def spent(self) -> Decimal:
        return sum((one.spent for one in self.months), Decimal(0))

    @property
    def unknown(self) -> int:
        return sum(one.unknown for one in self.months)


def spending(year: int | None = None) -> Spending:
    """Of one year, or of all: two queries."""
    came = Movement.objects.filter(why=Movement.Why.IN, delivery__isnull=False)
    came = came.filter(delivery__made_at__year=year) if year else came
    lines = came.annotate(on=TruncMonth("delivery__made_at")).values("on", "delivery", "item")
    reversed_ = _reversed()
    months: dict[date, list[tuple[int, Decimal, int]]] = defaultdict(list)
    for line in lines.annotate(
        count=models.Sum("on_hand_change"),
        total=models.Sum("paid", default=Decimal(0)),
        unpriced=models.Count("pk", filter=models.Q(paid__isnull=True)),
    ):
        stays = line["count"] - reversed_[line["delivery"], line["item"]]
        if stays > 0:
            share = Fraction(line["total"]) * stays / line["count"]
            row = (line["delivery"], _in_cents(share), line["unpriced"])
            months[line["on"].date()].append(row)
    return Spending(tuple(_month(on, rows) for on, rows in sorted(months.items())))


def years_of_spending() -> list[int]:
    """Years in which something was received, the latest first."""
    return [one.year for one in Delivery.objects.datetimes("made_at", "year", order="DESC")]


def _month(on: date, rows: Iterable[tuple[int, Decimal, int]]) -> MonthSpent:
    rows = list(rows)
    return MonthSpent(
        on,
        len({delivery for delivery, _spent, _unknown in rows}),
        sum((spent for _delivery, spent, _unknown in rows), Decimal(0)),
        sum(unknown for _delivery, _spent, unknown in rows),
    )


class PriceFrom(models.TextChoices):
    """Where the price of a piece is from."""

    PAID = "paid", _("Last price paid")
    PACK = "pack", _("Cheapest pack")
    SHEET = "sheet", _("Cost per sheet")


@dataclass(frozen=True, slots=True)
class ItemWorth:
    """What lies in the store of an item. ``piece`` None: the price of one is not known."""

    item: Item
    piece: Fraction | None
    source: PriceFrom | None

    @property
    def price(self) -> Decimal | None:
        """Of one, in whole cents."""
        return None if self.piece is None else _in_cents(self.piece)

    @property
    def worth(self) -> Decimal | None:
        return None if self.piece is None else _in_cents(self.piece * self.item.on_hand)


@dataclass(frozen=True, slots=True)
class StockWorth:
    """All that is on hand, reserved or not; offcuts are not counted."""

    rows: tuple[ItemWorth, ...]

    @property
    def worth(self) -> Decimal:
        return sum((one.worth or Decimal(0) for one in self.rows), Decimal(0))

    @property
    def unknown(self) -> int:
        return sum(one.piece is None for one in self.rows)


def stock_worth() -> StockWorth:
    """Each item at the price that was paid for it last, else at that of its cheapest pack: four
    queries, whatever lies there."""
    bought = Movement.objects.filter(paid__isnull=False, delivery__reversal__isnull=True)
    last = bought.filter(item=models.OuterRef("pk")).order_by("-made_at", "-pk")
    lying = Item.objects.lying().by_kind()
    items = list(lying.annotate(last_bought=models.Subquery(last.values("pk")[:1])))
    paid = Movement.objects.in_bulk([one.last_bought for one in items if one.last_bought])
    offers = Offers.now()
    pieces = piece_prices(offers.offered)
    of_sheets = {one.item for one in offers.offered if one.supplier == NO_SUPPLIER}
    return StockWorth(
        tuple(
            _worth(one, paid.get(one.last_bought), pieces.get(one.pk), one.pk in of_sheets)
            for one in items
        )
    )


def _worth(
    item: Item, bought: Movement | None, offered: Fraction | None, is_sheet: bool
) -> ItemWorth:
    if bought is not None and bought.paid is not None:
        return ItemWorth(item, Fraction(bought.paid) / bought.on_hand_change, PriceFrom.PAID)
    if offered is None:
        return ItemWorth(item, None, None)
    return ItemWorth(item, offered / CENTS, PriceFrom.SHEET if is_sheet else PriceFrom.PACK)


def _reversed() -> Counter[tuple[int, int]]:
    """How many came off again by reversals, by the keys of delivery and item."""
    rows = Movement.objects.filter(why=Movement.Why.REVERSED).values("delivery", "item")
    gone = rows.annotate(gone=-models.Sum("on_hand_change"))
    return Counter({(one["delivery"], one["item"]): one["gone"] for one in gone})


def _in_cents(amount: Fraction) -> Decimal:
    exact = Decimal(amount.numerator) / Decimal(amount.denominator)
    return exact.quantize(CENT, ROUND_HALF_UP)
