"""Weights: a row for each time an animal stood on the scales."""

from habitats.imports.cells import day, whole, words
from habitats.imports.values import Column, ImportKind
from habitats.wording import message

MOST_WEIGHTS = 50_000  # years of them, and a single row each

WEIGHTS = ImportKind(
    "weights",
    message("Weights"),
    (
        Column(
            "animal",
            words(40),
            message("The animal’s code, or your own number for it. It must be recorded already."),
            "2026-017",
            needed=True,
        ),
        Column("day", day, message("The day it was weighed."), "2026-04-03", needed=True),
        Column("grams", whole(0, 999_999), message("Whole grams."), "812", needed=True),
        Column("note", words(200), message("Any note about it."), ""),
    ),
    most_rows=MOST_WEIGHTS,
)
