"""An installation of its own: a folder with a SQLite file, photos and a key, beside the tests'."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import psycopg
import pytest
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.backends.sqlite3.base import DatabaseWrapper
from django.db.migrations.loader import MigrationLoader

from habitats.backups.models.schema import make_new
from habitats.environment import SQLITE, media_storage
from habitats.settings import SQLITE_OPTIONS

KEY = "the key of this installation"


class Installation:
    """``data`` is its DATA_DIR."""

    def __init__(self, data: Path) -> None:
        self.data, self.database = data, data / "habitats.sqlite3"
        self.media = data / "media"

    def rows(self, query: str) -> list[tuple[object, ...]]:
        with closing(sqlite3.connect(self.database)) as one:
            return one.execute(query).fetchall()

    def photo(self, name: str, content: bytes) -> None:
        path = self.media / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)

    def files(self) -> dict[str, bytes]:
        found = (path for path in self.media.rglob("*") if path.is_file())
        return {path.relative_to(self.media).as_posix(): path.read_bytes() for path in found}


def every_row(database: Path) -> dict[str, list[tuple[object, ...]]]:
    """Each table with all its rows, read by SQLite alone."""
    with closing(sqlite3.connect(database)) as one:
        names = [
            name for (name,) in one.execute("SELECT name FROM sqlite_master WHERE type='table'")
        ]
        return {name: sorted(one.execute(f'SELECT * FROM "{name}"'), key=repr) for name in names}


def say_migrated(database: Path) -> None:
    """Tables of tests are made from the models: say that the migrations came to the same."""
    loader = MigrationLoader(None, ignore_no_migrations=True)
    squashed = [one for each in loader.replacements.values() for one in each.replaces]
    with closing(sqlite3.connect(database)) as rows, rows:
        rows.execute(
            "CREATE TABLE IF NOT EXISTS django_migrations (id integer PRIMARY KEY AUTOINCREMENT, "
            "app varchar(255) NOT NULL, name varchar(255) NOT NULL, applied datetime NOT NULL)"
        )
        into = (
            "INSERT INTO django_migrations (app, name, applied) "
            "VALUES (?, ?, '2026-01-01 00:00:00')"
        )
        rows.executemany(into, [*loader.graph.nodes, *squashed])


@pytest.fixture
def migrated(settings) -> None:
    """Migrations are known, as on a server; tables of other tests are made without."""
    settings.MIGRATION_MODULES = {}


@pytest.fixture(scope="session")
def template(tmp_path_factory) -> Path:
    """A file into which the first installation writes its empty tables, for all others to copy."""
    return tmp_path_factory.mktemp("template") / "habitats.sqlite3"


@pytest.fixture
def settle(
    tmp_path, settings, migrated, django_db_blocker, template
) -> Iterator[Callable[..., Installation]]:
    """`settle("here")`: the settings are those of the installation in that folder."""
    settings.SECRET_KEY = KEY
    settings.STORAGES = settings.STORAGES | {"default": media_storage("NO_BUCKET", "NO_ENDPOINT")}
    usual = connections[DEFAULT_DB_ALIAS]
    as_sqlite = {"ENGINE": SQLITE, "OPTIONS": SQLITE_OPTIONS, "CONN_MAX_AGE": 60}

    def settle(name: str, *, is_new: bool = True) -> Installation:
        made = Installation(tmp_path / name)
        made.data.mkdir(exist_ok=True)
        settings.DATA_DIR, settings.MEDIA_ROOT = made.data, made.media
        settings.BACKUP_DIR = made.data / "backups"
        if connections[DEFAULT_DB_ALIAS] is not usual:
            connections[DEFAULT_DB_ALIAS].close()
        described = usual.settings_dict | as_sqlite | {"NAME": str(made.database)}
        connections[DEFAULT_DB_ALIAS] = DatabaseWrapper(described, DEFAULT_DB_ALIAS)
        if is_new and template.exists():
            shutil.copy(template, made.database)
        elif is_new:
            make_new(DEFAULT_DB_ALIAS)
            connections[DEFAULT_DB_ALIAS].close()
            shutil.copy(made.database, template)
        return made

    with django_db_blocker.unblock():
        yield settle
    if connections[DEFAULT_DB_ALIAS] is not usual:
        connections[DEFAULT_DB_ALIAS].close()
    connections[DEFAULT_DB_ALIAS] = usual


@pytest.fixture
def here(settle) -> Installation:
    return settle("here")


@pytest.fixture
def url(postgresql_url) -> str:
    """The address of a new, empty database."""
    with psycopg.connect(postgresql_url, autocommit=True) as server:
        server.execute("DROP DATABASE IF EXISTS empty WITH (FORCE)")
        server.execute("CREATE DATABASE empty")
    return f"{postgresql_url.rpartition('/')[0]}/empty"
