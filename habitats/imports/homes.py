"""Homes: a row each, with how to reach its people if that is known."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import day, one_of, whole, words, yes_or_no
from habitats.imports.contacts import CONTACT_COLUMNS
from habitats.imports.shared_columns import CODE, OWN_ID, notes
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow

# The same bounds as in habitats/homes/models/homes.py; a test holds them together.
MOST_ENCLOSURES = 200
FOOTPRINT_MM = (300, 20_000)


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    sides = [row.values[name] for name in ("largest_width_mm", "largest_depth_mm")]
    if sides.count(None) == 1:
        empty = "largest_width_mm" if sides[0] is None else "largest_depth_mm"
        yield row.fault(
            empty, "One side alone says nothing. Write both sides of the footprint, or neither."
        )


HOMES = ImportKind(
    "homes",
    "Homes",
    (
        CODE,
        OWN_ID,
        Column(
            "name", words(60), "A first name, or what the depot is called.", "Wren", needed=True
        ),
        Column("area", words(60), "A part of town. Never an address.", "Larkrise"),
        Column(
            "kind",
            one_of({"foster": "foster", "depot": "depot"}),
            "foster or depot. Empty: foster.",
            "foster",
            empty="foster",
        ),
        Column(
            "most_enclosures",
            whole(0, MOST_ENCLOSURES, "enclosures"),
            "How many it can look after. Empty: 1.",
            "2",
            empty=1,
        ),
        Column(
            "largest_width_mm",
            whole(*FOOTPRINT_MM, "mm"),
            "One side of the largest footprint that fits, in whole millimetres.",
            "2200",
            empty=None,
        ),
        Column(
            "largest_depth_mm",
            whole(*FOOTPRINT_MM, "mm"),
            "Its other side. Both or neither.",
            "900",
            empty=None,
        ),
        Column("has_stairs", yes_or_no, "yes or no. Empty: no.", "no", empty=False),
        Column("has_isolation_room", yes_or_no, "yes or no. Empty: no.", "yes", empty=False),
        Column("other_pets", words(120), "Cats, dogs and others.", "an old cat"),
        notes(2000),
        Column("closed_on", day, "The day since which it takes none.", "", empty=None),
        *CONTACT_COLUMNS,
    ),
    _faults,
)
