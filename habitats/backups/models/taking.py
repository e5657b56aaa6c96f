"""A backup is taken: written beside, read again, then named; old ones go by the rule."""

import sqlite3
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
from habitats.backups.models.half_made import half_made
from habitats.backups.models.keep_rule import kept
from habitats.backups.models.photos import photo_file, photos_in
from habitats.backups.models.record import record_failed, record_good
from habitats.backups.models.rows import RowFault
from habitats.backups.models.schema import Table, applied_to
from habitats.backups.models.snapshot import Damaged, snapshot

# Of the same second there is one; moments are those of the rescue's clock on the wall.
NAME = "habitats-%Y-%m-%d-%H%M%S.zip"


class NoBackup(Exception):
    """There is no backup; the sentence says why."""


class Backup(NamedTuple):
    """``lost``: photos that rows name and that are in no file, so the backup lacks them as well.

    ``has_photos``: False where they are in a bucket, and were not asked for.
    """

    file: Path
    contents: Contents
    bytes: int
    lost: list[str]
    has_photos: bool


def file_name(now: datetime) -> str:
    return timezone.localtime(now).strftime(NAME)


def take(target: Path, *, from_bucket: bool = False) -> Backup:
    """Write the backup; a half one never carries the name of a whole one.

    ``from_bucket``: with the photos, also where they are in a bucket.
    """
    has_photos = settings.MEDIA_IS_HERE or from_bucket
    try:
        done = _take(target, has_photos=has_photos)
    except (OSError, Damaged, BadBackup, RowFault, DatabaseError, sqlite3.Error) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        record_failed(why)
        raise NoBackup(f"No backup was made: {why.rstrip('.')}.") from fault
    record_good(done.contents.made_at, target.resolve())
    return done


def _take(target: Path, *, has_photos: bool) -> Backup:
    with half_made(target.parent) as folder:
        database, unfinished = folder / "database", folder / target.name
        made_at, migrations = timezone.now(), applied_to("default")
        tables = snapshot(database)
        named = _named(tables, database) if has_photos else set()
        # After the database: a photo that is newer than its copy does no harm.
        found = photos_in(Path(settings.MEDIA_ROOT)) if settings.MEDIA_IS_HERE else sorted(named)
        contents = write_archive(
            unfinished,
            database,
            ((name, photo_file(name)) for name in found),
            settings.SECRET_KEY,
            contents=Contents(made_at, connection.vendor, migrations, []),
        )
        if verify(unfinished) != contents:
            raise BadBackup("What was written is not what was read.")
        lost = sorted({f"{MEDIA}/{one}" for one in named} - {one.name for one in contents.photos})
        unfinished.rename(target)
    return Backup(target, contents, target.stat().st_size, lost, has_photos)


def _named(tables: list[Table], database: Path) -> set[str]:
    """The photos that rows name."""
    found = set()
    with closing(sqlite3.connect(database)) as rows:
        for table in tables:
            for field in table._meta.local_concrete_fields:
                if isinstance(field, models.FileField):
                    name = table._meta.db_table
                    sql = f'SELECT DISTINCT "{field.column}" FROM "{name}"'  # nosec B608 # ours
                    found |= {name for (name,) in rows.execute(sql) if name}
    return found


def remove_old(folder: Path, made: Path) -> list[Path]:
    """Delete what the rule does not keep, of the files that carry a name of ours.

    Never the one that was just ``made``. Those of days to come are counted apart: a clock was
    wrong when they were made, and they take no place of those that have the right days.
    """
    now = timezone.localtime().replace(tzinfo=None)
    moments = {}
    for path in folder.glob("habitats-*.zip"):
        try:
            moments[datetime.strptime(path.name, NAME)] = path
        except ValueError:
            continue  # somebody else's
    stays = kept({one for one in moments if one <= now}) | kept(
        {one for one in moments if one > now}
    )
    gone = [
        path for moment, path in sorted(moments.items()) if moment not in stays and path != made
    ]
    for path in gone:
        path.unlink(missing_ok=True)
    return gone
