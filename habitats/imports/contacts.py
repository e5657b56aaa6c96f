"""Contacts: a row for each home, with how to reach its people."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import email, words
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow

# Homes are handed in with these columns too.
CONTACT_COLUMNS = (
    Column("full_name", words(120), "For coordinators and the home itself only.", ""),
    Column("phone", words(40), "The same.", "01632 960001"),
    Column("email", email, "The same.", ""),
    Column("address", words(400, lines=True), "The same. Only if it is needed.", ""),
)
CONTACT = tuple(column.name for column in CONTACT_COLUMNS)


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    if not any(row.values[name] for name in CONTACT):
        yield row.fault(
            "phone", "The row says of no way to reach them. Write one, or leave the row out."
        )


CONTACTS = ImportKind(
    "contacts",
    "Contacts of homes",
    (
        Column(
            "home",
            words(40),
            "The code of the home, or your own number for it. It has to be kept here already.",
            "H-03",
            needed=True,
        ),
        Column("home_name", words(60), "For your eyes only: by it no home is found.", "Wren"),
        *CONTACT_COLUMNS,
    ),
    _faults,
)
