"""A database of the version before the squash of migrations goes on; an older one is told."""

import json
import os
import re
import sqlite3
import subprocess
import sys
from functools import partial
from pathlib import Path
from typing import NamedTuple

import pytest
from django.conf import settings

# Nearly a minute of migrations, of which each is the same for ever: some days, and each night.
pytestmark = pytest.mark.spread(days=4, by="file")

# Some rows of every table of the demo, as SQLite wrote them before the squash.
DUMP = Path(__file__).parent / "data" / "before_the_squash.sql"


@pytest.fixture
def database(tmp_path) -> Path:
    return dumped_to(tmp_path)


def dumped_to(folder: Path) -> Path:
    path = folder / "old.sqlite3"
    with sqlite3.connect(path) as rows:
        rows.executescript(DUMP.read_text())
    return path


@pytest.fixture
def manage(database):
    """`manage("migrate")`: run manage.py on that database; gives the finished process."""
    return partial(manage_on, database)


def manage_on(database: Path, *words: str) -> subprocess.CompletedProcess[str]:
    env = os.environ | {
        "DATABASE_URL": f"sqlite:///{database}",
        "DJANGO_SETTINGS_MODULE": "habitats.settings",
    }
    return subprocess.run(
        [sys.executable, "manage.py", *words],
        env=env,
        cwd=settings.BASE_DIR,
        capture_output=True,
        text=True,
    )


# What the program wrote in English up to 0.2.0: table, row, column, and what a German reads since.
SAID_IN_ENGLISH = [
    ("builds_movement", 34, "note", "instead of Lid clip", "anstelle von Lid clip"),
    ("builds_movement", 33, "note", "the build is stopped", "der Bau ist gestoppt"),
    ("builds_shortpick", 1, "note", "left over", "übrig"),
    ("builds_buildevent", 22, "note", "Received by Milo.", "Entgegengenommen von Milo."),
    ("builds_build", 8, "name", "Repair of Pillar", "Reparatur von Pillar"),
    (
        "habitats_faultmended",
        1,
        "note",
        "Mended by the repair FCX3P9.",
        "Behoben durch die Reparatur FCX3P9.",
    ),
    (
        "habitats_linenevent",
        5772,
        "note",
        "Met in the trace KM42PX.",
        "Kontakt laut Kontaktverfolgung KM42PX.",
    ),
    ("habitats_faultmended", 2, "note", "Mended by Bertil.", "Mended by Bertil."),
]


def say_in_english(rows: sqlite3.Connection) -> None:
    """Sentences of that version, and rows that they belong to."""
    for table, pk, column, english, _german in SAID_IN_ENGLISH:
        rows.execute(f"UPDATE {table} SET {column} = ? WHERE id = ?", (english, pk))
    rows.execute("UPDATE builds_shortpick SET why = 'unneeded'")
    rows.execute("UPDATE builds_buildevent SET state = 'handed over', build_id = 7 WHERE id = 22")
    rows.execute("UPDATE builds_buildplan SET is_repair = 1 WHERE build_id = 8")
    (answers,) = rows.execute("SELECT answers FROM builds_inspection WHERE id = 4").fetchone()
    answers = [{**one, "note": ""} for one in json.loads(answers)]
    (asked,) = [one["question"] for one in answers if one["code"] == "tails"]
    rows.execute("UPDATE builds_inspection SET answers = ?", (json.dumps(answers),))
    rows.execute("UPDATE builds_repair SET what = ?, inspection_id = 4 WHERE id = 1", (asked,))


class Moved(NamedTuple):
    """The database after migrating, and how many rows each table had before."""

    database: Path
    before: dict[str, int]


@pytest.fixture(scope="module")
def moved(tmp_path_factory) -> Moved:
    """Migrated once for all who look at it, with rows of that version that were not in the demo."""
    database = dumped_to(tmp_path_factory.mktemp("older"))
    with sqlite3.connect(database) as rows:
        rows.execute("UPDATE builds_movement SET why = 'scrap', reserved_change = 0 WHERE id = 35")
        rows.execute("UPDATE builds_offcutmove SET what = 'scrapped' WHERE id = 1")
        rows.execute(
            "UPDATE builds_item SET kind = 'other', name = 'Doorway panel, 355 mm, 9 squares' "
            "WHERE id = 11"
        )
        say_in_english(rows)
    before = rows_of(database)
    done = manage_on(database, "migrate")
    assert done.returncode == 0, done.stderr
    return Moved(database, before)


def rows_of(database: Path) -> dict[str, int]:
    with sqlite3.connect(database) as rows:
        tables = [
            name
            for (name,) in rows.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if name.startswith(("habitats_", "builds_"))
        ]
        return {name: len(rows.execute(f'SELECT 1 FROM "{name}"').fetchall()) for name in tables}


def test_a_database_of_before_the_squash_goes_on_with_all_its_rows(moved):
    after = rows_of(moved.database)

    assert after == {**dict.fromkeys(after, 0), **moved.before}, "new tables have no rows yet"
    assert manage_on(moved.database, "migrate", "--check").returncode == 0


def test_a_room_for_isolation_became_one_place_and_what_was_noted_of_pets_stays(moved):
    with sqlite3.connect(moved.database) as rows:
        homes = rows.execute(
            "SELECT name, isolation_places, other_pets, pet_kinds FROM habitats_home "
            "WHERE name IN ('The depot', 'Sunniva') ORDER BY name"
        ).fetchall()

    birds = "two budgerigars"
    assert homes == [("Sunniva", 0, birds, ""), ("The depot", 1, birds, "")]


def test_what_was_scrapped_is_written_off_since(moved):
    with sqlite3.connect(moved.database) as rows:
        whys = [why for (why,) in rows.execute("SELECT why FROM builds_movement ORDER BY id")]
        whats = [what for (what,) in rows.execute("SELECT what FROM builds_offcutmove ORDER BY id")]
    assert (whys, whats) == (["release", "out", "write_off"], ["written_off", "stored"])


def test_its_parts_are_kept_by_their_codes(moved):
    with sqlite3.connect(moved.database) as rows:
        told = {what for (what,) in rows.execute("SELECT what FROM builds_kittick")}
        cards = [json.loads(card) for (card,) in rows.execute("SELECT card FROM builds_buildstep")]
        plans = [json.loads(one) for (one,) in rows.execute("SELECT parts FROM builds_buildplan")]
    told |= {one["what"] for card in cards for one in card["adds"]}
    told |= {part["what"] for parts in plans for part in parts}

    assert {"sheet-tape", "liner-ground-piece-1"} <= told
    assert [what for what in told if not re.fullmatch(r"[a-z0-9-]+", what)] == []


def test_its_rows_are_read_by_the_models_of_today(moved):
    read = manage_on(
        moved.database,
        "shell",
        "-v0",
        "-c",
        "from django.apps import apps\n"
        "for model in [*apps.get_app_config('habitats').get_models(), "
        "*apps.get_app_config('builds').get_models()]:\n"
        "    for row in model._default_manager.all(): str(row)\n"
        "print('all read')",
    )

    assert "all read" in read.stdout, read.stderr


def test_what_it_said_in_english_is_told_to_each_reader_since(moved):
    models = {
        "builds_movement": "Movement",
        "builds_shortpick": "ShortPick",
        "builds_buildevent": "BuildEvent",
        "builds_build": "Build",
        "builds_repair": "Repair",
        "habitats_faultmended": "FaultMended",
        "habitats_linenevent": "LinenEvent",
    }
    asked = [
        (table.partition("_")[0], models[table], pk, column)
        for table, pk, column, _english, _german in SAID_IN_ENGLISH
    ]
    read = manage_on(
        moved.database,
        "shell",
        "-v0",
        "-c",
        "import json\n"
        "from django.apps import apps\n"
        "from django.utils.translation import override\n"
        "said = []\n"
        "with override('de'):\n"
        f"    for app, model, pk, column in {asked!r}:\n"
        "        row = apps.get_model(app, model).objects.get(pk=pk)\n"
        "        said.append(str(row if model == 'Build' else getattr(row, column)))\n"
        "    said.append(str(apps.get_model('builds', 'Repair').objects.get(pk=1)))\n"
        "print(json.dumps(said))",
    )

    *told, repair = json.loads(read.stdout)
    assert told == [german for *_row, german in SAID_IN_ENGLISH], read.stderr
    assert repair.startswith("Ist "), "the question, in German"


def test_its_worked_panels_and_sheets_are_told_by_kind_and_measures(moved):
    with sqlite3.connect(moved.database) as rows:
        panel = rows.execute("SELECT kind, panel_mm, panel_squares FROM builds_item WHERE id = 11")
        sheet = rows.execute("SELECT name FROM builds_item WHERE id = 12")
        assert panel.fetchone() == ("doorway", 355, 9)
        assert sheet.fetchone() == ("Full sheet, white, 1220 × 2440 × 4 mm",)


def test_an_older_database_is_told_which_version_to_install_first(manage, database):
    with sqlite3.connect(database) as rows:
        rows.execute(
            "DELETE FROM django_migrations WHERE id = "
            "(SELECT max(id) FROM django_migrations WHERE app = 'builds')"
        )

    done = manage("migrate")

    assert done.returncode != 0
    assert "install version 0.2.0 first" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_server_does_not_start_on_an_older_database_and_says_the_same(manage, database):
    with sqlite3.connect(database) as rows:
        rows.execute("DELETE FROM django_migrations WHERE app = 'builds' AND name > '0003'")

    begin = "from habitats.start import refuse_or_go_on; refuse_or_go_on()"
    done = manage("shell", "-v0", "-c", begin)

    assert done.returncode != 0
    assert "install version 0.2.0 first" in done.stderr
