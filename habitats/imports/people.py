"""People who log in: a row each. Passwords never stand in a file."""

import re
import unicodedata
from datetime import date

from habitats.imports.cells import (
    SEVERAL,
    YES_AND_NO,
    allowed,
    email,
    empty_means,
    one_of,
    some_of,
    words,
    yes_or_no,
)
from habitats.imports.values import Column, ImportKind, Refused
from habitats.wording import joined, message

LONGEST_LOG_IN, LONGEST_NAME = 150, 150  # as in Django's user
LONGEST_LANGUAGE = 16
LOG_IN = re.compile(r"[\w.@+-]+")
# The same as in habitats/people/models/people.py; a test holds them together.
ROLES = {role: role for role in ("coordinator", "builder", "foster", "laundry")}
UNITS = {units: units for units in ("metric", "inches")}
PAPERS = {"a4": "A4", "letter": "Letter"}


def log_in(text: str, today: date) -> str:
    """A log-in name as the form takes it: one way of writing each letter, and few marks."""
    found: str = unicodedata.normalize("NFKC", words(LONGEST_LOG_IN)(text, today))
    if not LOG_IN.fullmatch(found):
        raise Refused(
            message(
                "A log-in name has letters, digits and @ . + - _ only, and no spaces. Correct it."
            )
        )
    return found


PEOPLE = ImportKind(
    "people",
    message("People"),
    (
        Column(
            "log_in",
            log_in,
            message(
                "The log-in name; an e-mail address works too. If you import a row again, it is "
                "recognised by it."
            ),
            "wren",
            needed=True,
            names_it=True,
        ),
        Column("first_name", words(LONGEST_NAME), message("What the others read."), "Wren"),
        Column("last_name", words(LONGEST_NAME), message("Only coordinators see it."), ""),
        Column(
            "role",
            some_of(ROLES),
            joined(" ", [allowed(ROLES), SEVERAL]),
            "foster",
            needed=True,
        ),
        Column(
            "home",
            words(40),
            message(
                "For a foster: the code of the home, or your own number for it. It must be "
                "recorded already."
            ),
            "H-03",
        ),
        Column(
            "language",
            words(LONGEST_LANGUAGE),
            message("Such as en or de. Empty means as the browser asks."),
            "en",
        ),
        Column(
            "email",
            email,
            message("A link to choose a password can be mailed to it. It stands in the export."),
            "",
        ),
        Column(
            "units",
            one_of(UNITS),
            joined(" ", [allowed(UNITS), empty_means("metric")]),
            "metric",
            empty="metric",
        ),
        Column(
            "paper",
            one_of(PAPERS),
            joined(" ", [allowed(PAPERS.values()), empty_means("A4")]),
            "A4",
            empty="A4",
        ),
        Column(
            "is_active",
            yes_or_no,
            joined(" ", [message("May log in."), YES_AND_NO, empty_means("yes")]),
            "yes",
            empty=True,
        ),
    ),
)
