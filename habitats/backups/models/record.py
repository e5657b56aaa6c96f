"""What became of the last backups: a file in DATA_DIR, so that it outlives the database.

It is there before a migration, beside a database that does not answer, and for several servers
that share the folder.
"""

import json
import os
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from django.conf import settings

NAME = "backups.json"
# Two nights without one: the timer does not run, or its disk is full.
TOO_OLD = timedelta(days=2)


class Record(NamedTuple):
    """``good_at``: the moment that the last good backup holds. ``failed``: why a later one failed.

    None and empty where there is nothing to say.
    """

    good_at: datetime | None = None
    file: str = ""
    failed: str = ""

    def is_too_old(self, now: datetime) -> bool:
        """Also where it is of a day to come: a clock was wrong, so nobody knows how old it is."""
        return self.good_at is None or abs(now - self.good_at) > TOO_OLD


def record() -> Record:
    """What is written there; nothing, where the file is missing or cannot be read."""
    try:
        told = json.loads(_path().read_text())
        moment = told["good_at"]
        return Record(
            datetime.fromisoformat(moment) if moment else None,
            str(told["file"]),
            str(told["failed"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return Record()


def record_good(made_at: datetime, file: Path) -> None:
    # It is good all the same; its age then tells of a disk that is full.
    with suppress(OSError):
        _write(Record(made_at, str(file)))


def record_failed(why: str) -> None:
    # On a full disk not even this can be written; the age of the last good one tells it then.
    with suppress(OSError):
        _write(record()._replace(failed=why))


def _write(what: Record) -> None:
    told = what._asdict() | {"good_at": what.good_at and what.good_at.isoformat()}
    beside = _path().with_suffix(".part")
    flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
    with os.fdopen(os.open(beside, flags, 0o600), "w") as file:
        json.dump(told, file, indent=1)
    os.replace(beside, _path())


def _path() -> Path:
    return Path(settings.DATA_DIR) / NAME
