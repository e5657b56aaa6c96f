"""How many rows of which kind there are, told to PostgreSQL once many came at once.

Until it looks by itself, minutes later, it plans each question as if the tables held next to
nothing: one that takes seconds was seen to go on for half an hour.
"""

from django.db import connections

MANY = 200  # rows at once, from which it is worth some tenths of a second


def count_rows(alias: str = "default") -> None:
    """Of all tables of the database; SQLite plans without."""
    if connections[alias].vendor == "postgresql":
        with connections[alias].cursor() as cursor:
            cursor.execute("ANALYZE")
