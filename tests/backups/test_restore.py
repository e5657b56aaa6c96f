"""What is lost comes back as it was: row by row and file by file. Nothing goes without a word."""

import shutil
import sqlite3
import threading
import time
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from habitats.backups.models.record import record
from habitats.backups.models.schema import tables_there
from habitats.people.models.people import Person
from tests.backups.conftest import KEY, Installation, every_row

# What Django writes after each migration, and so after a restore.
REMADE = {"auth_permission", "django_content_type", "sqlite_sequence"}


@pytest.fixture
def made(here, tmp_path) -> Path:
    """A backup with a person and two photos."""
    Person.objects.create_user("cora", roles="coordinator")
    here.photo("animals/pip.jpg", b"a photo")
    here.photo("builds/strays/one.png", bytes(range(256)) * 5000)
    call_command("backup", tmp_path / "one.zip")
    return tmp_path / "one.zip"


def kept_rows(database: Path) -> dict[str, list[tuple[object, ...]]]:
    return {name: rows for name, rows in every_row(database).items() if name not in REMADE}


def test_all_is_there_again_in_another_folder(here, made, settle):
    there = settle("there", is_new=False)

    call_command("restore", made)

    assert kept_rows(there.database) == kept_rows(here.database)
    assert there.files() == here.files()
    assert (there.data / "secret_key").read_text() == KEY
    assert Person.objects.get().username == "cora"


def test_what_is_restored_its_owner_alone_may_read(made, settle):
    there = settle("there", is_new=False)

    call_command("restore", made)

    found = [
        path for path in there.data.rglob("*") if path.is_file() and "backups" not in path.name
    ]
    assert {path.stat().st_mode & 0o777 for path in found} == {0o600}


def test_a_restored_backup_is_on_record_with_its_own_moment(made, settle):
    good_at = record().good_at
    settle("there", is_new=False)

    call_command("restore", made)

    assert record().good_at == good_at


def test_over_data_it_is_refused(here, made):
    Person.objects.create_user("later")

    with pytest.raises(CommandError, match=r"Nothing was changed\. To replace what is here, add"):
        call_command("restore", made)

    assert Person.objects.filter(username="later").exists()


def test_over_photos_alone_it_is_refused(made, settle):
    there = settle("there")
    there.photo("animals/other.jpg", b"other")

    with pytest.raises(CommandError, match="There are photos in"):
        call_command("restore", made)

    assert there.files() == {"animals/other.jpg": b"other"}


def test_what_is_replaced_is_moved_aside_and_not_deleted(here, made):
    Person.objects.create_user("later")
    here.photo("animals/later.jpg", b"later")

    call_command("restore", made, over=True)

    assert [one.username for one in Person.objects.all()] == ["cora"]
    assert "animals/later.jpg" not in here.files()
    (aside,) = here.data.glob("replaced-*")
    assert (aside / "media/animals/later.jpg").read_bytes() == b"later"
    with closing(sqlite3.connect(aside / "habitats.sqlite3")) as old:
        names = old.execute("SELECT username FROM habitats_person ORDER BY username").fetchall()
    assert names == [("cora",), ("later",)]


def test_over_a_damaged_database_it_works_as_well(here, made):
    shutil.rmtree(here.media)
    connection.close()
    here.database.write_bytes(b"no database at all, but long enough to look like something" * 99)

    with pytest.raises(CommandError, match="does not answer"):
        call_command("restore", made)
    call_command("restore", made, over=True)

    assert Person.objects.get().username == "cora"


def test_where_photos_are_on_a_disk_of_their_own_nothing_is_begun(here, made, settings):
    other = Path("/dev/shm")
    if not other.is_dir() or other.stat().st_dev == here.data.stat().st_dev:
        pytest.skip("There is no second disk here.")
    settings.MEDIA_ROOT = other
    before = every_row(here.database)

    with pytest.raises(CommandError, match="is on another disk"):
        call_command("restore", made, over=True)

    assert every_row(here.database) == before


def test_while_the_server_runs_it_is_refused(here, made):
    with closing(sqlite3.connect(here.database)) as server:
        server.execute("SELECT count(*) FROM habitats_person").fetchone()

        with pytest.raises(CommandError, match="The server is still running"):
            call_command("restore", made, over=True)

    assert Person.objects.get().username == "cora"


def test_a_file_that_is_no_backup_is_refused(here, tmp_path):
    (tmp_path / "photo.zip").write_bytes(b"no archive")

    with pytest.raises(CommandError, match=r"no backup, or only a part of one\. Nothing was"):
        call_command("restore", tmp_path / "photo.zip")


def test_a_file_that_is_not_there_is_refused(here, tmp_path):
    with pytest.raises(CommandError, match="No such file"):
        call_command("restore", tmp_path / "absent.zip")


def test_half_a_backup_is_refused(here, made, settle):
    made.write_bytes(made.read_bytes()[: made.stat().st_size // 2])
    there = settle("there", is_new=False)

    with pytest.raises(CommandError, match="only a part of one"):
        call_command("restore", made)

    assert there.files() == {}


@pytest.mark.parametrize("place", [0.2, 0.5, 0.8])
def test_a_backup_with_one_wrong_byte_is_refused(made, settle, place):
    content = bytearray(made.read_bytes())
    content[int(len(content) * place)] ^= 0xFF
    made.write_bytes(content)
    there = settle("there", is_new=False)

    with pytest.raises(CommandError, match="Nothing was changed"):
        call_command("restore", made, over=True)

    assert not there.media.exists()
    assert list(there.data.glob("replaced-*")) == []


def test_a_name_that_leads_out_of_the_folder_is_refused(made, settle, tmp_path):
    changed(made, '"media/animals/pip.jpg"', '"media/../../out.jpg"')
    settle("there", is_new=False)

    with pytest.raises(CommandError, match="not what a backup holds"):
        call_command("restore", made)

    assert not (tmp_path / "out.jpg").exists()


def test_a_backup_of_a_newer_version_is_refused(made, settle):
    changed(made, '"migrations": [', '"migrations": [["habitats", "9000_of_tomorrow"],')
    settle("there", is_new=False)

    with pytest.raises(CommandError, match=r"newer version .* habitats 9000_of_tomorrow"):
        call_command("restore", made)


def test_a_backup_from_before_this_version_can_take_it_further_is_refused(made, settle):
    there = settle("there", is_new=False)
    changed(made, squashed_as_one(made), "")

    with pytest.raises(CommandError, match=r"install version .* Nothing was changed"):
        call_command("restore", made)

    assert tables_there("default") == set()
    assert not there.media.exists()


def squashed_as_one(backup: Path) -> str:
    """What a backup of the present has, and one from the middle of what was squashed has not."""
    with zipfile.ZipFile(backup) as one:
        told = one.read("backup.json").decode()
    first = told[: told.index('"0001_squashed_0012_last_changes"')].rindex("[")
    last = told[: told.index('"0012_last_changes"')].rindex("[")
    return told[first:last]


def changed(backup: Path, old: str, new: str) -> None:
    """Write the backup again with other words about what is in it."""
    with zipfile.ZipFile(backup) as one:
        held = {name: one.read(name) for name in one.namelist()}
    assert old in held["backup.json"].decode()
    held["backup.json"] = held["backup.json"].decode().replace(old, new, 1).encode()
    with zipfile.ZipFile(backup, "w") as one:
        for name, content in held.items():
            one.writestr(name, content)


def test_a_check_changes_nothing(made, settle, capsys):
    there = settle("there", is_new=False)

    call_command("restore", made, check=True)

    assert "is whole. Made " in capsys.readouterr().out
    assert [path.name for path in there.data.iterdir() if path.stat().st_size] == []


def test_only_the_database_leaves_photos_and_key(here, made):
    here.photo("animals/later.jpg", b"later")
    Person.objects.create_user("later")

    call_command("restore", made, over=True, only_database=True)

    assert Person.objects.get().username == "cora"
    assert here.files()["animals/later.jpg"] == b"later"


# --- The drill ---


class Writers:
    """Threads that write rows and photos as fast as they may, and count what was acknowledged."""

    def __init__(self, into: Installation, number: int) -> None:
        self.acknowledged = [0] * number
        self._into, self._stop = into, threading.Event()
        self._threads = [threading.Thread(target=self._write, args=[n]) for n in range(number)]

    def _write(self, number: int) -> None:
        with closing(sqlite3.connect(self._into.database, timeout=20)) as rows:
            while not self._stop.is_set():
                count = self.acknowledged[number] + 1
                self._into.photo(f"builds/{number}-{count}.jpg", f"{number} {count}".encode())
                with rows:
                    rows.execute(
                        "INSERT INTO django_session VALUES (?, ?, '2030-01-01')",
                        [f"{number}-{count:06}", f"builds/{number}-{count}.jpg"],
                    )
                self.acknowledged[number] = count

    def __enter__(self) -> "Writers":
        for one in self._threads:
            one.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        for one in self._threads:
            one.join()


def test_drill_written_under_load_backed_up_destroyed_restored(here, settle, tmp_path):
    with Writers(here, 3) as writers:
        while min(writers.acknowledged) < 40:
            time.sleep(0.01)
        before = list(writers.acknowledged)
        call_command("backup", tmp_path / "one.zip")
        after = list(writers.acknowledged)
    rows_before, files_before = every_row(here.database), here.files()
    shutil.rmtree(here.data)

    there = settle("there", is_new=False)
    call_command("restore", tmp_path / "one.zip")

    rows = kept_rows(there.database)
    held = [[key for key, *_ in rows["django_session"] if key[0] == str(n)] for n in range(3)]
    for number, keys in enumerate(held):
        # All that was acknowledged before, nothing with a hole, each as it was written.
        assert keys == [f"{number}-{count:06}" for count in range(1, len(keys) + 1)]
        assert before[number] <= len(keys) <= after[number] + 1
    assert set(rows["django_session"]) <= set(rows_before["django_session"])
    others = {name: found for name, found in rows.items() if name != "django_session"}
    assert others == {name: rows_before[name] for name in others}
    # Each photo that a row names is there, byte by byte.
    files = there.files()
    assert {photo for _key, photo, _until in rows["django_session"]} <= files.keys()
    assert files.items() <= files_before.items()
