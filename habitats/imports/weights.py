"""Weights: a row for each time an animal stood on the scales."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import day, whole, words
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow


def _faults(_row: ImportRow, _today: date) -> Iterator[ImportFault]:
    """None: what an animal may weigh depends on its species, which stands elsewhere."""
    return iter(())


WEIGHTS = ImportKind(
    "weights",
    "Weights",
    (
        Column(
            "animal",
            words(40),
            "The animal's code, or your own number for it. It has to be kept here already.",
            "2026-017",
            needed=True,
        ),
        Column("day", day, "The day it was weighed.", "2026-04-03", needed=True),
        Column("grams", whole(0, 999_999, "g"), "Whole grams.", "812", needed=True),
        Column("note", words(200), "Anything to know about it.", ""),
    ),
    _faults,
)
