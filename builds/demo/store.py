"""The demo's store and a batch to plan: places, items, suppliers, deliveries, sheets, two offcuts.

Nobody and nothing here is real, and no number here proves anything: least of all the prices.
"""

import uuid
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from builds.batches.models.batches import Batch
from builds.demo.rows import morning_of
from builds.store.models import movements
from builds.store.models.deliveries import Delivery, Received, receive
from builds.store.models.items import Item
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.stock import Movement
from builds.store.models.suppliers import PackOffer, Supplier
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import Design
from habitats.people.models.people import Person

# Code, name, note.
PLACES = (
    ("A1", "Rack, lower", "Left of the door; heavy things only"),
    ("A2", "Rack, upper", ""),
    ("B1", "Drawers", "Small parts, one kind a drawer"),
    ("LOFT", "Loft", "Ladder behind the curtain; two people"),
    ("DOOR", "Behind the door", "Sheets and long offcuts stand here"),
)


class ToldItem(NamedTuple):
    """``reorder_at``: less free than this is too little; None: nobody watches it."""

    kind: str
    name: str
    reorder_at: int | None = None
    panel: tuple[int, int] | None = None
    unit: str = ""
    cloth_mm: int | None = None


ITEMS = (
    ToldItem("panel", "White panel, 352", 40, (352, 9)),
    ToldItem("panel", "Black panel, 346", None, (346, 9)),
    ToldItem("panel", "Fine panel, 358", 24, (358, 9)),
    ToldItem("panel", "Wide panel, 402", None, (402, 10)),
    ToldItem("panel", "Yard panel, 498", None, (498, 12)),
    ToldItem("panel", "Room panel, 512", None, (512, 12)),
    ToldItem("connector", "Connector, eight slots", 60),
    ToldItem("tie", "Cable tie, 200 mm", 200),
    ToldItem("clip", "Clip, spring"),
    ToldItem("tape", "Sheet tape, 48 mm", 20, unit="m"),
    ToldItem("cloth", "Fleece off the roll", 10, unit="m", cloth_mm=1500),
    ToldItem("cloth", "Wide fleece off the roll", None, unit="m", cloth_mm=2400),
    ToldItem("tool", "Flush cutters"),
    ToldItem("tool", "Cutting mat"),
)
PANELS, SMALL, CLOTH, PLASTIC = (
    "Brindle and Daughters",
    "Tallow Lane Ironmongers",
    "Wick & Warp",
    "Fenny End Plastics",
)
# Supplier, how to order, and their packs: item, pieces, price, their order number.
SUPPLIERS = (
    (
        PANELS,
        "By telephone before noon; their van comes on Thursdays",
        (
            ("White panel, 352", 12, "31.80", "BD-352-12"),
            ("White panel, 352", 40, "98.00", "BD-352-40"),
            ("Black panel, 346", 12, "33.60", "BD-346-12"),
            ("Fine panel, 358", 12, "36.40", "BD-358-12"),
            ("Wide panel, 402", 12, "42.00", "BD-402-12"),
            ("Yard panel, 498", 10, "47.50", "BD-498-10"),
            ("Room panel, 512", 10, "49.00", "BD-512-10"),
            ("Connector, eight slots", 50, "14.50", "BD-C8"),
            ("Clip, spring", 10, "3.20", "BD-LC"),
        ),
    ),
    (
        SMALL,
        "Over the counter, closed on Wednesdays",
        (
            ("Cable tie, 200 mm", 100, "4.20", ""),
            ("Cable tie, 200 mm", 500, "16.90", ""),
            ("Sheet tape, 48 mm", 50, "9.75", ""),
            ("Connector, eight slots", 24, "7.60", ""),
            ("Flush cutters", 1, "11.40", ""),
            ("Cutting mat", 1, "23.50", ""),
        ),
    ),
    (
        CLOTH,
        "Cut off the roll, whole metres",
        (("Fleece off the roll", 1, "7.40", ""), ("Wide fleece off the roll", 1, "12.90", "")),
    ),
    (PLASTIC, "By e-mail; they cut to length for a fee", ()),
)
# Name, width, height and thickness in mm, cost of one.
SHEETS = (
    ("Full sheet, white", 1220, 2440, Decimal(4), Decimal("23.80")),
    ("Short sheet, white", 1000, 2000, Decimal(4), Decimal("17.20")),
)
FULL, SHORT = (name for name, *_facts in SHEETS)
OFFCUTS = ((610, 930, "A1"), (440, 1220, "DOOR"))


class ToldDelivery(NamedTuple):
    """So many days ago; ``lines``: item, how many, and what was paid for them."""

    ago: int
    supplier: str
    place: str
    lines: tuple[tuple[str, int, str], ...]
    note: str = ""


DELIVERIES = (
    ToldDelivery(
        163,
        PANELS,
        "LOFT",
        (
            ("White panel, 352", 36, "93.60"),
            ("Yard panel, 498", 30, "138.00"),
            ("Black panel, 346", 48, "131.00"),
        ),
    ),
    ToldDelivery(
        158,
        SMALL,
        "B1",
        (
            ("Cable tie, 200 mm", 500, "16.40"),
            ("Sheet tape, 48 mm", 100, "19.00"),
            ("Flush cutters", 3, "34.20"),
        ),
    ),
    ToldDelivery(131, PLASTIC, "DOOR", ((FULL, 6, "138.00"), (SHORT, 3, "50.40"))),
    ToldDelivery(
        124,
        PANELS,
        "A1",
        (("White panel, 352", 80, "193.00"), ("Wide panel, 402", 36, "124.20")),
    ),
    ToldDelivery(122, PANELS, "B1", (("Connector, eight slots", 200, "57.00"),)),
    ToldDelivery(96, CLOTH, "A2", (("Fleece off the roll", 24, "172.80"),)),
    ToldDelivery(91, "", "A2", (("Cutting mat", 2, "18.00"),), "From a school that closed"),
    ToldDelivery(68, PANELS, "A2", (("Fine panel, 358", 24, "72.80"),)),
    ToldDelivery(61, PLASTIC, "DOOR", ((FULL, 6, "142.80"), (SHORT, 2, "34.40"))),
    ToldDelivery(33, PANELS, "A1", (("White panel, 352", 40, "98.00"),)),
    ToldDelivery(
        32,
        PANELS,
        "B1",
        (("Connector, eight slots", 150, "43.50"), ("Clip, spring", 30, "9.60")),
    ),
    ToldDelivery(12, SMALL, "B1", (("Cable tie, 200 mm", 100, "4.20"),)),
    ToldDelivery(5, PLASTIC, "DOOR", ((FULL, 2, "47.60"),)),
)


class ToldUse(NamedTuple):
    """So many of an item went into the builds of that month."""

    ago: int
    item: str
    place: str
    pieces: int


USED = (
    ToldUse(110, "White panel, 352", "A1", 36),
    ToldUse(110, "Connector, eight slots", "B1", 96),
    ToldUse(108, FULL, "DOOR", 4),
    ToldUse(88, "Cable tie, 200 mm", "B1", 240),
    ToldUse(57, "Sheet tape, 48 mm", "B1", 34),
    ToldUse(54, FULL, "DOOR", 3),
    ToldUse(49, "Fine panel, 358", "A2", 6),
    ToldUse(47, "Cable tie, 200 mm", "B1", 195),
    ToldUse(40, "Fleece off the roll", "A2", 10),
)
BATCH = "The next building day"
# Design, how many builds of it, and for whom.
LINES = (
    ("Bay window", 2, "Larkrise"),
    ("Long wall with a loft", 1, "Ash Lane"),
    ("Quarantine pair", 3, ""),
)


def fill_store(by: Person, today: date, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    places = {code: _place(code, name, note) for code, name, note in PLACES}
    items = {told.name: _item(told) for told in ITEMS}
    kinds = {sheet[0]: _kind(sheet) for sheet in SHEETS}
    items |= {name: kind.item for name, kind in kinds.items()}
    for supplier in SUPPLIERS:
        _supplier(supplier)
    _live_through(_Store(items, places, by, today), names)
    for number, (width, height, code) in enumerate(OFFCUTS):
        idempotency_key = uuid.uuid5(names, f"offcut {number}")
        Offcut.objects.store(
            kinds[FULL], width, height, by=by, place=places[code], idempotency_key=idempotency_key
        )
    _batch(by, names)


def _place(code: str, name: str, note: str) -> Place:
    facts = {"name": name, "note": note}
    return Place.objects.get_or_create(code=code, defaults=facts)[0]


def _item(told: ToldItem) -> Item:
    mm, squares = told.panel or (None, None)
    facts = {
        "reorder_at": told.reorder_at,
        "panel_mm": mm,
        "panel_squares": squares,
        "unit": told.unit,
        "cloth_mm": told.cloth_mm,
    }
    return Item.objects.get_or_create(kind=told.kind, name=told.name, defaults=facts)[0]


def _supplier(told: tuple[str, str, tuple[tuple[str, int, str, str], ...]]) -> None:
    name, note, packs = told
    supplier, _is_new = Supplier.objects.get_or_create(name=name, defaults={"note": note})
    for item, count, price, number in packs:
        PackOffer.objects.get_or_create(
            supplier=supplier,
            item=Item.objects.get(name=item),
            count=count,
            defaults={"price": Decimal(price), "number": number},
        )


def _kind(sheet: tuple[str, int, int, Decimal, Decimal]) -> SheetKind:
    name, width, height, thickness, cost = sheet
    return SheetKind.objects.get_or_create(
        name=name,
        width_mm=width,
        height_mm=height,
        thickness_mm=thickness,
        defaults={"cost": cost},
    )[0]


class _Store(NamedTuple):
    """Items by name, places by code."""

    items: Mapping[str, Item]
    places: Mapping[str, Place]
    by: Person
    today: date

    def morning(self, ago: int) -> datetime:
        return morning_of(self.today - timedelta(days=ago))


def _live_through(store: _Store, names: uuid.UUID) -> None:
    """What came and went, in time: the ledger runs forwards."""
    both: list[ToldDelivery | ToldUse] = [*DELIVERIES, *USED]
    told = sorted(both, key=lambda one: -one.ago)
    for number, one in enumerate(told):
        idempotency_key = uuid.uuid5(names, f"ledger {number}")
        if isinstance(one, ToldDelivery):
            _delivery(store, one, idempotency_key)
        else:
            _used(store, one, idempotency_key)


def _delivery(store: _Store, told: ToldDelivery, idempotency_key: uuid.UUID) -> None:
    if made_before(Delivery.objects, idempotency_key):
        return
    made = receive(
        [Received(store.items[name], count, Decimal(paid)) for name, count, paid in told.lines],
        store.places[told.place],
        supplier=Supplier.objects.filter(name=told.supplier).first(),
        by=store.by,
        idempotency_key=idempotency_key,
        note=told.note,
    )
    # It is told afterwards, as if it had been written down on its day.
    at = store.morning(told.ago)
    Delivery.objects.filter(pk=made.pk).update(made_at=at)
    made.movements.update(made_at=at)


def _used(store: _Store, told: ToldUse, idempotency_key: uuid.UUID) -> None:
    if made_before(Movement.objects, idempotency_key):
        return
    made = movements.take_out(
        store.items[told.item],
        store.places[told.place],
        told.pieces,
        by=store.by,
        idempotency_key=idempotency_key,
        note="Earlier builds",
    )
    Movement.objects.filter(pk=made.pk).update(made_at=store.morning(told.ago))


def _batch(by: Person, names: uuid.UUID) -> None:
    batch = Batch.objects.begin(BATCH, by=by, idempotency_key=uuid.uuid5(names, BATCH))
    for name, count, who_for in LINES:
        design = Design.objects.with_revision().filter(name=name).first()
        if design:
            batch.add(design, count, who_for, idempotency_key=uuid.uuid5(names, f"{BATCH}: {name}"))
