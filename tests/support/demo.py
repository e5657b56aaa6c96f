"""The demo, brought in once for all processes of tests: a database file that each test may change.

What a test changes there is rolled back, as in the usual database of tests. On PostgreSQL the tests
that ask for it are skipped: each would bring it in by itself.
"""

import fcntl
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from io import StringIO
from pathlib import Path
from typing import NamedTuple

import pytest

NAME, TOLD, LOCK = "demo.sqlite3", "demo.txt", "demo.lock"


class Demo(NamedTuple):
    """``told``: what the command said when it was brought in."""

    file: Path
    told: str


@contextmanager
def other_database(file: Path) -> Iterator[None]:
    """This thread asks that file; the usual connection waits, with all that is open on it."""
    from django.db import DEFAULT_DB_ALIAS, connections

    usual = connections[DEFAULT_DB_ALIAS]
    other = connections.create_connection(DEFAULT_DB_ALIAS)
    other.settings_dict = usual.settings_dict | {"NAME": str(file)}
    connections[DEFAULT_DB_ALIAS] = other
    try:
        yield
    finally:
        connections[DEFAULT_DB_ALIAS] = usual
        other.close()


@contextmanager
def taken_back() -> Iterator[None]:
    """Whatever is written is rolled back at the end."""
    from django.db import transaction

    atomic = transaction.atomic()
    # As Django's own tests say it, so that durable transactions may begin inside.
    atomic._from_testcase = True
    with atomic:
        yield
        transaction.set_rollback(True)


@pytest.fixture(scope="session")
def demo_made(django_db_setup, django_db_blocker, tmp_path_factory) -> Demo:
    """Today's demo with what is due in it worked out; made by the first process that asks.

    Each process has a copy, since a test holds it for writing as long as it lasts.
    """
    from django.db import connection

    if connection.vendor != "sqlite":
        pytest.skip("the demo is made once for all tests, as a file of SQLite")
    own = tmp_path_factory.mktemp("demo") / NAME
    folder = tmp_path_factory.getbasetemp()
    folder = folder.parent if os.environ.get("PYTEST_XDIST_WORKER") else folder
    with (folder / LOCK).open("w") as lock, django_db_blocker.unblock():
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / TOLD).exists():
            (folder / NAME).unlink(missing_ok=True)
            told = _make(folder / NAME)
            (folder / TOLD).write_text(told)
    shutil.copy(folder / NAME, own)
    return Demo(own, (folder / TOLD).read_text())


def _make(file: Path) -> str:
    from django.core.management import call_command
    from django.db import connection

    connection.ensure_connection()
    with closing(sqlite3.connect(file)) as empty:
        connection.connection.backup(empty)
    told = StringIO()
    with other_database(file):
        call_command("demo", stdout=told)
        call_command("read_enclosures", stdout=StringIO())
    return told.getvalue()


@pytest.fixture
def demo(db, demo_made) -> Iterator[Demo]:
    """The demo's database instead of the usual one."""
    with other_database(demo_made.file), taken_back():
        yield demo_made
