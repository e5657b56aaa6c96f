"""Columns that several kinds have, and by which rows are known again."""

from habitats.imports.cells import code, words
from habitats.imports.values import Column

LONGEST_OWN_ID = 40

CODE = Column(
    "code",
    code,
    "The code that this product gave it. Empty for what is new.",
    "",
    names_it=True,
)
OWN_ID = Column(
    "own_id",
    words(LONGEST_OWN_ID),
    "Your own number for it, in up to 40 signs, such as an intake number. By it a file that comes "
    "again is known, and other files can point to it.",
    "2026-017",
    names_it=True,
)


def notes(longest: int) -> Column:
    return Column("notes", words(longest, lines=True), "What to know, in any words.", "")
