"""A backup is taken: written beside, read again, then named; old ones go by the rule."""

import sqlite3
import tempfile
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from django.conf import settings
from django.db import DatabaseError, connection, models
from django.utils import timezone

from habitats.backups.models.archive import (
    MEDIA,
    BadBackup,
    Contents,
    verify,
    write_archive,
)
from habitats.backups.models.keep_rule import kept
from habitats.backups.models.record import record_failed, record_good
from habitats.backups.models.rows import RowFault
from habitats.backups.models.schema import Table, applied_to
from habitats.backups.models.snapshot import Damaged, snapshot

# Of the same second there is one; moments are those of the rescue's clock on the wall.
NAME = "habitats-%Y-%m-%d-%H%M%S.zip"


class NoBackup(Exception):
    """There is no backup; the sentence says why."""


class Backup(NamedTuple):
    """``lost``: photos that rows name and that are in no file, so the backup lacks them as well."""

    file: Path
    contents: Contents
    bytes: int
    lost: list[str]


def file_name(now: datetime) -> str:
    return timezone.localtime(now).strftime(NAME)


def take(target: Path) -> Backup:
    """Write the backup; a half one never carries the name of a whole one."""
    try:
        done = _take(target)
    except (OSError, Damaged, BadBackup, RowFault, DatabaseError, sqlite3.Error) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        record_failed(why)
        raise NoBackup(f"No backup was made: {why.rstrip('.')}.") from fault
    record_good(done.contents.made_at, target.resolve())
    return done


def _take(target: Path) -> Backup:
    media = Path(settings.MEDIA_ROOT)
    with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
        database, unfinished = Path(folder) / "database", Path(folder) / target.name
        made_at, migrations = timezone.now(), applied_to("default")
        tables = snapshot(database)
        # After the database: a photo that is newer than its copy does no harm.
        contents = write_archive(
            unfinished,
            database,
            media,
            settings.SECRET_KEY,
            contents=Contents(made_at, connection.vendor, migrations, []),
        )
        if verify(unfinished) != contents:
            raise BadBackup("What was written is not what was read.")
        named = _named(tables, database) if settings.MEDIA_IS_HERE else set()
        lost = sorted(named - {one.name for one in contents.photos})
        unfinished.rename(target)
    return Backup(target, contents, target.stat().st_size, lost)


def _named(tables: list[Table], database: Path) -> set[str]:
    """The photos that rows name, as they are called in a backup."""
    found = set()
    with closing(sqlite3.connect(database)) as rows:
        for table in tables:
            for field in table._meta.local_concrete_fields:
                if isinstance(field, models.FileField):
                    name = table._meta.db_table
                    sql = f'SELECT DISTINCT "{field.column}" FROM "{name}"'  # nosec B608 # ours
                    found |= {f"{MEDIA}/{name}" for (name,) in rows.execute(sql) if name}
    return found


def remove_old(folder: Path, made: Path) -> list[Path]:
    """Delete what the rule does not keep, of the files that carry a name of ours.

    Never the one that was just ``made``: after a clock was set back, others look newer.
    """
    moments = {}
    for path in folder.glob("habitats-*.zip"):
        try:
            moments[datetime.strptime(path.name, NAME)] = path
        except ValueError:
            continue  # somebody else's
    stays = kept(moments)
    gone = [
        path for moment, path in sorted(moments.items()) if moment not in stays and path != made
    ]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone
