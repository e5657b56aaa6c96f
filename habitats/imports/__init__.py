"""What people hand in as CSV: a file in, rows of values and every fault with its place out.

Pure: nothing here knows what is remembered already. The day it is, is given.
"""

from habitats.imports.kinds import KINDS
from habitats.imports.reading import MOST_ROWS, read
from habitats.imports.template import template
from habitats.imports.text import MOST_BYTES, Unreadable
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow, ImportSheet

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
