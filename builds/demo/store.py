"""The demo's store and a batch to plan: places, items, suppliers, sheets and two offcuts.

Nobody and nothing here is real, and no number here proves anything.
"""

import uuid
from decimal import Decimal

from builds.batches.models.batches import Batch
from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.sheets import Offcut, SheetKind
from builds.store.models.stock import Movement
from builds.store.models.suppliers import PackOffer, Supplier
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

_Told = tuple[str, str, dict[str, object], int | None, dict[str, int]]


# Kind, name, facts, reorder level, and how many came in where.
ITEMS: tuple[_Told, ...] = (
    (
        "panel",
        "White panel, 352",
        {"panel_mm": 352, "panel_squares": 9},
        60,
        {"A1": 84, "LOFT": 36},
    ),
    ("panel", "Black panel, 346", {"panel_mm": 346, "panel_squares": 9}, None, {"LOFT": 41}),
    ("panel", "Fine panel, 348", {"panel_mm": 348, "panel_squares": 9}, 24, {"A2": 18}),
    ("panel", "Yard panel, 498", {"panel_mm": 498, "panel_squares": 12}, None, {"LOFT": 30}),
    ("connector", "Connector, eight slots", {}, 100, {"B1": 140}),
    ("tie", "Cable tie, 200 mm", {}, 200, {"B1": 165}),
    ("clip", "Lid clip", {}, None, {"B1": 26}),
    ("tape", "Sheet tape, 48 mm", {"unit": "m"}, 40, {"B1": 66}),
    ("cloth", "Fleece off the roll", {"unit": "m", "cloth_mm": 1500}, 10, {"A2": 14}),
    ("tool", "Flush cutters", {}, None, {"B1": 3}),
    ("tool", "Cutting mat", {}, None, {"A2": 2}),
)
# Supplier, how to order, and their packs: item, pieces, price, their order number.
SUPPLIERS = (
    (
        "Brindle and Daughters",
        "By telephone before noon; their van comes on Thursdays",
        (
            ("White panel, 352", 12, "31.80", "BD-352-12"),
            ("White panel, 352", 40, "98.00", "BD-352-40"),
            ("Fine panel, 348", 12, "36.40", "BD-348-12"),
            ("Connector, eight slots", 50, "14.50", "BD-C8"),
        ),
    ),
    (
        "Tallow Lane Ironmongers",
        "Over the counter, closed on Wednesdays",
        (
            ("Cable tie, 200 mm", 100, "4.20", ""),
            ("Cable tie, 200 mm", 500, "16.90", ""),
            ("Sheet tape, 48 mm", 50, "9.75", ""),
            ("Connector, eight slots", 24, "7.60", ""),
        ),
    ),
    ("Wick & Warp", "Cut off the roll, whole metres", (("Fleece off the roll", 1, "7.40", ""),)),
)
# Name, width, height and thickness in mm, cost of one, and how many came in.
SHEETS = (
    ("Full sheet, white", 1220, 2440, Decimal(4), Decimal("23.80"), 6),
    ("Short sheet, white", 1000, 2000, Decimal(4), Decimal("17.20"), 3),
)
OFFCUTS = ((610, 930, "A1"), (440, 1220, "DOOR"))
BATCH = "Building day in March"
# Design, how many builds of it, and for whom.
LINES = (
    ("Bay window", 2, "Larkrise"),
    ("Long wall with a loft", 1, "Ash Lane"),
    ("Quarantine pair", 3, ""),
)


def fill_store(by: Person, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    places = {code: _place(code, name, note) for code, name, note in PLACES}
    for facts in ITEMS:
        _item(facts, places, by, names)
    for supplier in SUPPLIERS:
        _supplier(supplier)
    kinds = [_kind(one, places["DOOR"], by, names) for one in SHEETS]
    for number, (width, height, code) in enumerate(OFFCUTS):
        idempotency_key = uuid.uuid5(names, f"offcut {number}")
        Offcut.objects.store(
            kinds[0], width, height, by=by, place=places[code], idempotency_key=idempotency_key
        )
    _batch(by, names)


def _place(code: str, name: str, note: str) -> Place:
    facts = {"name": name, "note": note}
    return Place.objects.get_or_create(code=code, defaults=facts)[0]


def _item(
    told: _Told,
    places: dict[str, Place],
    by: Person,
    names: uuid.UUID,
) -> None:
    kind, name, facts, reorder_at, lying = told
    item, _is_new = Item.objects.get_or_create(
        kind=kind, name=name, defaults={**facts, "reorder_at": reorder_at}
    )
    for code, count in lying.items():
        idempotency_key = uuid.uuid5(names, f"{name} in {code}")
        movements.take_in(item, places[code], count, by=by, idempotency_key=idempotency_key)


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


def _kind(
    sheet: tuple[str, int, int, Decimal, Decimal, int], place: Place, by: Person, names: uuid.UUID
) -> SheetKind:
    name, width, height, thickness, cost, count = sheet
    kind, _is_new = SheetKind.objects.get_or_create(
        name=name,
        width_mm=width,
        height_mm=height,
        thickness_mm=thickness,
        defaults={"cost": cost},
    )
    idempotency_key = uuid.uuid5(names, f"sheets {name}")
    seller = SUPPLIERS[0][0]
    kind.move(
        count, Movement.Why.IN, by=by, idempotency_key=idempotency_key, place=place, note=seller
    )
    return kind


def _batch(by: Person, names: uuid.UUID) -> None:
    batch = Batch.objects.begin(BATCH, by=by, idempotency_key=uuid.uuid5(names, BATCH))
    for name, count, who_for in LINES:
        design = Design.objects.with_revision().filter(name=name).first()
        if design:
            batch.add(design, count, who_for, idempotency_key=uuid.uuid5(names, f"{BATCH}: {name}"))
