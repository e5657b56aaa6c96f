"""Copy the SQLite database to a file while the server goes on."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection


class Command(BaseCommand):
    help = (
        "Copy the SQLite database to FILE, consistent, while the server goes on. Photos and the "
        "secret key are not in it: copy media and secret_key from DATA_DIR beside it."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="where to; must not be there yet")

    def handle(self, *args: Any, **options: Any) -> None:
        target: Path = options["file"]
        if connection.vendor != "sqlite":
            raise CommandError("This database is not SQLite. Use pg_dump for PostgreSQL.")
        if target.exists():
            raise CommandError(
                f"{target} is there already. Name a new file, or move that one away."
            )
        if not target.parent.is_dir():
            raise CommandError(f"There is no folder {target.parent}. Make it first.")
        _copy(target)
        self.stdout.write(f"{target}: {target.stat().st_size:,} bytes.")


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
