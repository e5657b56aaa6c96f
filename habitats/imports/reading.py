"""A file in, rows of values and every fault with its place out."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from habitats.csv_cells import plain
from habitats.imports.table import CsvLine, table_of
from habitats.imports.text import Unreadable, text_of
from habitats.imports.values import (
    LONGEST_GIVEN,
    Column,
    ImportFault,
    ImportKind,
    ImportRow,
    ImportSheet,
    Refused,
)
from habitats.wording import joined, message


def read(content: bytes, kind: ImportKind, today: date) -> ImportSheet:
    """All rows of the file, those that can be read as values, and every fault of the others.

    Raises ``Unreadable`` with a sentence where the file as a whole cannot be taken in.
    """
    table = table_of(text_of(content), kind)
    reader = _Reader(kind, table.head, today)
    for line in table.lines:
        if reader.count == kind.most_rows:
            raise Unreadable(
                message(
                    "The file has more than %(most)d rows. Split it into several files, each with "
                    "the first line, and upload them one after the other.",
                    most=kind.most_rows,
                )
            )
        reader.take(line)
    if not reader.count:
        raise Unreadable(
            message("There is no row below the first line. Add the rows that you want to import.")
        )
    return reader.sheet()


class _Reader:
    """Takes line after line, and remembers what two rows may not have in common."""

    def __init__(self, kind: ImportKind, head: Sequence[str], today: date) -> None:
        self.kind, self.today, self.head = kind, today, head
        self.count = 0
        self._rows: list[ImportRow] = []
        self._faults: list[ImportFault] = []
        self._seen: dict[tuple[str, Any], int] = {}
        self._faulty_names: dict[str, int] = {}

    def take(self, line: CsvLine) -> None:
        self.count += 1
        faults = self._surplus(line)
        cells = dict(zip(self.head, (plain(cell).strip() for cell in line.cells), strict=False))
        values: dict[str, Any] = {}
        for column in self.kind.columns:
            text = cells.get(column.name, "")
            try:
                values[column.name] = _value(column, text, self.today)
            except Refused as fault:
                given = text[:LONGEST_GIVEN]
                faults.append(ImportFault(line.number, column.name, given, fault.sentence))
        row = ImportRow(line.number, values)
        faults += self._named_before(row)
        if not faults:
            faults += self.kind.faults(row, self.today)
        if faults:
            self._refuse(row, faults)
        else:
            self._rows.append(row)

    def sheet(self) -> ImportSheet:
        return ImportSheet(tuple(self._rows), tuple(self._faults), self.count, self._faulty_names)

    def _surplus(self, line: CsvLine) -> list[ImportFault]:
        """A row with more cells, or fewer, than there are columns has shifted somewhere."""
        count = len(line.cells)
        while count > len(self.head) and not line.cells[count - 1].strip():
            count -= 1
        if count == len(self.head):
            return []
        sentence = message(
            "The row has %(count)d cells, the first line %(columns)d. Put a cell that contains the "
            "separator in quotation marks, or add the missing cells.",
            count=count,
            columns=len(self.head),
        )
        return [ImportFault(line.number, "", "", sentence)]

    def _named_before(self, row: ImportRow) -> Iterator[ImportFault]:
        for column in self.kind.columns:
            value = row.values.get(column.name)
            if not column.names_it or not value:
                continue
            before = self._seen.setdefault((column.name, value), row.line)
            if before != row.line:
                sentence = message(
                    "Line %(line)d has the same. Each row needs its own: correct one of the two, "
                    "or delete one.",
                    line=before,
                )
                yield row.fault(column.name, sentence)

    def _refuse(self, row: ImportRow, faults: list[ImportFault]) -> None:
        self._faults += faults
        for column in self.kind.columns:
            if column.names_it and (name := row.values.get(column.name)):
                self._faulty_names.setdefault(name, row.line)


def _value(column: Column, text: str, today: date) -> Any:
    if text:
        return column.read(text, today)
    if column.needed:
        raise Refused(joined(" ", [message("This must not be empty."), column.help]))
    return column.empty
