"""Copy the SQLite database to a file while the server goes on."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection
from django.template.defaultfilters import filesizeformat


class Command(BaseCommand):
    help = (
        "Copy the SQLite database to FILE while the server runs. Photos and the secret key are not "
        "included: copy media and secret_key from DATA_DIR as well."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the copy; it must not exist yet")

    def handle(self, *args: Any, **options: Any) -> None:
        target: Path = options["file"]
        if connection.vendor != "sqlite":
            raise CommandError("This database is not SQLite. Use pg_dump for PostgreSQL.")
        if target.exists():
            raise CommandError(
                f"{target} exists already. Name a new file, or move the existing one."
            )
        if not target.parent.is_dir():
            raise CommandError(f"There is no folder {target.parent}. Create it first.")
        _copy(target)
        self.stdout.write(f"{target}: {filesizeformat(target.stat().st_size)}.")


def _copy(target: Path) -> None:
    """In one step: many small ones begin again at each write of the server, perhaps for ever.

    Written beside and then renamed, so that a half backup never carries the name of a whole one.
    """
    connection.ensure_connection()
    unfinished = target.with_name(target.name + ".part")
    try:
        with closing(sqlite3.connect(unfinished)) as copy:
            connection.connection.backup(copy, pages=-1)
        unfinished.rename(target)
    finally:
        unfinished.unlink(missing_ok=True)
