"""What the program says in a row is kept with its values, so that each reader is told it in their
language. What is known word for word is carried over; all else stays as it was written."""

import json
import re

from django.db import migrations, models

AT_ONCE = 500
PARTS = ("plain panel", "doorway panel", "panel to bend", "connector", "lid clip")
DAMAGED, STOPPED = "damaged, reported on the build", "the build is stopped"
# By model and column: which rows, and the sentences that stood in them, as (English, pattern).
SAID = {
    ("Movement", "note"): [
        ({"why": "out", "pull__isnull": False}, "instead of (?P<item>.+)", "instead of %(item)s"),
        ({"why": "release", "build__isnull": False}, STOPPED, STOPPED),
        ({"why__in": ["in", "write_off"], "build__isnull": False}, DAMAGED, DAMAGED),
        (
            {"why": "in"},
            rf"Back from (?P<enclosure>.+) \((?P<code>\w+)\), retired: (?P<part>{'|'.join(PARTS)})",
            "Back from %(enclosure)s (%(code)s), retired: %(part)s",
        ),
    ],
    ("ShortPick", "note"): [({"why": "unneeded"}, "left over", "left over")],
    ("StrayAct", "why"): [
        (
            {},
            re.escape("It came without a UUID of its own, so it could be taken twice."),
            "It came without a UUID of its own, so it could be applied twice.",
        ),
        ({}, re.escape("It names no step."), "It names no step."),
        ({}, re.escape("Its picture is not in base64."), "Its picture is not in base64."),
        (
            {},
            re.escape("It does not say whether the part is missing or damaged."),
            "It does not say whether the part is missing or damaged.",
        ),
        (
            {},
            re.escape("Something else was sent under the same number before."),
            "Something else was sent before under the same number.",
        ),
        (
            {},
            re.escape("Through a link of a kit steps are ticked, and nothing else."),
            "Through the link of a kit you can only tick steps.",
        ),
        (
            {},
            "(?P<person>.+) is no builder any more. A coordinator looks at this.",
            "%(person)s is no longer a builder. A coordinator will look at this.",
        ),
        (
            {},
            "“(?P<build>.+)” is stopped, so nothing more is done on it.",
            "“%(build)s” is stopped, so you can add nothing more to it.",
        ),
        (
            {},
            "“(?P<build>.+)” is handed over, so nothing more is done on it.",
            "“%(build)s” is handed over, so you can add nothing more to it.",
        ),
        (
            {},
            re.escape("This step is in no plan of the build."),
            "This step is in no plan of the build.",
        ),
        (
            {},
            re.escape("The inspection is ticked by signing it, on a page of its own."),
            "To tick the inspection, sign it on its own page.",
        ),
    ],
}
IN_JSON = [*SAID, ("BuildEvent", "note"), ("Repair", "what")]


def sentence(pattern, values):
    """As ``stored_wording`` keeps it; parts have names of their own in each language."""
    if not values:
        return json.dumps({"pattern": pattern}, ensure_ascii=False)
    told = {
        name: {"pattern": value} if name == "part" else value for name, value in values.items()
    }
    return json.dumps(
        {"pattern": pattern, "values": told, "text": pattern % values}, ensure_ascii=False
    )


# Rows are append only: past `save`, by the database, since only the form of what they say changes.
def keep_with_values(apps, schema_editor):
    for (name, column), known in SAID.items():
        rows = apps.get_model("builds", name).objects.using(schema_editor.connection.alias)
        for which, english, pattern in known:
            chosen = rows.filter(**which).order_by()
            for told in set(chosen.values_list(column, flat=True).iterator(AT_ONCE)):
                if found := re.fullmatch(english, told):
                    kept = sentence(pattern, found.groupdict())
                    chosen.filter(**{column: told}).update(**{column: kept})


def keep_hand_overs(apps, schema_editor):
    alias = schema_editor.connection.alias
    events = apps.get_model("builds", "BuildEvent").objects.using(alias)
    for receipt in apps.get_model("builds", "KitReceipt").objects.using(alias):
        received = f"Received by {receipt.received_by}."
        told = {"pattern": "Received by %(name)s.", "values": {"name": receipt.received_by}}
        english = received
        if receipt.note:
            told, english = (
                {"joined": [told, receipt.note], "between": " "},
                f"{received} {receipt.note}",
            )
        kept = json.dumps({**told, "text": english}, ensure_ascii=False)
        said = events.filter(build=receipt.build_id, state="handed over", note=english)
        said.update(note=kept)


def keep_repairs(apps, schema_editor):
    """Where nobody said what was wrong, it is the question that was answered with no."""
    repairs = apps.get_model("builds", "Repair").objects.using(schema_editor.connection.alias)
    for repair in repairs.select_related("inspection"):
        for answer in repair.inspection.answers:
            asked = answer["question"]
            if answer["code"] != repair.code or answer["note"]:
                continue
            asked = asked if isinstance(asked, dict) else {"pattern": asked}
            if asked.get("text", asked.get("pattern")) == repair.what:
                kept = json.dumps(asked, ensure_ascii=False)
                repairs.filter(pk=repair.pk).update(what=kept)


def name_repairs(apps, schema_editor):
    builds = apps.get_model("builds", "Build").objects.using(schema_editor.connection.alias)
    mending = builds.filter(plans__is_repair=True, name__startswith="Repair of ").distinct()
    for pk, name in list(mending.values_list("pk", "name")):
        name = name.removeprefix("Repair of ")
        if name:
            builds.filter(pk=pk).update(name=name, is_named_as_repair=True)


def drop_notes_of_parts(apps, schema_editor):
    """Nobody reads them: a part list has them, in the reader's language."""
    plans = apps.get_model("builds", "BuildPlan").objects.using(schema_editor.connection.alias)
    for plan in plans.only("parts").iterator(AT_ONCE):
        parts = [{name: told for name, told in one.items() if name != "note"} for one in plan.parts]
        plans.filter(pk=plan.pk).update(parts=parts)


def keep_in_english(apps, schema_editor):
    alias = schema_editor.connection.alias
    for name, column in IN_JSON:
        rows = apps.get_model("builds", name).objects.using(alias)
        told = rows.filter(**{f"{column}__startswith": "{"}).order_by()
        for kept in set(told.values_list(column, flat=True).iterator(AT_ONCE)):
            try:
                said = json.loads(kept)
            except ValueError:
                continue
            rows.filter(**{column: kept}).update(**{column: said.get("text", said["pattern"])})
    builds = apps.get_model("builds", "Build").objects.using(alias)
    for build in builds.filter(is_named_as_repair=True):
        builds.filter(pk=build.pk).update(name=f"Repair of {build.name}"[:80])
    plans = apps.get_model("builds", "BuildPlan").objects.using(alias)
    for plan in plans.only("parts").iterator(AT_ONCE):
        plans.filter(pk=plan.pk).update(parts=[{**one, "note": ""} for one in plan.parts])


def keep(apps, schema_editor):
    keep_with_values(apps, schema_editor)
    keep_hand_overs(apps, schema_editor)
    keep_repairs(apps, schema_editor)
    name_repairs(apps, schema_editor)
    drop_notes_of_parts(apps, schema_editor)


class Migration(migrations.Migration):
    dependencies = [("builds", "0009_worked_panels")]

    operations = [
        migrations.AddField(
            "Build", "is_named_as_repair", models.BooleanField(default=False, editable=False)
        ),
        migrations.AlterField("BuildEvent", "note", models.TextField(blank=True)),
        migrations.AlterField("Movement", "note", models.TextField(blank=True)),
        migrations.AlterField("Repair", "what", models.TextField()),
        migrations.AlterField("ShortPick", "note", models.TextField(blank=True)),
        migrations.AlterField("StrayAct", "why", models.TextField()),
        migrations.RunPython(keep, keep_in_english),
    ]
