"""Databases from before the migrations were squashed, and which version brings them here."""

from collections.abc import Iterable

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

# The last version that has the migrations of before. `git checkout` finds it by its commit.
VERSION_BEFORE = "0.2.0"


def too_old(connection: BaseDatabaseWrapper) -> str:
    """Why the migrations cannot take this database further, and what to do; empty if they can.

    Squashed migrations go on from a database that has all they replace, or begin an empty one.
    Raises ``DatabaseError`` where the database does not answer.
    """
    return too_old_with(MigrationRecorder(connection).applied_migrations())


def too_old_with(migrations: Iterable[tuple[str, str]]) -> str:
    """The same of a database that has these migrations."""
    applied = set(migrations)
    squashed = MigrationLoader(None, ignore_no_migrations=True).replacements
    for key, migration in squashed.items():
        missing = [name for name in migration.replaces if name not in applied]
        if key not in applied and missing and len(missing) < len(migration.replaces):
            return (
                "The database is older than this version can take further: it lacks "
                f"{' '.join(missing[0])}. Back it up, install version {VERSION_BEFORE} first "
                f"(git checkout ':/^Version {VERSION_BEFORE}', make install, "
                ".venv/bin/python manage.py migrate), then this version again."
            )
    return ""
