"""What a backup holds, when it counts, and which are deleted."""

import json
import sqlite3
import zipfile
from contextlib import closing
from datetime import date, datetime, timedelta

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.backups.models import taking
from habitats.backups.models.archive import verify
from habitats.backups.models.record import record
from habitats.people.models.people import Person
from tests.backups.conftest import KEY, every_row


def test_it_holds_the_database_the_photos_and_the_key(here, tmp_path):
    Person.objects.create_user("cora", roles="coordinator")
    here.photo("animals/pip.jpg", b"a photo")

    call_command("backup", tmp_path / "one.zip")

    with zipfile.ZipFile(tmp_path / "one.zip") as one:
        one.extractall(tmp_path / "out")
    assert (tmp_path / "out/secret_key").read_text() == KEY
    assert (tmp_path / "out/media/animals/pip.jpg").read_bytes() == b"a photo"
    assert every_row(tmp_path / "out/database.sqlite3") == every_row(here.database)


def test_its_owner_alone_may_read_it(here, tmp_path):
    call_command("backup")
    call_command("backup", tmp_path / "one.zip")

    (made,) = (here.data / "backups").iterdir()
    assert made.stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "one.zip").stat().st_mode & 0o777 == 0o600
    assert (here.data / "backups").stat().st_mode & 0o777 == 0o700


def test_nothing_else_stays_beside_it(here, tmp_path):
    (tmp_path / "disk").mkdir()

    call_command("backup", tmp_path / "disk" / "one.zip")

    assert [path.name for path in (tmp_path / "disk").iterdir()] == ["one.zip"]


def test_it_does_not_write_over_a_file(here, tmp_path):
    (tmp_path / "old").write_text("an older backup")

    with pytest.raises(CommandError, match="exists already"):
        call_command("backup", tmp_path / "old")

    assert (tmp_path / "old").read_text() == "an older backup"


def test_into_no_folder_is_refused(here, tmp_path):
    with pytest.raises(CommandError, match="There is no folder"):
        call_command("backup", tmp_path / "absent" / "one.zip")


def test_photos_that_are_in_a_bucket_are_told_as_not_backed_up(here, settings, tmp_path, capsys):
    settings.MEDIA_IS_HERE = False

    call_command("backup", tmp_path / "one.zip")

    assert "the photos are in a bucket" in capsys.readouterr().err


def test_a_photo_that_is_missing_is_told(here, tmp_path, capsys):
    here.photo("animals/pip.jpg", b"a photo")
    cora = Person.objects.create_user("cora")
    arrived = {"name": "Pip", "species": "guinea_pig", "came_on": date(2026, 1, 1)}
    pip = Animal.objects.take_in(by=cora, **arrived)
    Animal.objects.filter(pk=pip.pk).update(photo="animals/lost.jpg")

    call_command("backup", tmp_path / "one.zip")

    assert "1 of the photos that the database names are in no file" in capsys.readouterr().err


def test_a_good_one_is_on_record(here, tmp_path):
    call_command("backup", tmp_path / "one.zip")

    assert record().file == str(tmp_path / "one.zip")
    assert record().good_at is not None
    assert record().failed == ""


def test_a_damaged_database_makes_no_backup_and_is_on_record(here, tmp_path):
    call_command("backup", tmp_path / "one.zip")
    with closing(sqlite3.connect(here.database)) as rows, rows:
        rows.execute("PRAGMA foreign_keys=OFF")
        rows.execute("INSERT INTO habitats_person_groups (person_id, group_id) VALUES (77, 78)")

    with pytest.raises(CommandError, match="names a row of"):
        call_command("backup", tmp_path / "two.zip")

    assert not (tmp_path / "two.zip").exists()
    assert record().file == str(tmp_path / "one.zip")
    assert "names a row of" in record().failed


def test_what_is_read_back_otherwise_than_it_was_written_is_no_backup(here, tmp_path, monkeypatch):
    monkeypatch.setattr(taking, "verify", lambda path: truncated(path))

    with pytest.raises(CommandError, match="No backup was made"):
        call_command("backup", tmp_path / "one.zip")

    assert list(tmp_path.glob("*.zip")) == []


def truncated(path):
    """As a full disk would leave it."""
    path.write_bytes(path.read_bytes()[:-400])
    return verify(path)


def test_a_full_disk_is_told_although_not_even_that_can_be_written_down(
    here, tmp_path, monkeypatch
):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(taking, "snapshot", full)
    monkeypatch.setattr("habitats.backups.models.record._write", full)

    with pytest.raises(CommandError, match="No backup was made: No space left on device"):
        call_command("backup", tmp_path / "one.zip")


def test_a_good_backup_counts_although_nothing_can_be_written_down(here, tmp_path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("habitats.backups.models.record._write", full)

    call_command("backup", tmp_path / "one.zip")

    assert verify(tmp_path / "one.zip").made_at


def test_old_ones_are_deleted_by_the_rule_and_other_files_stay(here):
    folder = here.data / "backups"
    folder.mkdir()
    others = ["habitats-of-marek.zip", "notes.txt"]
    for name in [*others, "habitats-2025-01-01-031500.zip", "habitats-2025-01-01-041500.zip"]:
        (folder / name).touch()

    call_command("backup")

    there = sorted(path.name for path in folder.iterdir())
    assert "habitats-2025-01-01-031500.zip" not in there
    assert {*others, "habitats-2025-01-01-041500.zip"} < set(there)
    assert len(there) == 4


def test_one_that_is_made_after_the_clock_was_set_back_stays(here, clock):
    """By the rule alone it would go at once: the other of that day looks newer."""
    clock(minutes=1)
    call_command("backup")
    clock()

    call_command("backup")

    assert len([*(here.data / "backups").iterdir()]) == 2
    clock(days=1)
    call_command("backup")
    assert len([*(here.data / "backups").iterdir()]) == 2, "the rule goes on as ever"


def test_nights_under_a_clock_ahead_take_no_place_of_others(here):
    today = timezone.localdate()
    folder = here.data / "backups"
    folder.mkdir()
    real = [today - timedelta(days=back) for back in range(1, 7)]
    wrong = [today + timedelta(days=400 + ahead) for ahead in range(30)]
    for day in (*real, *wrong):
        (folder / f"habitats-{day}-031500.zip").touch()

    call_command("backup")

    there = {path.name for path in folder.iterdir()}
    assert {f"habitats-{day}-031500.zip" for day in real} < there
    assert len(there) < len(real) + len(wrong), "nor do they stay for ever, night by night"


def test_it_says_what_is_in_it(here, tmp_path):
    here.photo("builds/one.png", b"12345")

    call_command("backup", tmp_path / "one.zip")

    with zipfile.ZipFile(tmp_path / "one.zip") as one:
        told = json.loads(one.read("backup.json"))
    assert told["database"] == "sqlite"
    assert datetime.fromisoformat(told["made_at"]).tzinfo is not None
    assert ["media/builds/one.png", 5] in [[file["name"], file["bytes"]] for file in told["files"]]
