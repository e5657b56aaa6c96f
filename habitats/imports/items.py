"""Items of the store: a row each, with how many lie in one place."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from habitats.imports.cells import allowed, one_of, price, whole, words
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow
from habitats.rotation.buying import USUAL_CLOTH_MM
from habitats.structure.read import PANEL_MM, SQUARES
from habitats.wording import joined, message

# The same words and bounds as in builds/store; a test holds them together.
PANELS = ("panel", "doorway", "ramp")
FASTENINGS = ("connector", "tie", "clip", "anchor")
FURNITURE = ("hide", "water", "hay")
CLOTH, COUNTED_IN_UNITS = "cloth", ("tool", "other")
KINDS_OF_ITEM = {
    kind: kind for kind in (*PANELS, *FASTENINGS, *FURNITURE, "tape", CLOTH, *COUNTED_IN_UNITS)
}
CLOTH_MM = (200, 5000)
MOST_REORDER, MOST_ON_HAND = 100_000, 1_000_000
LONGEST_SUPPLIER, MOST_IN_A_PACK, MOST_PRICE = 80, 100_000, Decimal("999999.99")


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    values = row.values
    for name, kinds, sentence in _ONLY_OF:
        if values["kind"] not in kinds and values[name] not in (None, ""):
            yield row.fault(name, sentence)
    if values["kind"] in PANELS and (values["panel_mm"] is None) != (
        values["panel_squares"] is None
    ):
        yield row.fault(
            "panel_mm" if values["panel_mm"] is None else "panel_squares",
            message(
                "The size of a panel and its squares go together. Write both, or neither for the "
                "panel of your rescue."
            ),
        )
    if values["place"] and values["on_hand"] is None:
        yield row.fault(
            "on_hand",
            message("The row names a place. Write how many are there, or empty the place."),
        )
    if bool(values["supplier"]) != (values["pack_price"] is not None):
        yield row.fault(
            "pack_price" if values["supplier"] else "supplier",
            message("A price and its supplier go together. Write both, or neither."),
        )
    elif values["pack_count"] is not None and values["pack_price"] is None:
        yield row.fault(
            "pack_price",
            message("The row has a pack_count but no price. Write the price, or empty pack_count."),
        )


_ONLY_PANELS = message("Only panels have this. Leave this empty, or correct the kind.")
_ONLY_OF = (
    ("panel_mm", PANELS, _ONLY_PANELS),
    ("panel_squares", PANELS, _ONLY_PANELS),
    (
        "cloth_mm",
        (CLOTH,),
        message("Only cloth has a width of the roll. Leave this empty, or correct the kind."),
    ),
    (
        "unit",
        COUNTED_IN_UNITS,
        message("Only tools and other items have a unit of their own. Leave this empty."),
    ),
)
ITEMS = ImportKind(
    "items",
    message("Store items"),
    (
        Column(
            "name",
            words(120),
            message(
                "What you call it. If you import a row again, it is recognised by its kind and "
                "its name."
            ),
            "White panel",
            needed=True,
        ),
        Column(
            "kind",
            one_of(
                KINDS_OF_ITEM,
                refusal=joined(
                    " ", [allowed(KINDS_OF_ITEM), message("Add sheets on the page of the store.")]
                ),
            ),
            joined(
                " ", [allowed(KINDS_OF_ITEM), message("Sheets are added on the page of the store.")]
            ),
            "panel",
            needed=True,
        ),
        Column(
            "panel_mm",
            whole(*PANEL_MM),
            message(
                "Of a panel: its size from joint to joint, in whole millimetres. Empty means the "
                "panel of your rescue."
            ),
            "355",
            empty=None,
        ),
        Column(
            "panel_squares",
            whole(*SQUARES),
            message("Of a panel: mesh squares along one side. Write it with the size."),
            "9",
            empty=None,
        ),
        Column(
            "cloth_mm",
            whole(*CLOTH_MM),
            message(
                "Of cloth: the width of the roll, in whole millimetres. Empty means %(usual)d "
                "(common practice).",
                usual=USUAL_CLOTH_MM,
            ),
            "",
            empty=None,
        ),
        Column(
            "unit",
            words(10),
            message("Of a tool or another item. Empty means pieces; tape and cloth are in metres."),
            "",
        ),
        Column(
            "reorder_at",
            whole(1, MOST_REORDER),
            message("You are warned when fewer are free. Empty means no warning."),
            "20",
            empty=None,
        ),
        Column(
            "place",
            words(60),
            message("Where they are: the name or the code of a place. A new name makes a place."),
            "Rack",
        ),
        Column(
            "on_hand",
            whole(0, MOST_ON_HAND),
            message("How many are there: saved as a first count. Empty means not counted yet."),
            "48",
            empty=None,
        ),
        Column(
            "supplier",
            words(LONGEST_SUPPLIER),
            message("Who sells it. A new name makes a supplier. Write it with the price."),
            "Wire and mesh shop",
        ),
        Column(
            "pack_count",
            whole(1, MOST_IN_A_PACK),
            message("How many are in a pack: pieces, or metres of tape and cloth. Empty means 1."),
            "12",
            empty=None,
        ),
        Column(
            "pack_price",
            price(MOST_PRICE),
            message(
                "What a pack costs, in the currency of your rescue and without its sign. Empty "
                "means not known."
            ),
            "29.90",
            empty=None,
        ),
    ),
    _faults,
)
