"""The demo's store and a batch to plan: sheets from an invented supplier, two offcuts."""

import uuid
from decimal import Decimal

from builds.models.batches import Batch
from builds.models.places import Place
from builds.models.stock import Movement
from builds.models.store import Offcut, SheetKind
from habitats.models import Design, Person

# Name, width, height and thickness in mm, cost of one, and how many came in.
SHEETS = (
    ("Full sheet, white", 1220, 2440, Decimal(4), Decimal("23.80"), 6),
    ("Short sheet, white", 1000, 2000, Decimal(4), Decimal("17.20"), 3),
)
OFFCUTS = ((610, 930, "Rack, lower"), (440, 1220, "Behind the door"))
BATCH = "Building day in March"
# Design, how many builds of it, and for whom.
LINES = (
    ("Bay window", 2, "Larkrise"),
    ("Long wall with a loft", 1, "Ash Lane"),
    ("Quarantine pair", 3, ""),
)


def fill_store(by: Person, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    kinds = [_kind(one, by, names) for one in SHEETS]
    for number, (width, height, place) in enumerate(OFFCUTS):
        once = uuid.uuid5(names, f"offcut {number}")
        lies, _is_new = Place.objects.get_or_create(name=place, defaults={"code": f"R{number}"})
        Offcut.objects.store(kinds[0], width, height, by=by, place=lies, once=once)
    batch = Batch.objects.begin(BATCH, by=by, once=uuid.uuid5(names, BATCH))
    for name, count, who_for in LINES:
        design = Design.objects.with_revision().filter(name=name).first()
        if design:
            batch.add(design, count, who_for, once=uuid.uuid5(names, f"{BATCH}: {name}"))


def _kind(
    sheet: tuple[str, int, int, Decimal, Decimal, int], by: Person, names: uuid.UUID
) -> SheetKind:
    name, width, height, thickness, cost, count = sheet
    kind, _is_new = SheetKind.objects.get_or_create(
        name=name,
        width_mm=width,
        height_mm=height,
        thickness_mm=thickness,
        defaults={"cost": cost},
    )
    once = uuid.uuid5(names, f"sheets {name}")
    kind.move(count, Movement.Why.IN, by=by, once=once, note="Brindle and Daughters")
    return kind
