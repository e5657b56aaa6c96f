"""From SQLite to PostgreSQL and back by the commands that people type: the demo, row by row."""

import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from zipfile import ZipFile

import psycopg
import pytest
from django.conf import settings

from tests.backups.conftest import say_migrated
from tests.support.server import bare_environment

pytestmark = pytest.mark.nightly

# What Django writes after each migration, and what our program works out again.
REMADE = {"auth_permission", "django_content_type", "sqlite_sequence"}
REMADE |= {"habitats_duerow", "habitats_reading", "habitats_unhoused", "habitats_unhousedsearch"}


@pytest.fixture
def manage():
    """`manage("migrate", DATA_DIR=…)`: run manage.py as people do; the finished process."""

    def manage(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "manage.py", *words],
            env=bare_environment() | {"HTTPS": "off", "SECRET_KEY": "of-this-test"} | more,
            cwd=settings.BASE_DIR,
            capture_output=True,
            text=True,
        )

    return manage


@pytest.fixture
def data(db, demo_made, migrated, tmp_path) -> Path:
    """A data folder with the demo, as a server migrated it."""
    shutil.copy(demo_made.file, tmp_path / "habitats.sqlite3")
    say_migrated(tmp_path / "habitats.sqlite3")
    return tmp_path


def test_all_rows_move_and_come_back_as_they_were(url, manage, data, tmp_path_factory):
    here = {"DATA_DIR": str(data)}
    brought = manage("move_to", url, **here)
    assert brought.returncode == 0, brought.stderr
    assert "rows were copied and compared one by one" in brought.stdout

    there = here | {"DATABASE_URL": url}
    assert manage("migrate", "--check", **there).returncode == 0
    # It goes on numbering after what was copied, and keeps spans apart as before.
    assert "numbered and kept apart" in manage("shell", "-v0", "-c", GOES_ON, **there).stdout
    assert manage("backup", str(data / "one.zip"), **there).returncode == 0

    back = tmp_path_factory.mktemp("back")
    restored = manage("restore", str(data / "one.zip"), DATA_DIR=str(back))
    assert restored.returncode == 0, restored.stderr
    was, now = comparable(data / "habitats.sqlite3"), comparable(back / "habitats.sqlite3")
    assert was.keys() == now.keys()
    for name, rows in was.items():
        assert rows == now[name], name


GOES_ON = """
from datetime import timedelta
from django.db import IntegrityError, transaction
from habitats.models import Membership, Person

new = Person.objects.create_user("numbered")
assert new.pk == max(Person.objects.values_list("pk", flat=True))
new.delete()
one = Membership.objects.filter(until=None).first()
try:
    with transaction.atomic():
        Membership.objects.create(
            group=one.group, animal=one.animal, since=one.since + timedelta(1), made_by=one.made_by
        )
except IntegrityError as refused:
    print("numbered and kept apart")
"""


def comparable(file: Path) -> dict[str, list[str]]:
    """Each table, whatever the order of its columns and of the keys of its JSON."""
    found = {}
    with closing(sqlite3.connect(file)) as one:
        one.row_factory = sqlite3.Row
        for (name,) in one.execute("SELECT name FROM sqlite_master WHERE type = 'table'"):
            rows = [dict(row) for row in one.execute(f'SELECT * FROM "{name}"')]
            told = [sorted((key, canonical(value)) for key, value in row.items()) for row in rows]
            found[name] = sorted(map(repr, told))
    return {name: rows for name, rows in found.items() if name not in REMADE}


def canonical(value: object) -> object:
    if isinstance(value, str) and value[:1] in "[{":
        try:
            return json.dumps(json.loads(value), sort_keys=True)
        except ValueError:
            return value
    return value


def test_a_whole_archive_goes_to_postgresql_and_back_the_same(url, manage, data, tmp_path_factory):
    back = tmp_path_factory.mktemp("back")
    (data / "media/animals").mkdir(parents=True, exist_ok=True)
    here, there = {"DATA_DIR": str(data)}, {"DATA_DIR": str(back / "1"), "DATABASE_URL": url}
    homeward = {"DATA_DIR": str(back / "2")}
    for folder in ("1", "2"):
        (back / folder).mkdir()

    for number, (of, into) in enumerate([(here, there), (there, homeward)]):
        file = str(back / f"{number}.zip")
        assert manage("export_archive", file, **of).returncode == 0
        brought = manage("import_archive", file, **into)
        assert brought.returncode == 0, brought.stderr
    assert manage("export_archive", str(back / "2.zip"), **homeward).returncode == 0

    first, second, third = (without_moment(back / f"{number}.zip") for number in range(3))
    assert first == second == third
    assert manage("migrate", "--check", **there).returncode == 0
    assert "numbered and kept apart" in manage("shell", "-v0", "-c", GOES_ON, **there).stdout


def without_moment(file: Path) -> dict[str, object]:
    """Each file of the archive, but for the moment at which it was made."""
    with ZipFile(file) as archive:
        files: dict[str, object] = {name: archive.read(name) for name in archive.namelist()}
    return files | {"archive.json": json.loads(files["archive.json"]) | {"made_at": None}}


def test_a_backup_is_restored_over_a_postgresql_in_one_step(url, manage, data):
    there = {"DATA_DIR": str(data), "DATABASE_URL": url}
    assert manage("backup", str(data / "one.zip"), DATA_DIR=str(data)).returncode == 0
    assert manage("restore", str(data / "one.zip"), **there).returncode == 0
    with psycopg.connect(url, autocommit=True) as server:
        server.execute("UPDATE habitats_person SET first_name = 'changed'")

    refused = manage("restore", str(data / "one.zip"), **there)
    done = manage("restore", str(data / "one.zip"), "--over", **there)

    assert "There is a rescue in this database already" in refused.stderr
    assert done.returncode == 0, done.stderr
    with psycopg.connect(url) as server:
        found = server.execute("SELECT count(*) FROM habitats_person WHERE first_name = 'changed'")
        assert found.fetchone() == (0,)
