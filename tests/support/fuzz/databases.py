"""The database under the server: put back as it was, and asked what was written to it.

Triggers note each row that is written for good; what a search beside the pages writes, on a
connection of its own, is not taken for what a request wrote.
"""

import sqlite3
import threading
from typing import Protocol

import psycopg
from django.db import connection
from django.db.backends.signals import connection_created

NOTES = "written_by_requests"
ACTS = ("INSERT", "UPDATE", "DELETE")


class Database(Protocol):
    def put_back(self) -> None:
        """As it was when this was made."""

    def written(self) -> dict[str, int]:
        """How many rows of each table were written since this was asked last."""


def kept_as_it_is() -> Database:
    return SQLite() if connection.vendor == "sqlite" else PostgreSQL()


class SQLite:
    """Its triggers are the connection's own, and leave no trace in the file."""

    def __init__(self) -> None:
        self.thread = threading.current_thread()
        self.tables = connection.introspection.table_names()
        self.kept = sqlite3.connect(":memory:")
        connection.ensure_connection()
        connection.connection.backup(self.kept)
        self._listen()
        # Django closes a connection that is old, or on which something went wrong.
        connection_created.connect(self._listen)

    def put_back(self) -> None:
        file = sqlite3.connect(connection.settings_dict["NAME"], timeout=60)
        self.kept.backup(file)
        file.close()
        self.written()

    def written(self) -> dict[str, int]:
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT name, count(*) FROM {NOTES} GROUP BY name")
            found = dict(cursor.fetchall())
            if found:
                cursor.execute(f"DELETE FROM {NOTES}")
        return found

    def _listen(self, **_signal: object) -> None:
        if threading.current_thread() is not self.thread:
            return
        with connection.cursor() as cursor:
            cursor.execute(f"CREATE TEMP TABLE {NOTES} (name TEXT)")
            for table in self.tables:
                for act in ACTS:
                    cursor.execute(
                        f"CREATE TEMP TRIGGER note_{act}_{table} AFTER {act} ON main.{table} "
                        f"BEGIN INSERT INTO {NOTES} VALUES ('{table}'); END"
                    )


class PostgreSQL:
    """Kept as a second database, of which the first is made again."""

    def __init__(self) -> None:
        self._listen()
        self.name = str(connection.settings_dict["NAME"])
        self._as_owner(f"CREATE DATABASE {self.name}_kept TEMPLATE {self.name}")

    def put_back(self) -> None:
        self._as_owner(
            f"DROP DATABASE {self.name} WITH (FORCE)",
            f"CREATE DATABASE {self.name} TEMPLATE {self.name}_kept",
        )

    def written(self) -> dict[str, int]:
        with connection.cursor() as cursor:
            cursor.execute(
                f"SELECT name, count(*) FROM {NOTES} WHERE of = pg_backend_pid() GROUP BY name"
            )
            found = dict(cursor.fetchall())
            if found:
                cursor.execute(f"DELETE FROM {NOTES}")
        return found

    def _as_owner(self, *statements: str) -> None:
        connection.close()
        of = {**connection.get_connection_params(), "dbname": "postgres"}
        given = {name: of[name] for name in ("host", "port", "user", "dbname")}
        with psycopg.connect(**given, autocommit=True) as owner:
            for statement in statements:
                owner.execute(statement)

    def _listen(self) -> None:
        with connection.cursor() as cursor:
            tables = connection.introspection.table_names()
            cursor.execute(f"CREATE TABLE {NOTES} (name TEXT, of INTEGER)")
            cursor.execute(
                "CREATE FUNCTION note_writing() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
                f"INSERT INTO {NOTES} VALUES (TG_TABLE_NAME, pg_backend_pid()); RETURN NULL; "
                "END $$"
            )
            for table in tables:
                cursor.execute(
                    f"CREATE TRIGGER note_writing AFTER {' OR '.join(ACTS)} ON {table} "
                    "FOR EACH ROW EXECUTE FUNCTION note_writing()"
                )
