"""The whole drill, as somebody would live through it: work goes on, a backup, the machine dies,
and another one takes over. By night, since it starts two servers; on both databases.
"""

import os
import shutil
import signal
import sqlite3
import subprocess
from contextlib import AbstractContextManager, closing
from pathlib import Path

import psycopg
import pytest

from tests.support.postgresql import new_database
from tests.support.server import ROOT, Server, bare_environment, started
from tests.support.visitors import Visitor, adding_homes

pytestmark = pytest.mark.nightly

PEOPLE = 4
# What Django writes after each migration, and what our program works out again.
REMADE = {"auth_permission", "django_content_type", "sqlite_sequence"}
REMADE |= {"habitats_duerow", "habitats_reading", "habitats_unhoused", "habitats_unhousedsearch"}
REMADE.add("habitats_pooldates")
# Changed by each log-in, row by row, and not only added to.
CHANGED = {"django_session", "habitats_person", "habitats_device"}


class Machine:
    """A data folder, and where rows are in PostgreSQL its address."""

    def __init__(self, data: Path, url: str = "") -> None:
        self.data, self.url = data, url
        self._database = {"DATABASE_URL": url} if url else {}

    def started(self) -> AbstractContextManager[Server]:
        return started(self.data, **self._database)

    def manage(self, *words: str) -> str:
        done = subprocess.run(
            [".venv/bin/python", "manage.py", *words],
            cwd=ROOT,
            env=bare_environment() | {"HTTPS": "off", "DATA_DIR": str(self.data)} | self._database,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def rows(self) -> dict[str, set[object]]:
        """Each table with all its rows, read without our program."""
        if self.url:
            return rows_of_postgresql(self.url)
        with closing(sqlite3.connect(self.data / "habitats.sqlite3")) as one:
            names = one.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
            return {name: {*one.execute(f'SELECT * FROM "{name}"')} for (name,) in names}

    def photos(self) -> dict[str, bytes]:
        media = self.data / "media"
        found = (path for path in media.rglob("*") if path.is_file())
        return {path.relative_to(media).as_posix(): path.read_bytes() for path in found}

    def dies(self) -> None:
        shutil.rmtree(self.data)
        if self.url:
            server, _slash, name = self.url.rpartition("/")
            with psycopg.connect(f"{server}/postgres", autocommit=True) as there:
                there.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def rows_of_postgresql(url: str) -> dict[str, set[object]]:
    with psycopg.connect(url) as there:
        # All tables as of one moment.
        there.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        names = "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
        return {
            name: {row for (row,) in there.execute(f'SELECT t::text FROM "{name}" t')}
            for (name,) in there.execute(names).fetchall()
        }


@pytest.fixture(params=["sqlite", "postgresql"])
def machines(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Machine, Machine]:
    """The one that dies, and the one that takes over."""
    folders = tmp_path / "here", tmp_path / "there"
    if request.param == "sqlite":
        return Machine(folders[0]), Machine(folders[1])
    server = request.getfixturevalue("postgresql_url")
    here, there = (Machine(folder, new_database(server)) for folder in folders)
    return here, there


def test_a_server_that_died_goes_on_elsewhere_with_all_that_was_backed_up(machines, tmp_path):
    (here, there), backup = machines, tmp_path / "one.zip"
    with here.started() as server:
        (here.data / "media/animals").mkdir(parents=True)
        shutil.copy(ROOT / "static/pictures/board.png", here.data / "media/animals/a.png")
        with adding_homes(server.url, PEOPLE) as done:
            done.wait_for(20)
            before, told_before = here.rows(), [*done.told]
            told = here.manage("backup", str(backup))
            meanwhile = len(done.told) - len(told_before)
        assert "checked" in told
        assert meanwhile > 0, "nobody wrote while it was taken"
        assert not done.refused
        photos = here.photos()
        os.killpg(server.process.pid, signal.SIGKILL)
        server.process.wait(timeout=30)
    after = here.rows()
    here.dies()

    assert "Restored." in there.manage("restore", str(backup))

    restored = there.rows()
    assert restored.keys() == before.keys()
    for name in restored.keys() - REMADE - CHANGED:
        # What was there before is there, and nothing that was not there at the end.
        assert before[name] <= restored[name] <= after[name], name
    assert all(any(one in str(row) for row in restored["habitats_home"]) for one in told_before)
    assert there.photos() == photos
    with there.started() as server:
        visitor = Visitor(server.url)
        assert "Today" in visitor.log_in()
        # It numbers on after what was restored.
        assert visitor.add_home("Home after the fire")[0] == 200
    assert len(there.rows()["habitats_home"]) == len(restored["habitats_home"]) + 1
