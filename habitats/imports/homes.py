"""Homes: a row each, with how to reach its people if that is known."""

from collections.abc import Iterator
from datetime import date

from habitats.imports.cells import (
    SEVERAL,
    YES_OR_NO,
    allowed,
    day,
    empty_means,
    one_of,
    some_of,
    whole,
    words,
    yes_or_no,
)
from habitats.imports.contacts import CONTACT_COLUMNS
from habitats.imports.shared_columns import CODE, OWN_ID, notes
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow
from habitats.structure.design import Species
from habitats.welfare.other_pets import OtherPet
from habitats.wording import joined, message

# The same bounds as in habitats/homes/models/homes.py; a test holds them together.
MOST_ENCLOSURES, MOST_ANIMALS, MOST_ISOLATION_PLACES = 200, 1_000, 50
FOOTPRINT_MM = (300, 20_000)
KINDS_OF_HOME = {"foster": "foster", "depot": "depot"}
SPECIES = {one.value.replace("_", " "): one.value for one in Species}
PETS = {one.value: one.value for one in OtherPet}


def _faults(row: ImportRow, _today: date) -> Iterator[ImportFault]:
    sides = [row.values[name] for name in ("largest_width_mm", "largest_depth_mm")]
    if sides.count(None) == 1:
        empty = "largest_width_mm" if sides[0] is None else "largest_depth_mm"
        yield row.fault(
            empty,
            message("One side alone is not enough. Write both sides of the footprint, or neither."),
        )


HOMES = ImportKind(
    "homes",
    message("Homes"),
    (
        CODE,
        OWN_ID,
        Column(
            "name",
            words(60),
            message("A first name, or the name of the depot."),
            "Wren",
            needed=True,
        ),
        Column("area", words(60), message("A part of town. Never an address."), "Larkrise"),
        Column(
            "kind",
            one_of(KINDS_OF_HOME),
            joined(" ", [allowed(KINDS_OF_HOME), empty_means("foster")]),
            "foster",
            empty="foster",
        ),
        Column(
            "most_enclosures",
            whole(0, MOST_ENCLOSURES),
            message("How many enclosures it can look after. Empty means 1."),
            "2",
            empty=1,
        ),
        Column(
            "most_animals",
            whole(0, MOST_ANIMALS),
            message("How many animals it can look after. Empty means no limit."),
            "6",
            empty=None,
            is_later=True,
        ),
        Column(
            "largest_width_mm",
            whole(*FOOTPRINT_MM),
            message("One side of the largest footprint that fits, in whole millimetres."),
            "2200",
            empty=None,
        ),
        Column(
            "largest_depth_mm",
            whole(*FOOTPRINT_MM),
            message("The other side, in whole millimetres. Write both sides or neither."),
            "900",
            empty=None,
        ),
        Column("has_stairs", yes_or_no, YES_OR_NO, "no", empty=False),
        Column(
            "has_isolation_room",
            yes_or_no,
            message("In older files; yes means one of isolation_places."),
            "yes",
            empty=False,
            is_former=True,
        ),
        Column(
            "isolation_places",
            whole(0, MOST_ISOLATION_PLACES),
            joined(
                " ",
                [
                    message("How many enclosures can be kept apart from the rest of the home."),
                    empty_means("0"),
                ],
            ),
            "1",
            empty=None,
            is_later=True,
        ),
        Column(
            "known_species",
            some_of(SPECIES),
            joined(
                " ",
                [
                    message("The species it has experience with."),
                    allowed(SPECIES),
                    SEVERAL,
                    message("Empty limits nothing."),
                ],
            ),
            "guinea pig",
            is_later=True,
        ),
        Column(
            "pet_kinds",
            some_of(PETS),
            joined(
                " ",
                [message("Pets of the home. All but bird ask for a lid."), allowed(PETS), SEVERAL],
            ),
            "cat",
            is_later=True,
        ),
        Column(
            "other_pets", words(120), message("A note on other pets. It decides nothing."), "old"
        ),
        notes(2000),
        Column(
            "closed_on",
            day,
            message("The day it stopped taking animals. Empty means it is open."),
            "",
            empty=None,
        ),
        *CONTACT_COLUMNS,
    ),
    _faults,
)
