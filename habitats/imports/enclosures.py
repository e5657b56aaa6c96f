"""Enclosures: a row each, with the design it was built from and the home it stands in."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import allowed, code_of_design, day, one_of, whole, words
from habitats.imports.shared_columns import CODE, OWN_ID, notes
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow
from habitats.wording import joined, message

# Nobody lives yet in what is taken in, so that one in use is standing till a group moves in.
STATES = {
    "planned": "planned",
    "building": "building",
    "standing": "standing",
    "in use": "standing",
    "repair": "repair",
    "retired": "retired",
}


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    home = row.values["home"]
    if home and row.values["state"] == "retired":
        yield row.fault(
            "home",
            message("A retired enclosure has no home. Leave the home empty, or correct the state."),
        )
    if row.values["stands_since"] and not home:
        yield row.fault(
            "stands_since",
            message("The row names no home. Write the home, or leave this day empty."),
        )


ENCLOSURES = ImportKind(
    "enclosures",
    message("Enclosures"),
    (
        CODE,
        OWN_ID,
        Column(
            "label", words(60), message("The label on the enclosure."), "North wall", needed=True
        ),
        Column(
            "design",
            code_of_design,
            message("The code of the design it was built from. It must not be a draft."),
            "BCDF23",
            needed=True,
        ),
        Column(
            "revision",
            whole(1, 999_999),
            message("The number of its revision. Empty means the current one."),
            "",
            empty=None,
        ),
        Column(
            "state",
            one_of(STATES),
            joined(
                " ",
                [
                    allowed(STATES),
                    message("“in use” becomes “standing” until a group moves in."),
                ],
            ),
            "standing",
            needed=True,
        ),
        Column("since", day, message("The first day in that state."), "2026-02-01", needed=True),
        Column(
            "home",
            words(40),
            message(
                "The code of the home it stands in, or your own number for it. Empty means none."
            ),
            "H-03",
        ),
        Column(
            "stands_since",
            day,
            message("The first day in that home. Empty means the same day as in “since”."),
            "",
            empty=None,
        ),
        notes(2000),
    ),
    _faults,
)
