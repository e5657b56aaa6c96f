"""What the whole archive has: which tables, which of their columns, and what it leaves out.

A new table is in it by itself. What opens a door to somebody, and what is worked out of other rows,
is named here.
"""

from collections.abc import Sequence

from django.db import models

from habitats.backups.models.schema import Table

FORMAT = "rescue-archive/1"
CONTENTS = "archive.json"
MEDIA = "media"
OURS = ("habitats", "builds")
# Who reads these could come in as somebody. Other apps' tables (sessions, failed log-ins, second
# factors, rights nobody is given) are left out whole.
SECRET = {"Device", "CalendarFeed", "Person_groups", "Person_user_permissions"}
# Worked out again when somebody asks, or said again when somebody is there.
WORKED_OUT = {"Reading", "DueRow", "Unhoused", "UnhousedSearch", "PoolDates", "TaskWorker"}
SECRET_COLUMNS = {("Person", "password")}
LEFT_OUT = (
    "passwords, second factors, log-ins, devices and failed tries, calendar addresses, "
    "the secret key"
)


def in_archive(tables: Sequence[Table]) -> list[Table]:
    """Those of the tables that the archive has."""
    left_out = SECRET | WORKED_OUT
    return [
        table
        for table in tables
        if table._meta.app_label in OURS and table._meta.object_name not in left_out
    ]


def columns_of(table: Table) -> "list[models.Field[object, object]]":
    name = table._meta.object_name
    fields = table._meta.local_concrete_fields
    return [one for one in fields if (name, one.name) not in SECRET_COLUMNS]


def file_of(table: Table) -> str:
    """The name of the table's file in the archive."""
    return f"tables/{table._meta.db_table}.jsonl"


def photo_columns(table: Table) -> list[str]:
    fields = table._meta.local_concrete_fields
    return [one.attname for one in fields if isinstance(one, models.FileField)]
