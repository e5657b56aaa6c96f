"""Many people write at once to a started server, and its processes are killed (kill -9) amid it.

By night, on both databases: what the server told of is there, once.
"""

import os
import random
import signal
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing
from pathlib import Path

import psycopg
import pytest

from tests.support.postgresql import new_database
from tests.support.server import Server, started
from tests.support.visitors import FIRST_PERSON, adding_homes, until

pytestmark = pytest.mark.nightly

WRITERS, EACH = 16, 20
MASTERS, WORKERS, WRITES = 2, 4, 100
NAMES = "SELECT name FROM habitats_home"


class Rescue:
    """An empty one; ``url`` is that of its PostgreSQL."""

    def __init__(self, data: Path, url: str | None) -> None:
        self.data, self.url = data, url

    def started(self) -> AbstractContextManager[Server]:
        database = {"DATABASE_URL": self.url} if self.url else {}
        return started(self.data, demo=False, **FIRST_PERSON, **database)

    def homes(self) -> list[str]:
        if self.url:
            with psycopg.connect(self.url) as there:
                return [name for (name,) in there.execute(NAMES).fetchall()]
        with closing(sqlite3.connect(self.data / "habitats.sqlite3")) as here:
            assert here.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            return [name for (name,) in here.execute(NAMES).fetchall()]


@pytest.fixture(params=["sqlite", "postgresql"])
def rescue(request: pytest.FixtureRequest, tmp_path: Path) -> Rescue:
    if request.param == "sqlite":
        return Rescue(tmp_path / "rescue", None)
    url = new_database(request.getfixturevalue("postgresql_url"))
    return Rescue(tmp_path / "rescue", url)


def test_of_sixteen_who_write_at_once_nobody_is_refused_and_nothing_is_lost(rescue):
    with rescue.started() as server:
        with adding_homes(server.url, WRITERS) as done:
            done.wait_for(WRITERS * EACH)
        log = server.log

    assert not done.refused
    assert not done.cut_off
    assert sorted(rescue.homes()) == sorted(done.told)
    assert "locked" not in log
    assert "Traceback" not in log


def test_of_a_thousand_writes_none_is_lost_when_workers_and_masters_are_killed(rescue):
    by_chance, told, cut_off = random.Random(1), [], []
    for number in range(MASTERS):
        with rescue.started() as server:
            with adding_homes(server.url, 6, mark=f"{number}-") as done:
                for _ in range(WORKERS):
                    done.wait_for(WRITES + by_chance.randint(0, 20))
                    os.kill(by_chance.choice(workers_of(server)), signal.SIGKILL)
                done.wait_for(WRITES)
                os.kill(master_of(server), signal.SIGKILL)
            until(lambda: not processes_of(server))
        assert not done.refused
        told += done.told
        cut_off += done.cut_off

    kept = rescue.homes()

    assert len(told) >= MASTERS * (WORKERS + 1) * WRITES
    assert len(kept) == len(set(kept)), "nothing is there twice"
    assert set(told) <= set(kept)
    # What nobody was told of may be there, whole, or not.
    assert set(kept) <= {*told, *cut_off}
    with rescue.started():
        pass


# --- Processes of a server: make, its shell, gunicorn's master and the workers ---


def processes_of(server: Server) -> dict[int, int]:
    """Each with that which started it."""
    return dict(_in_group(server.process.pid))


def _in_group(group: int) -> Iterator[tuple[int, int]]:
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, parent, its_group = path.read_text().rpartition(")")[2].split()[:3]
        except OSError:
            continue  # it ended meanwhile
        if int(its_group) == group and state != "Z":
            yield int(path.parent.name), int(parent)


def master_of(server: Server) -> int:
    """It is the one that has children, and is no make."""
    found = processes_of(server)
    (master,) = {parent for parent in found.values() if parent in found} - {server.process.pid}
    return master


def workers_of(server: Server) -> list[int]:
    """Once there are as many as ever."""
    found: list[int] = []

    def are_there() -> bool:
        master = master_of(server)
        found[:] = [pid for pid, parent in processes_of(server).items() if parent == master]
        return len(found) > 1

    until(are_there)
    return found
