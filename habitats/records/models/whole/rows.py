"""Rows of the archive into a new SQLite file; every one that cannot be is told with its place."""

import json
from collections.abc import Iterator
from typing import IO, Any
from zipfile import BadZipFile, ZipFile
from zlib import error as DeflateError

from django.contrib.auth.hashers import make_password
from django.db import DatabaseError, connections, transaction
from django.db.migrations.recorder import MigrationRecorder

from habitats import strict_json
from habitats.animals.models.no_overlap import keep_spans_apart
from habitats.backups.models.schema import Table, make_tables, tables_after
from habitats.records.models.whole.contents import LIMIT_BYTES, NotTaken, WholeContents
from habitats.records.models.whole.tables import SECRET_COLUMNS, columns_of, file_of, in_archive
from habitats.records.models.whole.values import NotThis, read

BATCH = 200
MOST_FAULTS = 100


class _Faults:
    """As they are found; too many end the reading."""

    def __init__(self) -> None:
        self.told: list[str] = []

    def add(self, file: str, line: int | None, why: str) -> None:
        self.told.append(f"{file}, line {line}: {why}." if line else f"{file}: {why}.")
        if len(self.told) >= MOST_FAULTS:
            raise NotTaken(*self.told, f"These are the first {MOST_FAULTS} faults.")


def read_rows(archive: ZipFile, contents: WholeContents, alias: str) -> int:
    """Make the tables in the empty database, with all rows; how many. Else ``NotTaken``."""
    tables, faults = tables_after(contents.migrations), _Faults()
    ours = in_archive(tables)
    _compare_files(ours, contents, faults)
    make_tables(alias, tables)
    keep_spans_apart(alias)
    with transaction.atomic(using=alias):
        rows = sum(_read_table(archive, contents, table, alias, faults) for table in ours)
        if not faults.told:
            _follow_links(archive, ours, alias, faults)
        if faults.told:
            raise NotTaken(*faults.told)
        _record(contents, alias)
    return rows


def _compare_files(tables: list[Table], contents: WholeContents, faults: _Faults) -> None:
    known = {file_of(table) for table in tables}
    for file in sorted(contents.tables.keys() - known):
        faults.add(file, None, f"version {contents.version} has no such table")
    for file in sorted(known - contents.tables.keys()):
        faults.add(file, None, "archive.json does not name it")


def _read_table(
    archive: ZipFile, contents: WholeContents, table: Table, alias: str, faults: _Faults
) -> int:
    file, number, batch = file_of(table), 0, []
    for number, line in _lines(archive, file, faults):
        try:
            batch.append((number, table(**_values(table, line))))
        except (NotThis, strict_json.NotReadable) as fault:
            faults.add(file, number, str(fault).rstrip("."))
        if len(batch) == BATCH:
            _insert(table, batch, alias, faults)
            batch = []
    _insert(table, batch, alias, faults)
    if number != (wanted := contents.tables.get(file, number)):
        faults.add(file, None, f"it has {number} rows, and archive.json says {wanted}")
    return number


def _lines(archive: ZipFile, file: str, faults: _Faults) -> Iterator[tuple[int, bytes]]:
    try:
        with archive.open(file) as rows:
            yield from enumerate(_bounded(rows), 1)
    except KeyError:
        faults.add(file, None, "it is missing in the archive")
    except (BadZipFile, DeflateError, EOFError):
        faults.add(file, None, "it is damaged")


def _bounded(rows: IO[bytes]) -> Iterator[bytes]:
    """One byte more than is allowed is enough to be refused."""
    while line := rows.readline(LIMIT_BYTES + 1):
        yield line


def _values(table: Table, line: bytes) -> dict[str, object]:
    """Raises ``NotThis`` or ``NotReadable``."""
    row = strict_json.load(line, LIMIT_BYTES)
    if not isinstance(row, dict):
        raise NotThis("it has to be a JSON object")
    fields = columns_of(table)
    names = [field.attname for field in fields]
    if strange := sorted(row.keys() - set(names)):
        raise NotThis(f"there is no column {json.dumps(strange[0])}")
    if missing := [name for name in names if name not in row]:
        raise NotThis(f"the column {missing[0]} is missing")
    values = {}
    for field in fields:
        try:
            values[field.attname] = read(field, row[field.attname])
        except NotThis as fault:
            raise NotThis(f"{field.attname} is {fault}") from None
    return values | _not_told(table)


def _not_told(table: Table) -> dict[str, object]:
    """What a row has in the place of what the archive leaves out: no password lets anybody in."""
    secret = [column for name, column in SECRET_COLUMNS if name == table._meta.object_name]
    return {column: make_password(None) for column in secret}


def _insert(table: Table, batch: list[tuple[int, Any]], alias: str, faults: _Faults) -> None:
    """All of the batch at once; one by one only to tell which is refused."""
    if not batch or _insert_all(table, [row for _, row in batch], alias) is None:
        return
    for number, row in batch:
        if (why := _insert_all(table, [row], alias)) is not None:
            faults.add(file_of(table), number, why)


def _insert_all(table: Table, rows: list[Any], alias: str) -> str | None:
    """Why the database refuses them; None if it does not."""
    fields = table._meta.local_concrete_fields
    manager: Any = table._base_manager
    most = connections[alias].ops.bulk_batch_size([one.name for one in fields], rows)
    try:
        with transaction.atomic(using=alias):
            for first in range(0, len(rows), most):
                # Raw: as it stands, where a save would set moments of its own.
                manager._insert(rows[first : first + most], fields=fields, using=alias, raw=True)
    except DatabaseError as fault:
        return f"the database refuses the row ({fault})"
    return None


def _follow_links(archive: ZipFile, tables: list[Table], alias: str, faults: _Faults) -> None:
    """Each id that names another row has to find it."""
    by_name = {table._meta.db_table: table for table in tables}
    with connections[alias].cursor() as cursor:
        broken = cursor.execute("PRAGMA foreign_key_check").fetchall()
    lines: dict[str, dict[int, int]] = {}
    for name, row, other, _ in broken:
        file = file_of(by_name[name])
        if file not in lines:
            lines[file] = _lines_by_id(archive, file, faults)
        faults.add(file, lines[file].get(row), f"it names a row of {other} that is not there")


def _lines_by_id(archive: ZipFile, file: str, faults: _Faults) -> dict[int, int]:
    return {json.loads(line)["id"]: number for number, line in _lines(archive, file, faults)}


def _record(contents: WholeContents, alias: str) -> None:
    """The new database says which migrations it has."""
    recorder = MigrationRecorder(connections[alias])
    for app, name in contents.migrations:
        recorder.record_applied(app, name)
