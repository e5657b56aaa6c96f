"""Linens: a row for so many of one kind and finished size, in one pool."""

from habitats.imports.cells import YES_OR_NO, day, whole, words, yes_or_no
from habitats.imports.shared_columns import LONGEST_OWN_ID
from habitats.imports.values import Column, ImportKind
from habitats.wording import joined, message

# The same bounds as in habitats/linens; a test holds them together.
SIDE_MM = (50, 10_000)
MOST_OF_A_ROW = 200


LINENS = ImportKind(
    "linens",
    message("Linens"),
    (
        Column(
            "own_id",
            words(LONGEST_OWN_ID),
            message(
                "Your own number for the row: up to %(longest)d characters. If you import the row "
                "again, it is recognised by this number.",
                longest=LONGEST_OWN_ID,
            ),
            "L-01",
            names_it=True,
        ),
        Column(
            "pool",
            words(60),
            message("The name or the code of the pool. It must be recorded already."),
            "Depot cupboard",
            needed=True,
        ),
        Column(
            "kind",
            words(60),
            message("The name of the kind of linens. It must be recorded already."),
            "Two layers of fleece",
            needed=True,
        ),
        Column(
            "width_mm",
            whole(*SIDE_MM),
            message("One side of the finished size, in whole millimetres. Of a towel: its width."),
            "700",
            needed=True,
        ),
        Column(
            "length_mm",
            whole(*SIDE_MM),
            message("The other side. Of a towel: its length along the ramp."),
            "1400",
            needed=True,
        ),
        Column(
            "number",
            whole(1, MOST_OF_A_ROW),
            message(
                "How many there are: up to %(most)d in a row. Empty means 1.", most=MOST_OF_A_ROW
            ),
            "12",
            empty=1,
        ),
        Column(
            "washed",
            yes_or_no,
            joined(
                " ",
                [message("Washed before, so that it has its finished size already."), YES_OR_NO],
            ),
            "yes",
            empty=False,
        ),
        Column(
            "made_on",
            day,
            message("The day it was made or bought. Empty means the day of the import."),
            "2026-03-02",
            empty=None,
        ),
    ),
)
