"""A file to fill in: the columns of a kind, and nothing that could be taken in by mistake."""

from collections.abc import Iterator

from habitats.csv_cells import csv_lines
from habitats.imports.values import ImportKind


def template(kind: ImportKind) -> Iterator[str]:
    """The lines of the file."""
    return csv_lines([[one.name for one in kind.offered]])
