"""A started server whose disk is full, or fails: told in words, nothing half saved, and it goes on.

Its own disk, or that of its PostgreSQL. By night, on a small disk; root mounts it, and where it may
not the test fails and says so.
"""

import os
import shutil
import sqlite3
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.support.disks import Disk
from tests.support.server import ROOT, Server, bare_environment, started
from tests.support.visitors import FIRST_PERSON, Visitor

pytestmark = pytest.mark.nightly

FULL, READ_ONLY = "The server’s disk is full.", "The server may not write to its disk."
AN_ANIMAL = """
from datetime import date
from habitats.animals.models.animals import Animal
from habitats.people.models.people import Person

one = dict(name="Pip", species="guinea_pig", sex="F", came_on=date(2026, 1, 1))
print(Animal.objects.take_in(by=Person.objects.get(), **one).code)
"""


@pytest.fixture
def data(disk: Disk) -> Path:
    return disk.path / "rescue"


@pytest.fixture
def server(data: Path) -> Iterator[Server]:
    with started(data, demo=False, **FIRST_PERSON) as running:
        yield running


@pytest.fixture
def visitor(server: Server) -> Visitor:
    one = Visitor(server.url)
    one.log_in()
    return one


def manage(data: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [".venv/bin/python", "manage.py", *words],
        cwd=ROOT,
        env=bare_environment() | {"HTTPS": "off", "DATA_DIR": str(data)},
        capture_output=True,
        text=True,
    )


def homes(data: Path) -> list[str]:
    with closing(sqlite3.connect(data / "habitats.sqlite3")) as one:
        assert one.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return sorted(name for (name,) in one.execute("SELECT name FROM habitats_home"))


def add_until_refused(visitor: Visitor, mark: str) -> tuple[list[str], str]:
    """What was told as saved, and the page of the first that was not."""
    told: list[str] = []
    for number in range(500):
        name = f"Home {mark}-{number}"
        status, page = visitor.add_home(name)
        if status != 200:
            assert status == 503, page
            return told, page
        told.append(name)
    raise AssertionError("Nothing was refused.")


def send_photo(visitor: Visitor, animal: str, photo: bytes) -> tuple[int, str]:
    _status, seen = visitor.get(f"/animals/{animal}/")
    sent = {"photo": SimpleUploadedFile("pip.jpg", photo, "image/jpeg")}
    return visitor.send(f"/animals/{animal}/photo/keep/", seen, **sent)


def photos(data: Path) -> dict[str, bytes]:
    found = (path for path in (data / "media").rglob("*") if path.is_file())
    return {path.name: path.read_bytes() for path in found}


def test_a_full_disk_is_told_nothing_is_half_saved_and_it_goes_on(
    disk,
    data,
    server,
    visitor,
    photo,
):
    animal = manage(data, "shell", "-v0", "-c", AN_ANIMAL).stdout.strip()
    assert send_photo(visitor, animal, photo)[0] == 200
    kept = photos(data)
    assert kept

    with disk.full():
        told, refused = add_until_refused(visitor, "a")
        assert FULL in refused
        status, page = send_photo(visitor, animal, photo)
        assert (status, FULL in page) == (503, True), page
        assert photos(data) == kept
        for address in ("/today/", "/homes/", f"/animals/{animal}/", "/server/"):
            status, page = visitor.get(address)
            assert status == 200 or (status == 503 and FULL in page), (address, page)
        backup = manage(data, "backup")
        assert backup.returncode
        assert "No space left on device" in backup.stderr, backup.stderr
    assert homes(data) == sorted(told)

    assert visitor.add_home("Home b")[0] == 200
    assert send_photo(visitor, animal, photo)[0] == 200
    assert homes(data) == sorted([*told, "Home b"])
    assert len(photos(data)) == 1
    assert "checked" in manage(data, "backup").stdout


def test_a_disk_that_fails_and_is_read_only_is_told_and_goes_on_once_it_is_mended(
    disk,
    data,
):
    with started(data, demo=False, **FIRST_PERSON) as server:
        visitor = Visitor(server.url)
        visitor.log_in()
        disk.sync()
        assert visitor.add_home("Home a")[0] == 200

        disk.fail()

        told, refused = add_until_refused(visitor, "b")
        assert not told
        assert READ_ONLY in refused
        status, page = Visitor(server.url).get("/log-in/")
        assert status == 200 or READ_ONLY in page, page
        assert visitor.get("/homes/")[0] == 200
        backup = manage(data, "backup")
        assert backup.returncode
        assert "Read-only file system" in backup.stderr, backup.stderr
    disk.mend()

    with started(data, demo=False, **FIRST_PERSON) as server:
        visitor = Visitor(server.url)
        visitor.log_in()
        assert visitor.add_home("Home c")[0] == 200
    assert homes(data) == ["Home a", "Home c"]


# --- PostgreSQL's own disk ---


@pytest.fixture
def disk_of_rows() -> Iterator[Disk]:
    """Not in pytest's folder: the server's user has to be let in."""
    folder = Path(tempfile.mkdtemp(prefix="pgdisk"))
    folder.chmod(0o755)
    made = Disk(folder, 96)
    made.mount()
    yield made
    made.unmount()
    shutil.rmtree(folder)


@pytest.fixture
def database(disk_of_rows: Disk, postgresql_url: str) -> Iterator[str]:
    """The address of a new database whose tables are on the small disk."""
    space = disk_of_rows.path / "rows"
    space.mkdir(mode=0o700)
    if os.geteuid() == 0:
        shutil.chown(space, "postgres")
    with psycopg.connect(postgresql_url, autocommit=True) as server:
        server.execute(f"CREATE TABLESPACE small LOCATION '{space}'")  # type: ignore[arg-type]
        server.execute("CREATE DATABASE small TABLESPACE small")
    yield f"{postgresql_url.rpartition('/')[0]}/small"
    with psycopg.connect(postgresql_url, autocommit=True) as server:
        server.execute("DROP DATABASE small WITH (FORCE)")
        server.execute("DROP TABLESPACE small")


def names(database: str) -> list[str]:
    with psycopg.connect(database) as one:
        return [name for (name,) in one.execute("SELECT name FROM habitats_home ORDER BY name")]


def test_a_full_disk_of_postgresql_is_told_nothing_is_half_saved_and_it_goes_on(
    disk_of_rows, database, tmp_path
):
    more = {"DATABASE_URL": database, **FIRST_PERSON}
    with started(tmp_path / "data", demo=False, **more) as server:
        visitor = Visitor(server.url)
        visitor.log_in()
        assert visitor.add_home("Home first")[0] == 200

        with disk_of_rows.full():
            told, refused = add_until_refused(visitor, "a")
            assert FULL in refused
            for address in ("/today/", "/homes/", "/server/"):
                status, page = visitor.get(address)
                assert status == 200 or (status == 503 and FULL in page), (address, page)
            status, state = visitor.get("/server/health/")
            assert (status, '"database": [{"status": "fail"}]' in state) == (503, True), state
            assert names(database) == sorted(["Home first", *told])

        assert visitor.add_home("Home b")[0] == 200
        status, state = visitor.get("/server/health/")
        assert '"database": [{"status": "pass"}]' in state, state
        assert names(database) == sorted(["Home first", *told, "Home b"])
