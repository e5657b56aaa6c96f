"""The move to another database, usually from SQLite to PostgreSQL."""

from typing import Any

from django.core.management import call_command
from django.db import DatabaseError, connection, connections, transaction

from habitats.backups.models.databases import is_alone, other_database, sqlite_file
from habitats.backups.models.rows import RowFault, bring_over
from habitats.backups.models.schema import applied_to, missing_from, tables_after, tables_there


class NotMoved(Exception):
    """Nothing was changed in either database; the sentence says why."""


def move_to(description: dict[str, Any]) -> int:
    """Bring all rows to the empty database that is described; how many, compared one by one."""
    if missing_from("default"):
        raise NotMoved("The database is of an older version. Type manage.py upgrade first.")
    ours = sqlite_file()
    if ours and not is_alone(ours):
        raise NotMoved("The server is still running. Stop it first.")
    with other_database(description) as target:
        try:
            if tables_there(target):
                raise NotMoved("The other database is not empty. Make a new one for the move.")
            return _move(target)
        except RowFault as fault:
            raise NotMoved(f"The rows could not be brought over. {fault}") from None
        except DatabaseError as fault:
            told = (str(fault).strip().splitlines() or [type(fault).__name__])[0]
            raise NotMoved(f"The other database does not answer: {told}") from None


def _move(target: str) -> int:
    tables = tables_after(applied_to("default"))
    with transaction.atomic(), transaction.atomic(using=target):
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        moved = bring_over(tables, "default", target)
    # What is put in place after each migration: triggers, kinds of content.
    call_command("migrate", database=target, verbosity=0, skip_checks=True)
    connections[target].close()
    return moved
