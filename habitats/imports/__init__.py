"""What people hand in as CSV: a file in, rows of values and every fault with its place out.

Pure: nothing here knows what is remembered already. The day it is, is given.
"""

from habitats.imports.animals import ANIMALS
from habitats.imports.contacts import CONTACTS
from habitats.imports.enclosures import ENCLOSURES
from habitats.imports.homes import HOMES
from habitats.imports.items import ITEMS
from habitats.imports.linens import LINENS
from habitats.imports.people import PEOPLE
from habitats.imports.reading import read
from habitats.imports.template import template
from habitats.imports.text import MOST_BYTES, Unreadable
from habitats.imports.values import (
    MOST_ROWS,
    Column,
    ImportFault,
    ImportKind,
    ImportRow,
    ImportSheet,
)
from habitats.imports.weights import WEIGHTS

__all__ = [
    "KINDS",
    "MOST_BYTES",
    "MOST_ROWS",
    "Column",
    "ImportFault",
    "ImportKind",
    "ImportRow",
    "ImportSheet",
    "Unreadable",
    "read",
    "template",
]

# What can be imported, in the order in which one file points to another.
KINDS: dict[str, ImportKind] = {
    kind.id: kind for kind in (HOMES, CONTACTS, PEOPLE, ENCLOSURES, ANIMALS, WEIGHTS, LINENS, ITEMS)
}
