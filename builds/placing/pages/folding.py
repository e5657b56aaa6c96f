"""A long list on a phone: its first rows stand open, the others are folded under one line."""

from collections.abc import Sequence
from typing import Any, NamedTuple

ROWS_SHOWN = 12


class FoldedRows(NamedTuple):
    first: Sequence[Any]
    more: Sequence[Any]


def folded(rows: Sequence[Any]) -> FoldedRows:
    """One row is not folded for itself: the line would be as high."""
    most = ROWS_SHOWN if len(rows) > ROWS_SHOWN + 1 else len(rows)
    return FoldedRows(rows[:most], rows[most:])
