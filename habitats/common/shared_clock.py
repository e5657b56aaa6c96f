"""The moment by the one clock that all servers of a rescue share: that of their PostgreSQL.

Of two servers one may be minutes wrong, and would call a search lost that goes on with the other.
SQLite has one server, and its clock.
"""

from datetime import datetime

from django.db import connection
from django.utils import timezone


def shared_now() -> datetime:
    if connection.vendor != "postgresql":
        return timezone.now()
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        (now,) = cursor.fetchone()
    moment: datetime = now
    return moment
