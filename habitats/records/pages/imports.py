"""What a dry run shows of the rows that it would add."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from habitats.imports import ImportKind
from habitats.records.models.imports import Arrival
from habitats.records.models.tables import plain


class NewRow(NamedTuple):
    """``cells``: each with the name of its column."""

    line: int
    cells: list[tuple[str, str]]


class NewRows(NamedTuple):
    """``columns``: those in which one of the rows says more than an empty cell would."""

    columns: list[str]
    rows: list[NewRow]


def new_rows(new: Sequence[Arrival], kind: ImportKind) -> NewRows:
    names = [
        column.name
        for column in kind.columns
        if any(one.row.values[column.name] != column.empty for one in new)
    ]
    return NewRows(names, [_row(one, names) for one in new])


def _row(one: Arrival, names: Sequence[str]) -> NewRow:
    return NewRow(one.row.line, [(name, _words(one.row.values[name])) for name in names])


def _words(value: Any) -> str:
    """As a file has it, in every language."""
    return "" if value is None else str(plain(value))
