"""Rows from one database to another, exact, and compared row by row afterwards."""

from collections.abc import Iterator, Sequence
from itertools import islice, zip_longest
from typing import Any

from django.core.management.color import no_style
from django.db import DatabaseError, connections, models, transaction
from django.db.models.functions import Collate

from habitats.backups.models.schema import Table, make_tables
from habitats.common.row_counts import count_rows

BATCH = 500


class RowFault(Exception):
    """A row that the other database refuses, or has otherwise; the sentence says which."""


def bring_over(tables: Sequence[Table], source: str, target: str) -> int:
    """Make the tables in an empty database, with all rows of ``source``, compared; how many.

    In one transaction: after a fault the target is as empty as before.
    """
    with transaction.atomic(using=target):
        make_tables(target, tables)
        copy_rows(tables, source, target)
        compared = compare_rows(tables, source, target)
        count_rows(target)
    return compared


def copy_rows(tables: Sequence[Table], source: str, target: str) -> int:
    """All rows of ``source`` into the empty tables of ``target``, in one transaction; how many."""
    with transaction.atomic(using=target):
        copied = sum(_copy(table, source, target) for table in tables)
        try:
            connections[target].check_constraints()
        except DatabaseError as fault:
            raise RowFault(_first_line(fault)) from None
        _number_on(tables, target)
    return copied


def _copy(table: Table, source: str, target: str) -> int:
    fields = table._meta.local_concrete_fields
    most = connections[target].ops.bulk_batch_size([one.name for one in fields], range(BATCH))
    rows, copied = _rows(table, source), 0
    manager: Any = table._base_manager
    names = [field.attname for field in fields]
    while batch := [table(**dict(zip(names, row, strict=True))) for row in islice(rows, most)]:
        try:
            # Raw: as it stands, where a save would set moments of its own.
            manager._insert(batch, fields=fields, using=target, raw=True)
        except (DatabaseError, ValueError) as fault:
            first, last = batch[0].pk, batch[-1].pk
            name = table._meta.db_table
            raise RowFault(f"Table {name}, rows {first} to {last}: {_first_line(fault)}") from None
        copied += len(batch)
    return copied


def compare_rows(tables: Sequence[Table], source: str, target: str) -> int:
    """How many rows there are, the same in both; else ``RowFault`` names the first that differs."""
    return sum(_compare(table, source, target) for table in tables)


def _compare(table: Table, source: str, target: str) -> int:
    names = [field.attname for field in table._meta.local_concrete_fields]
    number = 0
    for one, other in zip_longest(_rows(table, source), _rows(table, target)):
        number += 1
        if one == other:
            continue
        name = table._meta.db_table
        if one is None or other is None:
            raise RowFault(f"Table {name}: only one of the databases has row {number} and later.")
        unlike = [n for n, a, b in zip(names, one, other, strict=True) if a != b]
        raise RowFault(f"Table {name}, row {number}: {', '.join(unlike)} differ.")
    return number


def _rows(table: Table, alias: str) -> Iterator[tuple[Any, ...]]:
    """The values of each row, in the order of their keys, which is the same in every database."""
    names = [field.attname for field in table._meta.local_concrete_fields]
    key: Any = "pk"
    if isinstance(table._meta.pk, models.CharField) and connections[alias].vendor == "postgresql":
        key = Collate("pk", "C")
    found = table._base_manager.using(alias).order_by(key).values_list(*names)
    for row in found.iterator(BATCH):
        yield tuple(bytes(one) if isinstance(one, memoryview) else one for one in row)


def _number_on(tables: Sequence[Table], alias: str) -> None:
    """New rows are numbered after those that were copied."""
    connection = connections[alias]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(tables)):
            cursor.execute(statement)


def _first_line(fault: Exception) -> str:
    return (str(fault).strip().splitlines() or [type(fault).__name__])[0]
