"""Enclosures: a row each, with the design it was built from and the home it stands in."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import code_of_design, day, one_of, whole, words
from habitats.imports.shared_columns import CODE, OWN_ID, notes
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow

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
            "home", "A retired one stands in no home. Leave the home empty, or correct the state."
        )
    if row.values["stands_since"] and not home:
        yield row.fault("stands_since", "It names no home. Write where it stands, or empty this.")


ENCLOSURES = ImportKind(
    "enclosures",
    "Enclosures",
    (
        CODE,
        OWN_ID,
        Column("label", words(60), "What is written on it.", "North wall", needed=True),
        Column(
            "design",
            code_of_design,
            "The code of the design it was built from. A draft cannot be built.",
            "BCDF23",
            needed=True,
        ),
        Column(
            "revision",
            whole(1, 999_999, "as a number"),
            "Which revision of it. Empty: as it is drawn today.",
            "",
            empty=None,
        ),
        Column(
            "state",
            one_of(STATES, instead=", ".join(STATES)),
            "planned, building, standing, repair or retired. What was in use is taken in as "
            "standing, until a group moves in.",
            "standing",
            needed=True,
        ),
        Column("since", day, "The day since which it is in that state.", "2026-02-01", needed=True),
        Column(
            "home",
            words(40),
            "The code of the home it stands in, or your own number for it. Empty: in none.",
            "H-03",
        ),
        Column("stands_since", day, "In that home since. Empty: as above.", "", empty=None),
        notes(2000),
    ),
    _faults,
)
