"""The buying list: needs of planned builds less free stock, in packs on offer."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from builds.batches.models.cutting_jobs import CuttingJobLine
from builds.batches.models.sheet_jobs import PlanToCut, plans_to_cut
from builds.buying import BuyLine, Offered, Pack, buying_list
from builds.plans.models.builds import NEEDING, Build
from builds.pulls.models.accounts import Account, accounts_of
from builds.store.models.items import Item
from builds.store.models.needs import CannotMake, Need, Needs, all_needs
from builds.store.models.sheets import SheetKind
from builds.store.models.suppliers import CENTS, PackOffer, Supplier
from habitats.wording import message


def needs_of_planned_builds() -> Needs:
    """What all builds that are to be made still need from the store.

    What is reserved for a build or taken already is not among it; what was reported missing or
    damaged is. Sheets of builds that a plan cuts together are as many as that takes. ``missing``
    says in words what the store does not count.
    """
    accounts = accounts_of(Build.objects.in_state(*NEEDING).soonest_first())
    several = [_needs(one) for one in accounts]
    return all_needs((one, 1) for one in [*several, *_needs_of_plans(accounts)])


def _needs_of_plans(accounts: list[Account]) -> list[Needs]:
    """The sheets that plans still to be cut take, less those reserved for their builds."""
    plans = plans_to_cut()
    lines = CuttingJobLine.objects.filter(job__in=[one.job for one in plans])
    builds = {one.build.pk: one for one in accounts}
    asked: dict[int, int] = Counter()
    theirs: dict[int, list[int]] = {}
    for job, count in lines.values_list("job", "count"):
        asked[job] += count
    for job, build in lines.filter(builds__isnull=False).values_list("job", "builds"):
        theirs.setdefault(job, []).append(build)
    kinds = SheetKind.objects.select_related("item").in_bulk(
        {kind for one in plans for kind in one.sheets}
    )
    found = []
    for plan in plans:
        own = [builds[one] for one in theirs.get(plan.job, []) if one in builds]
        if own or len(theirs.get(plan.job, [])) < asked[plan.job]:
            found.append(_needs_of_plan(plan, kinds, [one.reserved for one in own]))
    return found


def _needs_of_plan(
    plan: PlanToCut, kinds: dict[int, SheetKind], reserved: list[Counter[Item]]
) -> Needs:
    needs = []
    for pk, count in plan.sheets.items():
        item = kinds[pk].item
        needs.append(Need(item, max(0, count - sum(one[item] for one in reserved))))
    return Needs(tuple(one for one in needs if one.count))


def _needs(account: Account) -> Needs:
    try:
        lines = tuple(Need(item, count) for item, count in account.short.items())
        missing = account.uncounted
    except CannotMake as reason:
        return Needs(missing=(str(reason),))
    return Needs(lines, tuple(_for_build(one, account.build) for one in missing))


def _for_build(needed: str, build: Build) -> str:
    return message("%(needed)s, for “%(build)s”", needed=needed, build=str(build))


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
    def unsold(self) -> tuple[ToBuy, ...]:
        """What no supplier sells."""
        return tuple(row for row in self.rows if row.unfilled and not row.is_sold)

    @property
    def too_few(self) -> tuple[ToBuy, ...]:
        """What suppliers sell, but not so many."""
        return tuple(row for row in self.rows if row.unfilled and row.is_sold)


def what_to_buy(needs: Needs, *, top_up: bool) -> Buying:
    """The cheapest packs for the needs beyond what is free; five queries, whatever the needs.

    ``top_up``: besides, so much of each item that as much as its reorder level stays free.
    """
    items = list(Item.objects.live().with_stock().by_kind())
    offers = {one.pk: one for one in PackOffer.objects.live().with_names().by_supplier()}
    needed = {line.item.pk: line.total for line in needs.lines}
    up_to = {one.pk: (one.reorder_at or 0) if top_up else 0 for one in items}
    wanted = {one.pk: needed.get(one.pk, 0) + up_to[one.pk] for one in items}
    free = {one.pk: one.free for one in items}
    found = buying_list(wanted, free, [_offered(one) for one in offers.values()])
    unfilled = {one.item: one.count for one in found.unfilled}
    sold = {one.item_id for one in offers.values()}
    sheets = _priced_sheets(unfilled, sold)
    for line in sheets:
        del unfilled[line.kind.item_id]
    rows = tuple(
        ToBuy(
            one,
            needed.get(one.pk, 0),
            up_to[one.pk],
            one.free,
            found.to_buy[one.pk],
            found.over.get(one.pk, 0),
            unfilled.get(one.pk, 0),
            one.pk in sold,
        )
        for one in items
        if one.pk in found.to_buy
    )
    orders = [_order(lines, offers) for lines in found.lines.values()]
    by_name = sorted(orders, key=lambda order: (order.supplier.name, order.supplier.pk))
    return Buying(rows, tuple(by_name), sheets, needs.missing)


def _priced_sheets(unfilled: dict[int, int], sold: set[int]) -> tuple[SheetLine, ...]:
    """A kind of sheet has a price of its own, which counts until somebody sells it in packs."""
    kinds = SheetKind.objects.filter(item__in=unfilled.keys() - sold, cost__gt=0).by_size()
    return tuple(SheetLine(one, unfilled[one.item_id]) for one in kinds)


def _offered(offer: PackOffer) -> Offered:
    pack = Pack(offer.pk, offer.count, int(offer.price * CENTS), offer.at_most)
    return Offered(pack, offer.item_id, offer.supplier_id)


def _order(lines: tuple[BuyLine, ...], offers: dict[int, PackOffer]) -> SupplierOrder:
    packs = tuple(PackLine(offers[line.pack.id], line.packs) for line in lines)
    return SupplierOrder(packs[0].offer.supplier, packs)
