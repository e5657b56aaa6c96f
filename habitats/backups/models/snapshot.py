"""The database at one moment, as a SQLite file, while the server goes on writing."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.db import connection, transaction

from habitats.backups.models.databases import database_in
from habitats.backups.models.rows import copy_rows
from habitats.backups.models.schema import Table, applied_to, make_tables, tables_after


class Damaged(Exception):
    """The database is not whole; the sentence says what SQLite found."""


def snapshot(target: Path) -> list[Table]:
    """Write the database to ``target``, which must not exist yet; gives the tables in it."""
    tables = tables_after(applied_to("default"))
    if connection.vendor == "sqlite":
        _copy_file(target)
    else:
        _copy_tables(tables, target)
    with closing(sqlite3.connect(target)) as copy:
        # One file, without another one for what was written last.
        copy.execute("PRAGMA journal_mode=DELETE")
    if fault := fault_of(target):
        raise Damaged(fault)
    return tables


def _copy_file(target: Path) -> None:
    """In one step: many small ones begin again at each write of the server, perhaps for ever."""
    connection.ensure_connection()
    with closing(sqlite3.connect(target)) as copy:
        connection.connection.backup(copy, pages=-1)


def _copy_tables(tables: list[Table], target: Path) -> None:
    with database_in(target) as other:
        make_tables(other, tables)
        with transaction.atomic():
            with connection.cursor() as cursor:
                # What is written meanwhile is not seen.
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            copy_rows(tables, "default", other)


def fault_of(file: Path) -> str:
    """What is wrong with the SQLite file; empty if it is whole."""
    try:
        with closing(sqlite3.connect(file)) as rows:
            (told,) = rows.execute("PRAGMA integrity_check(1)").fetchone()
            if told != "ok":
                return str(told)
            broken: tuple[Any, ...] | None = rows.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.DatabaseError as fault:
        return str(fault)
    return f"Table {broken[0]} names a row of {broken[2]} that is not there." if broken else ""
