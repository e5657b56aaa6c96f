"""Sheets join the one ledger, and the words for where an offcut lies become places.

Nothing that was written down is lost: each movement of sheets becomes one of its item, with the
same ``once``, person, moment and job, in one place, since nobody said where sheets were.
"""

from django.db import migrations
from django.utils.text import slugify

WHY = {"bought": "in", "counted": "count", "found": "found", "cut": "cut", "scrapped": "scrap"}
LONGEST_CODE = 12
SHEETS = "Sheets"


def carry_over(apps, _schema):
    places = _Places(apps.get_model("builds", "Place"))
    _name_items(apps)
    _carry_sheets(apps, places)
    _place_offcuts(apps, places)


class _Places:
    """Places by their words: the same words, however spaced and written, are the same place."""

    def __init__(self, model):
        self.model, self.known, self.codes = model, {}, set()

    def get(self, words):
        name = " ".join(words.split())
        if not name:
            return None
        key = name.casefold()
        if key not in self.known:
            self.known[key] = self.model.objects.create(name=name, code=self._code(name))
        return self.known[key]

    def _code(self, name):
        body = slugify(name).upper().replace("_", "-")[:LONGEST_CODE].strip("-") or "PLACE"
        code, number = body, 1
        while code in self.codes:
            number += 1
            code = body[: LONGEST_CODE - len(str(number)) - 1] + f"-{number}"
        self.codes.add(code)
        return code


def _name_items(apps):
    kinds, items = apps.get_model("builds", "SheetKind"), apps.get_model("builds", "Item")
    for kind in kinds.objects.order_by("pk"):
        thick = f"{kind.thickness_mm.normalize():f}"
        kind.item = items.objects.create(
            kind="sheet",
            name=f"{kind.name}, {kind.width_mm} × {kind.height_mm} mm, {thick} mm thick",
            is_put_away=kind.retired_at is not None,
        )
        kind.save(update_fields=["item"])


def _carry_sheets(apps, places):
    old, kinds = apps.get_model("builds", "SheetMovement"), apps.get_model("builds", "SheetKind")
    movements, stocks = apps.get_model("builds", "Movement"), apps.get_model("builds", "Stock")
    items = dict(kinds.objects.values_list("pk", "item_id"))
    left = {}
    for one in old.objects.order_by("kind_id", "number").iterator():
        place = places.get(SHEETS)
        made = movements.objects.create(
            item_id=items[one.kind_id], place=place, number=one.number, why=WHY[one.why],
            on_hand_change=one.change, on_hand=one.left, reserved=0, job_id=one.job_id,
            note=one.note, once=one.once, made_by_id=one.made_by_id, made_at=one.made_at,
        )  # fmt: skip
        last = left.setdefault(made.item_id, stocks(item_id=made.item_id, place=place))
        last.on_hand, last.number, last.moved_at = made.on_hand, made.number, made.made_at
        if made.why == "count":
            last.counted_at = made.made_at
    stocks.objects.bulk_create(left.values())


def _place_offcuts(apps, places):
    moves, offcuts = apps.get_model("builds", "OffcutMove"), apps.get_model("builds", "Offcut")
    for move in moves.objects.order_by("pk"):
        place = places.get(move.place_words)
        if place:
            moves.objects.filter(pk=move.pk).update(place=place)
        offcuts.objects.filter(pk=move.offcut_id).update(place=place)


class Migration(migrations.Migration):
    dependencies = [("builds", "0003_one_ledger")]

    # Taken back, the ledger goes with its tables; sheets begin anew and are counted.
    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]
