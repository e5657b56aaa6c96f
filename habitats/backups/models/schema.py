"""The tables of a database as its migrations left them, whatever the models say by now."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from django.db import connections, models
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

Node = tuple[str, str]  # an app and a migration of it
Table = type[models.Model]


def applied_to(alias: str) -> list[Node]:
    """The migrations that the database has, those that were squashed as well."""
    return sorted(MigrationRecorder(connections[alias]).applied_migrations())


def missing_from(alias: str) -> list[Node]:
    """The migrations that the database still lacks, in order."""
    executor = MigrationExecutor(connections[alias])
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [(migration.app_label, migration.name) for migration, _ in plan]


def unknown(applied: Sequence[Node]) -> list[Node]:
    """Those that this version of the program does not know: a newer one made them."""
    loader = MigrationLoader(None, ignore_no_migrations=True)
    replaced = {one for squashed in loader.replacements.values() for one in squashed.replaces}
    known = {*loader.disk_migrations, *loader.graph.nodes, *replaced}
    apps = loader.migrated_apps
    return [one for one in applied if one[0] in apps and one not in known]


def tables_after(applied: Sequence[Node]) -> list[Table]:
    """Every table that a database has after these migrations, by name; Django's own too."""
    return list(_tables_after(tuple(applied)))


@lru_cache(maxsize=2)
def _tables_after(applied: tuple[Node, ...]) -> tuple[Table, ...]:
    loader = MigrationLoader(None, ignore_no_migrations=True)
    done = {*applied, *_squashes_done(loader, set(applied))} & loader.graph.nodes.keys()
    state = loader.project_state([one for one in done if not _goes_on(loader, one, done)])
    found: list[Table] = [
        model
        for model in state.apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
    ]
    found.append(MigrationRecorder.Migration)
    return tuple(sorted(found, key=lambda one: one._meta.db_table))


def _squashes_done(loader: MigrationLoader, applied: set[Node]) -> set[Node]:
    return {
        key
        for key, squashed in loader.replacements.items()
        if all(one in applied for one in squashed.replaces)
    }


def _goes_on(loader: MigrationLoader, node: Node, done: set[Node]) -> bool:
    """Whether a later migration of the same app is done as well."""
    later = loader.graph.node_map[node].children
    return any(one.key[0] == node[0] and one.key in done for one in later)


def make_tables(alias: str, tables: Sequence[Table]) -> None:
    """Make these tables in an empty database: at once, where migrating takes half a minute."""
    with connections[alias].schema_editor() as editor:
        for table in tables:
            if not table._meta.auto_created:  # those come with the table that names them
                editor.create_model(table)


def make_new(alias: str) -> None:
    """Give an empty database the tables of today, and say that it is migrated."""
    executor: Any = MigrationExecutor(connections[alias])
    leaves = executor.loader.graph.leaf_nodes()
    make_tables(alias, tables_after(list(executor.loader.graph.nodes)))
    executor.migrate(leaves, fake=True)


def tables_there(alias: str) -> set[str]:
    """Names of the tables that are in the database."""
    connection = connections[alias]
    with connection.cursor() as cursor:
        return set(connection.introspection.table_names(cursor))


def filled(alias: str) -> list[str]:
    """Names of the rescue's tables in which there are rows."""
    connection = connections[alias]
    ours = sorted(one for one in tables_there(alias) if one.startswith(("habitats_", "builds_")))
    with connection.cursor() as cursor:
        found = []
        for name in ours:
            quoted = connection.ops.quote_name(name)
            cursor.execute(f"SELECT 1 FROM {quoted} LIMIT 1")  # nosec B608 # a table's name
            if cursor.fetchone():
                found.append(name)
        return found
