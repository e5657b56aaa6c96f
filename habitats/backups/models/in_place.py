"""A database and its files are put in place of nothing, or of what is told to go.

What they replace is not deleted. Files are moved into a folder beside them; the rows of a
PostgreSQL go in the same transaction that brings the others, so that a fault leaves all as it was.
"""

import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from habitats.backups.models.archive import DATABASE, MEDIA
from habitats.backups.models.databases import database_in, is_alone, is_blank, sqlite_file
from habitats.backups.models.photos import OtherPhoto, send_photos
from habitats.backups.models.rows import RowFault, bring_over
from habitats.backups.models.schema import (
    Node,
    Table,
    applied_to,
    filled,
    tables_after,
    tables_there,
    unknown,
)
from habitats.common.bucket import BucketAway

BESIDE = ("-wal", "-shm", "-journal")  # what SQLite writes next to its file


class NotRestored(Exception):
    """Nothing was changed; the sentence says why."""


class DataHere(NotRestored):
    """There are data already, and nobody said that they may go."""


class Placed(NamedTuple):
    """``rows``: compared one by one; None where the database came as the file that it is.

    ``aside``: the folder that has what was here before.
    """

    rows: int | None
    aside: Path | None


def data_folder() -> Path:
    data = Path(settings.DATA_DIR)
    data.mkdir(mode=0o700, parents=True, exist_ok=True)
    return data


def refuse_data(files: Mapping[str, Path]) -> None:
    """Raise ``DataHere`` unless the database is empty, and the media folder if it is replaced."""
    if found := _what_is_here(is_media_kept=MEDIA not in files):
        raise DataHere(found)


def put_in_place(
    folder: Path,
    migrations: Sequence[Node],
    files: Mapping[str, Path],
    *,
    over: bool,
    with_photos: bool = True,
) -> Placed:
    """The database in ``folder``, which has these migrations, is ours from now on.

    ``files``: which of the folder's names replace which paths, beside the database.
    ``with_photos``: its photos go into the bucket, where ours are in one.
    """
    data = data_folder()
    if found := _elsewhere(data, [*files.values(), *filter(None, [sqlite_file()])]):
        raise NotRestored(found)
    if not over:
        refuse_data(files)
    aside = data / timezone.localtime().strftime("replaced-%Y-%m-%d-%H%M%S")
    if with_photos and not settings.MEDIA_IS_HERE:
        # First: of all that is put in place, only what lies in a bucket can fail to come there.
        _send_photos(folder / MEDIA, aside, over=over)
    rows = _database(folder / DATABASE, migrations, aside)
    for name, path in files.items():
        _move_aside(path, aside)
        if (folder / name).exists():
            os.replace(folder / name, path)
    call_command("migrate", verbosity=0, skip_checks=True)
    return Placed(rows, aside if aside.exists() else None)


def media_folder() -> dict[str, Path]:
    """The folder of photos, by its name in a backup; empty where they are in a bucket."""
    return {MEDIA: Path(settings.MEDIA_ROOT)} if settings.MEDIA_IS_HERE else {}


def _send_photos(folder: Path, aside: Path, *, over: bool) -> None:
    try:
        send_photos(folder, aside, over=over)
    except OtherPhoto as fault:
        raise DataHere(str(fault)) from None
    except BucketAway as fault:
        raise NotRestored(f"{fault}.") from None


def _elsewhere(data: Path, replaced: list[Path]) -> str:
    """What no new name can replace, being on a disk of its own, in a sentence; else empty."""
    for path in replaced:
        there = path if path.exists() else path.parent
        if there.stat().st_dev != data.stat().st_dev:
            return f"{path} is on another disk than {data}. Restore where both are on one."
    return ""


def _what_is_here(*, is_media_kept: bool) -> str:
    """What speaks against restoring, in a sentence; empty if all is empty."""
    media = Path(settings.MEDIA_ROOT)
    if not is_media_kept and media.is_dir() and any(media.iterdir()):
        return f"There are photos in {media} already."
    try:
        names = filled("default")
    except DatabaseError as fault:
        return f"There is a database here that does not answer ({fault})."
    if not names:
        return ""
    return f"There is a rescue in this database already ({len(names)} tables with rows)."


def _database(backup: Path, migrations: Sequence[Node], aside: Path) -> int | None:
    if ours := sqlite_file():
        # The tables of a backup are whole, whichever database its rows are from.
        _leave_file(ours, aside)
        os.replace(backup, ours)
        return None
    with transaction.atomic():
        _drop_tables()
        return _rows_of(backup, tables_after(migrations))


def _rows_of(backup: Path, tables: list[Table]) -> int:
    try:
        with database_in(backup) as other:
            return bring_over(tables, other, "default")
    except RowFault as fault:
        raise NotRestored(f"The rows could not be brought over. {fault}") from None


def _leave_file(ours: Path, aside: Path) -> None:
    """Move the SQLite file aside, with what was written last in it."""
    if not is_alone(ours):
        raise NotRestored("The server is still running. Stop it, then restore.")
    for beside in BESIDE:
        _move_aside(ours.with_name(ours.name + beside), aside)
    if is_blank(ours):
        ours.unlink(missing_ok=True)
    _move_aside(ours, aside)


def _drop_tables() -> None:
    """All of PostgreSQL's tables that are ours or Django's, in this transaction."""
    ours = {table._meta.db_table for table in tables_after(_known(applied_to("default")))}
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
            "AND usename = current_user AND pid <> pg_backend_pid()"
        )
        if cursor.fetchone()[0] and filled("default"):
            raise NotRestored("The server is still running. Stop it, then restore.")
        for name in sorted(ours & tables_there("default")):
            cursor.execute(f"DROP TABLE {connection.ops.quote_name(name)} CASCADE")


def _known(applied: list[tuple[str, str]]) -> list[tuple[str, str]]:
    if strange := unknown(applied):
        app, name = strange[0]
        raise NotRestored(
            f"The database here is of a newer version of the program (it has {app} {name}). "
            "Name an empty one in DATABASE_URL."
        )
    return applied


def _move_aside(path: Path, aside: Path) -> None:
    if path.exists():
        aside.mkdir(mode=0o700, exist_ok=True)
        with suppress(FileNotFoundError):
            os.replace(path, aside / path.name)
