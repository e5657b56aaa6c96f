"""Everything out in open formats and in again: the same rows and photos, to the last byte."""

import json
import random
import shutil
from datetime import UTC, date, datetime, timedelta
from io import BytesIO, StringIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import models

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group
from habitats.animals.models.stays import move_in
from habitats.designs.models.designs import Design
from habitats.enclosures.models.setting_up import set_up
from habitats.enclosures.models.standing import stand
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.records.models.whole.tables import SECRET_COLUMNS, in_archive
from habitats.records.models.whole.writing import write_whole
from tests.backups.conftest import Installation, every_row, say_migrated
from tests.support.designs import make_design

NOON = datetime(2027, 3, 10, 12, tzinfo=UTC)


def written() -> bytes:
    """An archive of now; of the time it is made at, all say noon."""
    target = BytesIO()
    write_whole(target, NOON)
    return target.getvalue()


def saved(folder: Path, content: bytes) -> Path:
    (folder / "whole.zip").write_bytes(content)
    return folder / "whole.zip"


def changed(folder: Path, content: bytes, name: str, change) -> Path:
    """The archive with one of its files as ``change`` makes it; None: without the file."""
    with ZipFile(BytesIO(content)) as old, ZipFile(folder / "changed.zip", "w") as new:
        for each in old.namelist():
            data = old.read(each)
            data = change(data) if each == name else data
            if data is not None:
                new.writestr(each, data)
    return folder / "changed.zip"


def lines_of(content: bytes, table: str) -> list[dict[str, object]]:
    with ZipFile(BytesIO(content)) as archive:
        return [json.loads(one) for one in archive.read(f"tables/{table}.jsonl").splitlines()]


@pytest.fixture
def filled(here) -> Installation:
    """A coordinator, a home, an animal with a photo, and texts that are hard to write."""
    cora = Person.objects.create_user("cora", roles="coordinator", password="of-cora-alone")
    Home.objects.take_on(by=cora, name='=Wren, "the\ttall"\r\n\\', notes="Grüße \u2028 🐹")
    pip = Animal.objects.take_in(
        by=cora, name="Pip", species="guinea_pig", sex="F", came_on=date(2026, 1, 1)
    )
    pip.weigh(900, date(2026, 3, 1), by=cora)
    here.photo("animals/pip.jpg", bytes(range(256)) * 99)
    Animal.objects.filter(pk=pip.pk).update(photo="animals/pip.jpg")
    return here


def test_what_goes_out_comes_in_and_goes_out_the_same(filled, settle, tmp_path):
    first = written()
    there = settle("there")

    call_command("import_archive", saved(tmp_path, first), stdout=StringIO())

    assert written() == first
    assert there.files() == filled.files()
    assert Home.objects.get().name == '=Wren, "the\ttall"\r\n\\'


def test_it_comes_into_a_folder_without_a_database_as_well(filled, settle, tmp_path):
    first = written()
    settle("there", is_new=False)

    call_command("import_archive", saved(tmp_path, first), stdout=StringIO())

    assert written() == first


def test_new_rows_are_numbered_after_those_that_came(filled, settle, tmp_path):
    first = written()
    settle("there")
    call_command("import_archive", saved(tmp_path, first), stdout=StringIO())

    last = Person.objects.order_by("-pk").first().pk

    assert Person.objects.create_user("later").pk == last + 1


def test_no_password_and_nothing_that_lets_in_goes_out(filled, settle, tmp_path):
    first = written()

    assert "password" not in lines_of(first, "habitats_person")[0]
    with ZipFile(BytesIO(first)) as archive:
        names = " ".join(archive.namelist())
        assert not any(b"pbkdf2" in archive.read(name) for name in archive.namelist())
    for word in ("session", "otp", "axes", "device", "calendarfeed", "secret_key"):
        assert word not in names
    settle("there")
    told = StringIO()
    call_command("import_archive", saved(tmp_path, first), stdout=told)
    assert not Person.objects.get().has_usable_password()
    assert "manage.py restore_access cora --new-password" in told.getvalue()


def test_over_data_it_is_refused_unless_told(filled, tmp_path):
    archive = saved(tmp_path, written())
    Person.objects.create_user("later")

    told = refused(archive)
    assert "There are photos in" in told
    assert "add --over" in told
    assert Person.objects.filter(username="later").exists()

    call_command("import_archive", archive, over=True, stdout=StringIO())
    assert [one.username for one in Person.objects.all()] == ["cora"]
    assert len(list(filled.data.glob("replaced-*/habitats.sqlite3"))) == 1


def refused(archive: Path) -> str:
    """What is said, a line a fault; nothing is changed by it."""
    told = StringIO()
    with pytest.raises(CommandError, match=r"^Nothing was changed\.$") as fault:
        call_command("import_archive", archive, stderr=told)
    assert fault.value.returncode == 2
    return told.getvalue()


FAULTS = {
    "a text for a number": (
        "habitats_weighing",
        lambda data: data.replace(b'"grams": 900', b'"grams": "much"'),
        "tables/habitats_weighing.jsonl, line 1: grams is 'much', where a whole number",
    ),
    "a day that is none": (
        "habitats_weighing",
        lambda data: data.replace(b"2026-03-01", b"2026-02-30"),
        "line 1: on is '2026-02-30', where a day as year-month-day is wanted",
    ),
    "a column that is not known": (
        "habitats_home",
        lambda data: data.replace(b'"name"', b'"nmae"'),
        'tables/habitats_home.jsonl, line 1: there is no column "nmae"',
    ),
    "a row twice": (
        "habitats_home",
        lambda data: data * 2,
        "tables/habitats_home.jsonl, line 2: the database refuses the row (UNIQUE",
    ),
    "a row of another that is missing": (
        "habitats_weighing",
        lambda data: data.replace(b'"animal_id": 1', b'"animal_id": 77'),
        "line 1: it names a row of habitats_animal that is not there",
    ),
    "what the database does not allow": (
        "habitats_person",
        lambda data: data.replace(b'"coordinator"', b'"queen"'),
        "line 1: the database refuses the row (CHECK constraint failed: person_roles_are_known",
    ),
    "a photo that leads out of its folder": (
        "habitats_animal",
        lambda data: data.replace(b'"animals/pip.jpg"', b'"../secret_key"'),
        "line 1: photo is '../secret_key', where a name of a photo is wanted",
    ),
    "a row that is missing": (
        "habitats_animal",
        lambda data: b"",
        "tables/habitats_animal.jsonl: it has 0 rows, and archive.json says 1",
    ),
    "a file that is missing": (
        "habitats_animal",
        lambda data: None,
        "tables/habitats_animal.jsonl: it is missing in the archive",
    ),
    "a line that is no JSON": (
        "habitats_home",
        lambda data: data[:-3],
        "tables/habitats_home.jsonl, line 1: Line 1, column",
    ),
}


def test_each_fault_is_one_line_with_its_place(filled, settle, tmp_path):
    first = written()
    there = settle("there")

    for table, change, line in FAULTS.values():
        told = refused(changed(tmp_path, first, f"tables/{table}.jsonl", change))
        assert line in told

    assert Home.objects.count() == 0
    assert there.files() == {}
    assert not [*there.data.glob(".half-made-*"), *there.data.glob("replaced-*")]


def test_a_photo_that_is_not_as_it_was_is_refused(filled, settle, tmp_path):
    first = written()
    settle("there")

    told = refused(changed(tmp_path, first, "media/animals/pip.jpg", lambda data: data[:-1]))

    assert "media/animals/pip.jpg is not as it was written." in told


def test_more_is_packed_in_it_than_is_read(filled, settle, tmp_path, monkeypatch):
    first = written()
    settle("there")
    monkeypatch.setattr("habitats.records.models.whole.contents.LIMIT_BYTES", 1000)

    told = refused(changed(tmp_path, first, "archive.json", lambda data: data.ljust(10_000_000)))

    assert "archive.json: The file is larger than 1" in told


def test_a_newer_version_is_named(filled, settle, tmp_path):
    def newer(data: bytes) -> bytes:
        told = json.loads(data)
        told["migrations"].append(["habitats", "9999_of_a_later_year"])
        return json.dumps(told | {"version": "7.1"}).encode()

    first = written()
    settle("there")

    told = refused(changed(tmp_path, first, "archive.json", newer))

    assert "Version 7.1 wrote it, which is newer than this one" in told


def test_what_is_no_archive_is_told_as_that(here, tmp_path):
    call_command("backup", tmp_path / "backup.zip", stdout=StringIO())

    assert "this is no whole archive" in refused(tmp_path / "backup.zip")
    assert "is no archive, or only a part" in refused(saved(tmp_path, b"PK no"))
    assert "cannot be read: No such file" in refused(tmp_path / "nowhere.zip")


def test_photos_that_are_lost_are_named_and_no_other_file_goes_out(filled):
    filled.photo("animals/of-nobody.jpg", b"left from before")
    (filled.data / "media/../key").write_text("a secret")
    for name in ("animals/lost.jpg", "../key"):
        Animal.objects.update(photo=name)
        with ZipFile(BytesIO(written())) as archive:
            told = json.loads(archive.read("archive.json"))
        assert told["lost_photos"] == [name]

    assert told["photos"] == []


def test_no_table_of_the_archive_names_a_row_that_it_leaves_out() -> None:
    every = apps.get_models(include_auto_created=True)
    there = set(in_archive(every))
    for table in there:
        for field in table._meta.local_concrete_fields:
            if field.remote_field:
                assert field.related_model in there, f"{table.__name__}.{field.name}"


# Known to let nobody in without the secret key, which the archive does not have.
HARMLESS = {("KitLink", "secret")}


def test_no_column_of_the_archive_sounds_like_a_secret() -> None:
    for table in in_archive(apps.get_models(include_auto_created=True)):
        for field in table._meta.local_concrete_fields:
            named = (table.__name__, field.name)
            is_text = isinstance(field, models.CharField | models.TextField)
            sounds = any(word in field.name for word in ("secret", "token", "passw", "code_of"))
            assert not (is_text and sounds) or named in SECRET_COLUMNS | HARMLESS, named


# --- The demo and random histories ---


@pytest.fixture
def demo_here(db, demo_made, settle) -> Installation:
    """The demo, with a small file for each photo that it names."""
    here = settle("here", is_new=False)
    shutil.copy(demo_made.file, here.database)
    say_migrated(here.database)
    return here


def test_the_demo_comes_back_the_same(demo_here, settle, tmp_path):
    first = written()
    before = every_row(demo_here.database)
    settle("there")

    call_command("import_archive", saved(tmp_path, first), stdout=StringIO())

    assert written() == first
    with ZipFile(BytesIO(first)) as archive:
        for table in json.loads(archive.read("archive.json"))["tables"]:
            name = Path(table["file"]).stem
            assert table["rows"] == len(before[name]), name


class History:
    """What people may do in a rescue, one thing after the other, by the chance of a seed."""

    def __init__(self, seed: int, here: Installation) -> None:
        self.by_chance, self.here = random.Random(seed), here
        self.day = date(2026, 1, 1)
        self.by = Person.objects.create_user(f"cora{seed}", roles="coordinator")
        design = Design.objects.draw(make_design(["##", "##"]), by=self.by)
        self.enclosures = [
            set_up(design.current, f"E{number}", by=self.by, state="standing", on=self.day)
            for number in range(4)
        ]
        self.acts = (self.home, self.animal, self.weighing, self.move, self.photo, self.stand)

    def live(self, acts: int) -> None:
        for _ in range(acts):
            self.day += timedelta(days=self.by_chance.randint(0, 3))
            self.by_chance.choice(self.acts)()

    def text(self) -> str:
        letters = "aé=+-@\"',;\\\n\r\t 🐹\u2028{}[]\u00a0"
        return "".join(self.by_chance.choices(letters, k=self.by_chance.randint(1, 30)))

    def home(self) -> None:
        Home.objects.take_on(by=self.by, name=self.text(), notes=self.text())

    def animal(self) -> None:
        species = self.by_chance.choice(["guinea_pig", "rabbit"])
        facts = {"name": self.text(), "notes": self.text(), "came_on": self.day}
        animal = Animal.objects.take_in(by=self.by, species=species, sex="F", **facts)
        Group.objects.begin(species, by=self.by).admit(animal, self.day, by=self.by)

    def weighing(self) -> None:
        if there := list(Animal.objects.order_by("pk")):
            animal = self.by_chance.choice(there)
            animal.weigh(self.by_chance.randint(500, 1500), self.day, by=self.by)

    def move(self) -> None:
        free = [one for one in self.enclosures if not one.stays.filter(until=None).exists()]
        group = Group.objects.filter(stays=None).first()
        if free and group:
            move_in(group, free[0], self.day, by=self.by)

    def photo(self) -> None:
        if animal := Animal.objects.filter(photo="").first():
            name = f"animals/{animal.pk}.jpg"
            self.here.photo(name, self.by_chance.randbytes(self.by_chance.randint(1, 5000)))
            Animal.objects.filter(pk=animal.pk).update(photo=name)

    def stand(self) -> None:
        home = Home.objects.first()
        bare = [one for one in self.enclosures if not one.standings.exists()]
        if home and bare:
            stand(bare[0], home, self.day, by=self.by)


def comes_back_the_same(seed: int, acts: int, settle, folder: Path) -> None:
    here = settle(f"here{seed}")
    History(seed, here).live(acts)
    first = written()
    there = settle(f"there{seed}")
    call_command("import_archive", saved(folder, first), stdout=StringIO())
    assert written() == first
    assert there.files() == here.files()


def test_a_random_history_comes_back_the_same(settle, tmp_path):
    comes_back_the_same(1, 60, settle, tmp_path)


@pytest.mark.nightly
def test_many_random_histories_come_back_the_same(settle, tmp_path):
    for seed in range(2, 40):
        comes_back_the_same(seed, 150, settle, tmp_path)
