"""What was written down before there was one ledger is carried into it, on both databases."""

import json
import os
import subprocess
import sys

import pytest
from django.conf import settings

# Rows as they were: five movements of one kind, an offcut that was moved, one that was cut up.
BEFORE = """
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from datetime import UTC, datetime
import uuid
from habitats.models import Person

cora = Person.objects.create_user("cora", password="joint-disc-41", role="coordinator")
begun = [("builds", "0001_sheets_store_and_batches")]
old = MigrationExecutor(connection).loader.project_state(begun).apps
get = lambda name: old.get_model("builds", name).objects
usual = {"width_mm": 1220, "height_mm": 2440, "cost": 20}
kind = get("SheetKind").create(name="White", thickness_mm=4, **usual)
bare = get("SheetKind").create(name="Bare", thickness_mm="3.5", **usual)
said = lambda: {"once": uuid.uuid4(), "made_by_id": cora.pk}
batch = get("Batch").create(name="Old", code="AAAAAA", **said())
job = get("CuttingJob").create(batch=batch, code="BBBBBB", offer={}, **said())
left = 0
for number, (why, change) in enumerate(
    [("bought", 6), ("found", 1), ("cut", -3), ("counted", 2), ("scrapped", -1)], start=1
):
    left += change
    get("SheetMovement").create(
        kind=kind, number=number, why=why, change=change, left=left, once=uuid.UUID(int=number),
        made_by_id=cora.pk, note=f"line {number}", made_at=datetime(2027, 1, number, tzinfo=UTC),
        job=job if why in ("found", "cut") else None,
    )
for label, moves in {
    "MVED": [("stored", "Rack, lower"), ("stored", " rack,  LOWER "), ("stored", "Loft")],
    "BACK": [("stored", "Rack, lower")],
    "CUTT": [("stored", "Loft"), ("cut", "")],
    "NOWH": [("stored", "")],
}.items():
    offcut = get("Offcut").create(label=label, kind=kind, width_mm=400, height_mm=600, **said())
    for what, place in moves:
        get("OffcutMove").create(
            offcut=offcut, what=what, place=place, job=job if what == "cut" else None, **said()
        )
"""

AFTER = """
import json
from builds.models import Movement, Offcut, Place, SheetKind, Stock
from builds.store.models import movements
from habitats.models import Person

cora = Person.objects.get()
kind = SheetKind.objects.get(name="White")
told = {
    "lines": [
        [one.number, one.why, one.on_hand_change, one.on_hand, one.once.int, one.note,
         one.made_at.day, one.job.code if one.job else None, one.place.name, one.made_by.username]
        for one in Movement.objects.filter(item=kind.item).order_by("number")
    ],
    "on_hand": [one.on_hand for one in SheetKind.objects.with_on_hand().order_by("name")],
    "counted": Stock.objects.get(item=kind.item).counted_at.day,
    "items": sorted(str(one.item) for one in SheetKind.objects.all()),
    "places": sorted([one.code, one.name] for one in Place.objects.all()),
    "offcuts": {one.label: str(one.place or "") for one in Offcut.objects.all()},
    "in_store": sorted(one.label for one in Offcut.objects.in_store()),
    "moves": [
        str(one.place or "")
        for one in Offcut.objects.get(label="MVED").moves.order_by("pk")
    ],
}
told["next"] = kind.move(2, "in", by=cora).number
print("told", json.dumps(told))
"""


@pytest.fixture(params=["sqlite", "postgresql"])
def manage(request, tmp_path):
    """`manage("migrate")`: run manage.py on an empty database, and give what it printed."""
    if request.param == "sqlite":
        url = f"sqlite:///{tmp_path / 'old.sqlite3'}"
    else:
        url = request.getfixturevalue("postgresql_url")

    def manage(*words: str) -> str:
        env = os.environ | {"DATABASE_URL": url, "DJANGO_SETTINGS_MODULE": "habitats.settings"}
        command = [sys.executable, "manage.py", *words]
        done = subprocess.run(
            command, env=env, cwd=settings.BASE_DIR, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    yield manage
    if request.param == "postgresql":
        manage("migrate", "habitats", "zero")


@pytest.mark.nightly
def test_old_movements_and_places_are_carried_over_whole(manage):
    manage("migrate", "habitats")
    manage("migrate", "builds", "0001")
    manage("shell", "-v0", "-c", BEFORE)

    manage("migrate")

    told = json.loads(manage("shell", "-v0", "-c", AFTER).partition("told")[2])
    assert told["lines"] == [
        [1, "in", 6, 6, 1, "line 1", 1, None, "Sheets", "cora"],
        [2, "found", 1, 7, 2, "line 2", 2, "BBBBBB", "Sheets", "cora"],
        [3, "cut", -3, 4, 3, "line 3", 3, "BBBBBB", "Sheets", "cora"],
        [4, "count", 2, 6, 4, "line 4", 4, None, "Sheets", "cora"],
        [5, "scrap", -1, 5, 5, "line 5", 5, None, "Sheets", "cora"],
    ]
    assert told["next"] == 6
    assert (told["on_hand"], told["counted"]) == ([0, 5], 4)
    assert told["items"] == [
        "Bare, 1220 × 2440 mm, 3.5 mm thick",
        "White, 1220 × 2440 mm, 4 mm thick",
    ]
    assert told["places"] == [["LOFT", "Loft"], ["RACK-LOWER", "Rack, lower"], ["SHEETS", "Sheets"]]
    assert told["offcuts"] == {"MVED": "Loft", "BACK": "Rack, lower", "CUTT": "", "NOWH": ""}
    assert told["in_store"] == ["BACK", "MVED", "NOWH"]
    assert told["moves"] == ["Rack, lower", "Rack, lower", "Loft"]
