"""What the program says in a row is kept with its values, so that each reader is told it in their
language. What is known word for word is carried over; all else stays as it was written."""

import json
import re

from django.db import migrations, models

AT_ONCE = 500
# By model and column: which rows, and the sentences that stood in them, as (English, pattern).
SAID = {
    ("FaultMended", "note"): [
        ({}, r"Mended by the repair (?P<code>\w+)\.", "Mended by the repair %(code)s."),
    ],
    ("LinenEvent", "note"): [
        ({"load__isnull": False}, "washed again, in a row", "washed again, in a row"),
        ({"state": "set aside"}, r"Met in the trace (?P<code>\w+)\.", "Met in the trace %(code)s."),
    ],
    ("LinenRemark", "note"): [
        (
            {"spot__isnull": True},
            r"Scanned at None, but it stays where it was\.",
            "Scanned elsewhere, but it stays where it was.",
        ),
        (
            {"spot__isnull": False},
            r"Scanned at (?P<place>.+), but it stays where it was\.",
            "Scanned at %(place)s, but it stays where it was.",
        ),
    ],
}


def sentence(pattern, values):
    """As ``stored_wording`` keeps it."""
    if not values:
        return json.dumps({"pattern": pattern}, ensure_ascii=False)
    told = {"pattern": pattern, "values": values, "text": pattern % values}
    return json.dumps(told, ensure_ascii=False)


# Rows are append only: past `save`, by the database, since only the form of what they say changes.
def keep_with_values(apps, schema_editor):
    for (name, column), known in SAID.items():
        rows = apps.get_model("habitats", name).objects.using(schema_editor.connection.alias)
        for which, english, pattern in known:
            chosen = rows.filter(**which).order_by()
            for told in set(chosen.values_list(column, flat=True).iterator(AT_ONCE)):
                if found := re.fullmatch(english, told):
                    kept = sentence(pattern, found.groupdict())
                    chosen.filter(**{column: told}).update(**{column: kept})


def keep_in_english(apps, schema_editor):
    for name, column in SAID | {("Override", "sentence"): []}:
        rows = apps.get_model("habitats", name).objects.using(schema_editor.connection.alias)
        told = rows.filter(**{f"{column}__startswith": "{"}).order_by()
        for kept in set(told.values_list(column, flat=True).iterator(AT_ONCE)):
            try:
                said = json.loads(kept)
            except ValueError:
                continue
            rows.filter(**{column: kept}).update(**{column: said.get("text", said["pattern"])})


class Migration(migrations.Migration):
    dependencies = [("habitats", "0015_currency")]

    operations = [
        migrations.AlterField("FaultMended", "note", models.TextField(blank=True)),
        migrations.AlterField("LinenEvent", "note", models.TextField(blank=True)),
        migrations.AlterField("LinenRemark", "note", models.TextField()),
        migrations.AlterField("Override", "sentence", models.TextField()),
        migrations.RunPython(keep_with_values, keep_in_english),
    ]
