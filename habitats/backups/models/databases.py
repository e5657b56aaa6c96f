"""A second database for a while, beside the one of the settings."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from django.db import connections

from habitats.environment import SQLITE

OTHER = "other"


@contextmanager
def database_in(file: Path) -> Iterator[str]:
    """The alias under which the SQLite file is asked."""
    options = {"transaction_mode": "IMMEDIATE"}
    with other_database({"ENGINE": SQLITE, "NAME": str(file), "OPTIONS": options}) as alias:
        yield alias


@contextmanager
def other_database(description: dict[str, Any]) -> Iterator[str]:
    """The alias of the database that is described as in Django's settings."""
    usual = {"USER": "", "PASSWORD": "", "HOST": "", "PORT": "", "OPTIONS": {}}  # nosec B105 # none
    kept = {**connections.settings["default"], **usual, **description, "CONN_MAX_AGE": 0}
    connections.settings[OTHER] = kept
    try:
        yield OTHER
    finally:
        connections[OTHER].close()
        del connections[OTHER]
        del connections.settings[OTHER]


def sqlite_file() -> Path | None:
    """The file of our database; None: it is no SQLite."""
    ours = connections["default"]
    return Path(ours.settings_dict["NAME"]) if ours.vendor == "sqlite" else None


def is_alone(file: Path) -> bool:
    """Whether nobody else has the SQLite file open; what was written last is then in it."""
    connections["default"].close()
    try:
        with closing(sqlite3.connect(file, timeout=2)) as rows:
            # Only who is alone with a database may do this.
            rows.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.OperationalError as fault:
        return "locked" not in str(fault)
    except sqlite3.DatabaseError:
        pass  # damaged, which is why somebody restores
    return True


def is_blank(file: Path) -> bool:
    """Whether the SQLite file has no table yet."""
    try:
        with closing(sqlite3.connect(file)) as rows:
            return rows.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,)
    except sqlite3.DatabaseError:
        return False
