"""Items, suppliers and packs for tests. Places: ``tests.support.sheets.make_place``."""

from decimal import Decimal

from builds.store.models.items import Item
from builds.store.models.suppliers import PackOffer, Supplier

PANEL = {"kind": "panel", "name": "White panel", "panel_mm": 355, "panel_squares": 9}
SMALL = (
    {"kind": "connector", "name": "Black connector"},
    {"kind": "tie", "name": "Cable tie, 200 mm"},
    {"kind": "clip", "name": "Lid clip"},
    {"kind": "tape", "name": "Sheet tape", "unit": "m"},
    {"kind": "cloth", "name": "Fleece", "unit": "m", "cloth_mm": 1500},
)


def make_item(**changes: object) -> Item:
    return Item.objects.create(**PANEL | changes)


def make_small_items() -> list[Item]:
    return [Item.objects.create(**facts) for facts in SMALL]


def make_pack(item: Item, count: int, price: str, supplier: str = "Marl", **more: object):
    seller, _is_new = Supplier.objects.get_or_create(name=supplier)
    return PackOffer.objects.create(
        item=item, supplier=seller, count=count, price=Decimal(price), **more
    )
