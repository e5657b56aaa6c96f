"""A started server whose photos are in a bucket: kept, shown, copied, brought back, and away.

By night, against moto's S3 server on this machine: another hand's idea of the service's interface.
"""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.support.buckets import Bucket
from tests.support.postgresql import new_database
from tests.support.server import ROOT, bare_environment, started
from tests.support.visitors import FIRST_PERSON, Visitor, until

pytestmark = pytest.mark.nightly

AWAY = "The store of photos does not answer."
# Prints the codes of an animal and of a build.
FILL = """
from datetime import date
from habitats.animals.models.animals import Animal
from habitats.people.models.people import Person
from tests.support.builds import make_build

odile = Person.objects.get()
one = dict(name="Pip", species="guinea_pig", sex="F", came_on=date(2026, 1, 1))
print(Animal.objects.take_in(by=odile, **one).code, make_build().code)
"""


class Rescue:
    """A server over its data folder, whose photos are in the bucket."""

    def __init__(self, data: Path, environment: dict[str, str]) -> None:
        self.data, self.environment = data, environment

    def manage(self, *words: str) -> "subprocess.CompletedProcess[str]":
        told = {"HTTPS": "off", "DATA_DIR": str(self.data)}
        path = f"{self.environment.get('PYTHONPATH', '')}:{ROOT}".strip(":")
        return subprocess.run(
            [".venv/bin/python", "manage.py", *words],
            cwd=ROOT,
            env=bare_environment() | self.environment | told | {"PYTHONPATH": path},
            capture_output=True,
            text=True,
        )

    def done(self, *words: str) -> str:
        """What it says, on both streams; it has to end well."""
        found = self.manage(*words)
        assert found.returncode == 0, found.stderr
        return found.stdout + found.stderr

    def fill(self) -> list[str]:
        return self.done("shell", "-v0", "-c", FILL).split()


@pytest.fixture
def rescue(tmp_path: Path, bucket: Bucket) -> Rescue:
    return Rescue(tmp_path / "rescue", bucket.environment)


@pytest.fixture
def url(rescue: Rescue) -> Iterator[str]:
    with started(rescue.data, demo=False, **rescue.environment, **FIRST_PERSON) as running:
        yield running.url


@pytest.fixture
def visitor(url: str) -> Visitor:
    return logged_in(url)


def logged_in(url: str) -> Visitor:
    one = Visitor(url)
    one.log_in()
    return one


def send_photo(visitor: Visitor, page: str, address: str, photo: bytes) -> tuple[int, str]:
    _status, seen = visitor.get(page)
    return visitor.send(address, seen, photo=SimpleUploadedFile("pip.jpg", photo, "image/jpeg"))


def send_pip(visitor: Visitor, animal: str, photo: bytes) -> tuple[int, str]:
    return send_photo(visitor, f"/animals/{animal}/", f"/animals/{animal}/photo/keep/", photo)


def test_a_photo_is_kept_shown_replaced_and_deleted_there(rescue, visitor, bucket, photo):
    animal, build = rescue.fill()
    picture = f"/animals/{animal}/photo/"

    assert send_pip(visitor, animal, photo)[0] == 200
    (first,) = bucket.names()
    assert visitor.file(picture)[:2] == b"\xff\xd8"
    assert not list(rescue.data.glob("media/**/*.jpg"))

    assert send_pip(visitor, animal, photo)[0] == 200
    (second,) = bucket.names()
    assert second != first

    address = f"/builds/{build}/photo/"
    assert send_photo(visitor, address, address, photo)[0] == 200
    assert len(bucket.names()) == 2
    assert visitor.file(f"/builds/{build}/packet.pdf")[:5] == b"%PDF-"
    assert list((rescue.data / "prints").rglob("*.print"))

    _status, seen = visitor.get("/calendar/")
    _status, page = visitor.send("/calendar/renew/", seen)
    (feed,) = set(re.findall(r"/calendar/[\w-]+\.ics", page))
    assert visitor.file(feed).startswith(b"BEGIN:VCALENDAR")

    _status, seen = visitor.get(f"/animals/{animal}/")
    assert visitor.send(f"/animals/{animal}/photo/drop/", seen)[0] == 200
    assert second not in bucket.names()
    assert visitor.status(picture) == 404
    status, state = visitor.get("/server/")
    assert (status, "The store of photos answers." in state) == (200, True)


def test_a_bucket_that_is_away_is_told_and_nothing_is_half_saved(rescue, visitor, bucket, photo):
    animal, _build = rescue.fill()
    assert send_pip(visitor, animal, photo)[0] == 200
    (kept,) = bucket.names()
    picture = f"/animals/{animal}/photo/"

    with bucket.silent():
        refused = [send_pip(visitor, animal, photo), visitor.get(picture)]
        assert [(status, AWAY in page) for status, page in refused] == [(503, True)] * 2
        for address in ("/today/", "/homes/", f"/animals/{animal}/"):
            assert visitor.get(address)[0] == 200
        status, state = visitor.get("/server/")
        assert (status, AWAY in state) == (200, True)
        assert visitor.get("/server/health/")[0] == 200, "pages without photos go on"
        for words in (["export_archive", "x.zip"], ["backup", "x.zip", "--with-photos"]):
            words[1] = str(rescue.data / "x.zip")
            told = rescue.manage(*words)
            assert told.returncode
            assert "The bucket with the photos does not answer" in told.stderr
            assert not (rescue.data / "x.zip").exists()
        _status, seen = visitor.get(f"/animals/{animal}/")
        assert visitor.send(f"/animals/{animal}/photo/drop/", seen)[0] == 503

    until(lambda: visitor.status(picture) == 200)
    assert bucket.names() == [kept]
    until(lambda: send_pip(visitor, animal, photo)[0] == 200)
    assert len(bucket.names()) == 1

    bucket.stop()
    assert send_pip(visitor, animal, photo)[0] == 503
    bucket.start()  # and empty
    until(lambda: visitor.status(picture) == 404)


def test_all_of_it_goes_out_and_comes_back_with_its_photos(
    rescue, visitor, bucket, photo, tmp_path
):
    animal, build = rescue.fill()
    assert send_pip(visitor, animal, photo)[0] == 200
    address = f"/builds/{build}/photo/"
    assert send_photo(visitor, address, address, photo)[0] == 200
    names = bucket.names()
    picture = visitor.file(f"/animals/{animal}/photo/")
    archive, backup, bare = (str(tmp_path / f"{one}.zip") for one in ("all", "backup", "bare"))

    assert "2 photos" in rescue.done("export_archive", archive)
    assert "2 photos and the key" in rescue.done("backup", backup, "--with-photos")
    assert "not in this backup" in rescue.done("backup", bare)

    for file, words in ((archive, ["import_archive"]), (backup, ["restore"])):
        bucket.ask("bucket.objects.all().delete()")
        there = Rescue(tmp_path / words[0], rescue.environment)
        assert "2 photos" in there.done(*words, file)
        assert bucket.names() == names
    # Into a folder, from a bucket, and back again.
    here = Rescue(tmp_path / "here", {})
    here.done("restore", backup)
    assert len(list(here.data.glob("media/**/*.jpg"))) == 2
    again = str(tmp_path / "again.zip")
    assert "2 photos" in here.done("export_archive", again)
    assert "2 of the photos that the database names are missing" in Rescue(
        tmp_path / "lost", {}
    ).done("restore", bare)

    # What somebody else has under such a name stays, unless it is told to go, and then aside.
    bucket.ask(f"bucket.put_object(Key={names[0]!r}, Body=b'another')")
    over = Rescue(tmp_path / "over", rescue.environment)
    refused = over.manage("import_archive", again)
    assert refused.returncode
    assert "The bucket has another photo" in refused.stderr
    over.done("import_archive", again, "--over")
    assert [one.read_bytes() for one in over.data.glob("replaced-*/media/**/*.jpg")] == [b"another"]
    assert sorted(bucket.names()) == sorted(names)
    assert picture == visitor.file(f"/animals/{animal}/photo/")


def test_two_servers_over_one_bucket_show_the_same_photo(postgresql_url, bucket, photo, tmp_path):
    more = bucket.environment | {
        "DATABASE_URL": new_database(postgresql_url),
        "SECRET_KEY": "one for both of them, and long enough to sign",
        **FIRST_PERSON,
    }
    with (
        started(tmp_path / "one", demo=False, **more) as one,
        started(tmp_path / "two", demo=False, **more) as two,
    ):
        animal, _build = Rescue(tmp_path / "one", more).fill()
        at_one, at_two = (logged_in(server.url) for server in (one, two))

        assert send_pip(at_one, animal, photo)[0] == 200
        first = at_two.file(f"/animals/{animal}/photo/")
        assert send_pip(at_two, animal, photo)[0] == 200

        assert first == at_one.file(f"/animals/{animal}/photo/")
        assert len(bucket.names()) == 1
