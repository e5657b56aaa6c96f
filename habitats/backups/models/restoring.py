"""A backup is brought back: checked first, then put in place of nothing, or of what is told to go.

What it replaces is not deleted. Files are moved into a folder beside them; the rows of a
PostgreSQL go in the same transaction that brings the others, so that a fault leaves all as it was.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.utils import timezone

from habitats.backups.models.archive import (
    DATABASE,
    KEY,
    MEDIA,
    BadBackup,
    Contents,
    extract,
    opened,
)
from habitats.backups.models.databases import database_in, is_alone, is_blank, sqlite_file
from habitats.backups.models.record import record_good
from habitats.backups.models.rows import RowFault, bring_over
from habitats.backups.models.schema import (
    Table,
    applied_to,
    filled,
    tables_after,
    tables_there,
    unknown,
)
from habitats.backups.models.snapshot import fault_of
from habitats.older import too_old_with

BESIDE = ("-wal", "-shm", "-journal")  # what SQLite writes next to its file


class NotRestored(Exception):
    """Nothing was changed; the sentence says why."""


class DataHere(NotRestored):
    """There are data already, and nobody said that they may go."""


class Restored(NamedTuple):
    """``rows``: compared one by one; None where the database came as the file that it is.

    ``aside``: the folder that has what was here before.
    """

    contents: Contents
    rows: int | None
    aside: Path | None
    has_other_key: bool


def checked(file: Path) -> Contents:
    """What is in the backup, after every byte of it was read."""
    with _unpacked(file, _data_folder()) as (_folder, contents):
        return contents


def restore(file: Path, *, over: bool = False, only_database: bool = False) -> Restored:
    """Put the backup in place; the program brings its tables to today's version afterwards."""
    data = _data_folder()
    with _unpacked(file, data) as (folder, contents):
        replaced = [] if only_database else [Path(settings.MEDIA_ROOT)]
        if found := _elsewhere(data, [*replaced, *filter(None, [sqlite_file()])]):
            raise NotRestored(found)
        if not over and (found := _what_is_here(only_database)):
            raise DataHere(found)
        aside = data / timezone.localtime().strftime("replaced-%Y-%m-%d-%H%M%S")
        rows = _database(folder / DATABASE, contents, aside)
        if not only_database:
            _move_aside(Path(settings.MEDIA_ROOT), aside)
            if (folder / MEDIA).exists():
                os.replace(folder / MEDIA, settings.MEDIA_ROOT)
            _move_aside(data / KEY, aside)
            os.replace(folder / KEY, data / KEY)
    call_command("migrate", verbosity=0, skip_checks=True)
    record_good(contents.made_at, file.resolve())
    has_other_key = not only_database and _uses_another_key((data / KEY).read_text())
    return Restored(contents, rows, aside if aside.exists() else None, has_other_key)


def _uses_another_key(restored: str) -> bool:
    """Whether the environment says a key, and it is not the backup's."""
    is_said = os.environ.get("SECRET_KEY") or os.environ.get("SECRET_KEY_FILE")
    return bool(is_said) and restored.strip() != settings.SECRET_KEY


def _data_folder() -> Path:
    data = Path(settings.DATA_DIR)
    data.mkdir(mode=0o700, parents=True, exist_ok=True)
    return data


@contextmanager
def _unpacked(file: Path, data: Path) -> Iterator[tuple[Path, Contents]]:
    """A folder with all of the backup, each file as it was written and the database whole.

    On the disk of the data, so that putting it in place is a new name and nothing else.
    """
    with ExitStack() as stack:
        archive, contents = stack.enter_context(opened(file))
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(dir=data, prefix=".new-")))
        for entry in contents.entries:
            extract(archive, entry, folder / entry.name)
        if fault := fault_of(folder / DATABASE):
            raise BadBackup(f"The database in it is damaged: {fault}")
        if strange := unknown(contents.migrations):
            app, name = strange[0]
            raise BadBackup(
                f"A newer version of the program wrote this backup (it has {app} {name}). "
                "Install that version, then restore."
            )
        if fault := too_old_with(contents.migrations):
            raise BadBackup(fault)
        yield folder, contents


def _elsewhere(data: Path, replaced: list[Path]) -> str:
    """What no new name can replace, being on a disk of its own, in a sentence; else empty."""
    for path in replaced:
        there = path if path.exists() else path.parent
        if there.stat().st_dev != data.stat().st_dev:
            return f"{path} is on another disk than {data}. Restore where both are on one."
    return ""


def _what_is_here(only_database: bool) -> str:
    """What speaks against restoring, in a sentence; empty if all is empty."""
    media = Path(settings.MEDIA_ROOT)
    if not only_database and media.is_dir() and any(media.iterdir()):
        return f"There are photos in {media} already."
    try:
        names = filled("default")
    except DatabaseError as fault:
        return f"There is a database here that does not answer ({fault})."
    if not names:
        return ""
    return f"There is a rescue in this database already ({len(names)} tables with rows)."


def _database(backup: Path, contents: Contents, aside: Path) -> int | None:
    if ours := sqlite_file():
        # The tables of a backup are whole, whichever database its rows are from.
        _leave_file(ours, aside)
        os.replace(backup, ours)
        return None
    with transaction.atomic():
        _drop_tables()
        return _rows_of(backup, tables_after(contents.migrations))


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
