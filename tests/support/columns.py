"""Where a word stands in the database, whatever the table."""

from django.db import connection


def columns_with(*words):
    """Table and column of each row of the database in which a word stands."""
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            names = [one[0] for one in cursor.description]
            for row in cursor.fetchall():
                for name, value in zip(names, row, strict=True):
                    said = value if isinstance(value, str) else repr(value)
                    if any(word in said for word in words):
                        found.setdefault(f"{table}.{name}", []).append(said)
    return found
