"""Rows and cells of a file: its separator told apart, its columns found by name."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from typing import NamedTuple

from habitats.imports.text import Unreadable
from habitats.imports.values import ImportKind
from habitats.wording import joined, message

SEPARATORS = ",;\t"


class CsvLine(NamedTuple):
    """``number`` is the first line of the row, should a cell in quotes run over several."""

    number: int
    cells: list[str]


@dataclass(frozen=True, slots=True)
class CsvTable:
    """``head`` names the columns as the kind does, in the file's order."""

    head: tuple[str, ...]
    lines: Iterator[CsvLine]


def table_of(text: str, kind: ImportKind) -> CsvTable:
    """The columns, and then row by row the cells; empty lines are left out.

    Raises ``Unreadable`` for columns that the kind does not have, lacks or has twice; and while
    the lines are read, for quotes that do not close.
    """
    lines = _lines(text, _separator(text, kind.names))
    head = [_name(cell) for cell in next(lines, CsvLine(1, [])).cells]
    while head and not head[-1]:
        head.pop()  # a spreadsheet pads its lines
    _refuse(head, kind)
    return CsvTable(tuple(head), lines)


def _separator(text: str, names: Sequence[str]) -> str:
    """By which the first line falls into most names that are known."""
    return max(SEPARATORS, key=lambda separator: _known(text, separator, names))


def _known(text: str, separator: str, names: Sequence[str]) -> int:
    head = next(_lines(text, separator), CsvLine(1, []))
    return sum(_name(cell) in names for cell in head.cells)


def _lines(text: str, separator: str) -> Iterator[CsvLine]:
    # newline="": a line may end as on any machine, and a cell in quotes keeps its own.
    rows = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        number = rows.line_num + 1
        try:
            cells = next(rows, None)
        except csv.Error:
            raise Unreadable(
                message(
                    "From line %(line)d on, quotation marks are not closed or are in the middle of "
                    "a cell. Put the whole cell in quotation marks, and double those inside: "
                    "%(example)s.",
                    line=number,
                    example='"called ""Pip"" by all"',
                )
            ) from None
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield CsvLine(number, cells)


def _name(cell: str) -> str:
    return "_".join(cell.strip().casefold().replace("_", " ").split())


def _refuse(head: Sequence[str], kind: ImportKind) -> None:
    sentences = [*_unknown(head, kind), *_double(head), *_missing(head, kind)]
    if sentences:
        raise Unreadable(joined(" ", sentences))


def _unknown(head: Sequence[str], kind: ImportKind) -> Iterator[str]:
    unknown = [f"“{name[:40]}”" for name in head if name not in kind.names]
    if unknown:
        yield message(
            "The first line has unknown columns: %(unknown)s. Known columns are %(known)s. Rename "
            "the unknown ones, or delete them.",
            unknown=", ".join(unknown[:10]),
            known=", ".join(one.name for one in kind.offered),
        )


def _double(head: Sequence[str]) -> Iterator[str]:
    double = sorted({name for name in head if name and head.count(name) > 1})
    if double:
        yield message(
            "The first line has these columns more than once: %(columns)s. Keep one of each.",
            columns=", ".join(double[:10]),
        )


def _missing(head: Sequence[str], kind: ImportKind) -> Iterator[str]:
    missing = [column.name for column in kind.columns if column.needed and column.name not in head]
    if missing:
        yield message(
            "These columns are missing from the first line: %(columns)s. Add them: the template "
            "has every column.",
            columns=", ".join(missing),
        )
