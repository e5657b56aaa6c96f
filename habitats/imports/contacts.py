"""Contacts: a row for each home, with how to reach its people."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import email, words
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow
from habitats.wording import joined, message

_WHO_SEES_IT = message("Only coordinators and the home itself see it.")
# Homes are imported with these columns too.
CONTACT_COLUMNS = (
    Column("full_name", words(120), _WHO_SEES_IT, ""),
    Column("phone", words(40), _WHO_SEES_IT, "01632 960001"),
    Column("email", email, _WHO_SEES_IT, ""),
    Column(
        "address",
        words(400, lines=True),
        joined(" ", [_WHO_SEES_IT, message("Write it only if it is needed.")]),
        "",
    ),
)
CONTACT = tuple(column.name for column in CONTACT_COLUMNS)


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    if not any(row.values[name] for name in CONTACT):
        yield row.fault(
            "phone",
            message("The row gives no way to reach the home. Add one, or delete the row."),
        )


CONTACTS = ImportKind(
    "contacts",
    message("Contacts of homes"),
    (
        Column(
            "home",
            words(40),
            message(
                "The code of the home, or your own number for it. It must be recorded already."
            ),
            "H-03",
            needed=True,
        ),
        Column(
            "home_name",
            words(60),
            message("For you to read only: it is not used to find the home."),
            "Wren",
        ),
        *CONTACT_COLUMNS,
    ),
    _faults,
)
