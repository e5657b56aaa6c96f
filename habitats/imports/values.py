"""What a file that is handed in is made of: kinds with their columns, rows, faults."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

LONGEST_GIVEN = 60  # of what stood in a cell, as it is told back
MOST_ROWS = 5_000  # of a kind of which each row becomes several

# Reads the words of one cell; today is given. Raises `Refused`.
Reader = Callable[[str, date], Any]


class Refused(ValueError):
    """A cell cannot be read; its sentence says what is allowed and what to do."""

    @property
    def sentence(self) -> str:
        """As it was raised, so that it can still be said in another language."""
        sentence: str = self.args[0]
        return sentence


class ImportFault(NamedTuple):
    """``line`` is counted as an editor does, the head being line 1. ``column`` may be empty."""

    line: int
    column: str
    given: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Column:
    """``needed``: no row may leave it empty. ``empty`` is what an empty cell means.

    ``names_it``: two rows of a file may not have the same in it.
    ``is_later``: files had been imported before there was such a column; one that leaves it empty
    is known again all the same.
    ``is_former``: files of before have it, and no file is offered it any more.
    """

    name: str
    read: Reader
    help: str
    example: str
    needed: bool = False
    empty: Any = ""
    names_it: bool = False
    is_later: bool = False
    is_former: bool = False


@dataclass(frozen=True, slots=True)
class ImportRow:
    """One row that can be read: for each column of its kind a value."""

    line: int
    values: Mapping[str, Any]

    def fault(self, column: str, sentence: str) -> ImportFault:
        given = self.values[column] if column else ""
        return ImportFault(self.line, column, str("" if given is None else given), sentence)


def no_faults(_row: ImportRow, _today: date) -> Iterator[ImportFault]:
    """Of a kind whose cells say nothing of each other."""
    return iter(())


@dataclass(frozen=True, slots=True)
class ImportKind:
    """``faults`` looks at a whole row: what its cells say of each other.

    ``most_rows`` are written in one go, while nobody else can write: some seconds.
    """

    id: str
    title: str
    columns: tuple[Column, ...]
    faults: Callable[[ImportRow, date], Iterator[ImportFault]] = no_faults
    most_rows: int = MOST_ROWS

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)

    @property
    def offered(self) -> tuple[Column, ...]:
        """Those that a new file has."""
        return tuple(column for column in self.columns if not column.is_former)


@dataclass(frozen=True, slots=True)
class ImportSheet:
    """``rows`` are without fault; ``lines`` counts those with a fault as well.

    ``faulty_names`` are the codes and own numbers of faulty rows, with their lines.
    """

    rows: tuple[ImportRow, ...]
    faults: tuple[ImportFault, ...]
    lines: int
    faulty_names: Mapping[str, int]
