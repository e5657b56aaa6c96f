"""Panels that were cut or bent are told by their kind, and sheets by their measures alone."""

import re

from django.db import migrations, models

NAMED = re.compile(r"(doorway|ramp) panel, (\d+) mm, (\d+) squares", re.IGNORECASE)
PANELS = ["panel", "doorway", "ramp"]
KINDS = [*PANELS, "connector", "tie", "clip", "sheet", "tape", "cloth", "tool", "other"]
WITH_SIZE = models.Q(panel_mm__isnull=False, panel_squares__isnull=False)
WITHOUT = models.Q(panel_mm__isnull=True, panel_squares__isnull=True)


def tell_by_kind(apps, schema_editor):
    items = apps.get_model("builds", "Item").objects.using(schema_editor.connection.alias)
    for item in items.filter(kind="other"):
        if found := NAMED.fullmatch(item.name):
            item.kind = found[1].lower()
            item.panel_mm, item.panel_squares = int(found[2]), int(found[3])
            item.save()


def tell_by_name(apps, schema_editor):
    items = apps.get_model("builds", "Item").objects.using(schema_editor.connection.alias)
    items.filter(kind__in=["doorway", "ramp"]).update(
        kind="other", panel_mm=None, panel_squares=None
    )


def name_sheets(apps, schema_editor):
    rename_sheets(apps, schema_editor, "{0}, {1} × {2} × {3} mm")


def name_sheets_in_words(apps, schema_editor):
    rename_sheets(apps, schema_editor, "{0}, {1} × {2} mm, {3} mm thick")


def rename_sheets(apps, schema_editor, pattern):
    alias = schema_editor.connection.alias
    items = apps.get_model("builds", "Item").objects.using(alias)
    for kind in apps.get_model("builds", "SheetKind").objects.using(alias):
        thick = f"{kind.thickness_mm.normalize():f}"
        name = pattern.format(kind.name, kind.width_mm, kind.height_mm, thick)
        items.filter(pk=kind.item_id).update(name=name)


class Migration(migrations.Migration):
    dependencies = [("builds", "0008_what_was_paid")]

    operations = [
        migrations.RemoveConstraint("Item", "item_kind_is_known"),
        migrations.RemoveConstraint("Item", "a_panel_has_its_size_and_nothing_else_has"),
        migrations.AlterField(
            "Item",
            "kind",
            models.CharField(
                choices=[
                    ("panel", "Panel"),
                    ("doorway", "Doorway panel"),
                    ("ramp", "Ramp panel"),
                    ("connector", "Connector"),
                    ("tie", "Cable tie"),
                    ("clip", "Lid clip"),
                    ("sheet", "Sheet"),
                    ("tape", "Sheet tape"),
                    ("cloth", "Cloth"),
                    ("tool", "Tool"),
                    ("other", "Other"),
                ],
                max_length=10,
            ),
        ),
        migrations.RunPython(tell_by_kind, tell_by_name),
        migrations.RunPython(name_sheets, name_sheets_in_words),
        migrations.AddConstraint(
            "Item",
            models.CheckConstraint(
                condition=models.Q(kind__in=KINDS), name="item_kind_is_known"
            ),
        ),
        migrations.AddConstraint(
            "Item",
            models.CheckConstraint(
                condition=(models.Q(kind__in=PANELS) & WITH_SIZE)
                | (~models.Q(kind__in=PANELS) & WITHOUT),
                name="a_panel_has_its_size_and_nothing_else_has",
            ),
        ),
    ]
