"""Columns that several kinds have, and by which rows are known again."""

from habitats.imports.cells import code, words
from habitats.imports.values import Column
from habitats.wording import message

LONGEST_OWN_ID = 40

CODE = Column(
    "code",
    code,
    message("The code it has here. Empty if it is new."),
    "",
    names_it=True,
)
OWN_ID = Column(
    "own_id",
    words(LONGEST_OWN_ID),
    message(
        "Your own number for it, such as an intake number: up to %(longest)d characters. If you "
        "import a row again, it is recognised by this number. Other files can point to it.",
        longest=LONGEST_OWN_ID,
    ),
    "2026-017",
    names_it=True,
)


def notes(longest: int) -> Column:
    return Column("notes", words(longest, lines=True), message("Notes, in any words."), "")
