"""What was called scrapped is written off, in rows too."""

from django.db import migrations, models

# table, column, the code up to 0.2.0, the code from here on
CODES = (
    ("Movement", "why", "scrap", "write_off"),
    ("OffcutMove", "what", "scrapped", "written_off"),
)


# Both kinds of row are append only: past `save`, by the database, since only the code changes.
def write_new_codes(apps, schema_editor):
    for name, field, before, after in CODES:
        rows = apps.get_model("builds", name).objects.using(schema_editor.connection.alias)
        rows.filter(**{field: before}).update(**{field: after})


def write_old_codes(apps, schema_editor):
    for name, field, before, after in CODES:
        rows = apps.get_model("builds", name).objects.using(schema_editor.connection.alias)
        rows.filter(**{field: after}).update(**{field: before})


class Migration(migrations.Migration):
    dependencies = [("builds", "0001_squashed_0014_deliveries")]

    operations = [
        migrations.RemoveConstraint("Movement", "movement_goes_its_way"),
        migrations.RemoveConstraint("OffcutMove", "an_offcut_ends_once"),
        migrations.AlterField(
            "Movement",
            "why",
            models.CharField(
                choices=[
                    ("in", "Came in"),
                    ("out", "Taken"),
                    ("reserve", "Reserved"),
                    ("release", "No longer reserved"),
                    ("move", "Moved"),
                    ("count", "Counted"),
                    ("write_off", "Written off"),
                    ("cut", "Cut up"),
                    ("found", "Found when cutting"),
                    ("reversed", "Delivery reversed"),
                ],
                max_length=10,
            ),
        ),
        migrations.AlterField(
            "OffcutMove",
            "what",
            models.CharField(
                choices=[
                    ("stored", "Put"),
                    ("cut", "Cut up"),
                    ("written_off", "Written off"),
                ],
                max_length=20,
            ),
        ),
        migrations.RunPython(write_new_codes, write_old_codes),
        migrations.AddConstraint(
            "Movement",
            models.CheckConstraint(
                name="movement_goes_its_way",
                condition=models.Q(why__in=["in", "found"], on_hand_change__gt=0, reserved_change=0)
                | models.Q(
                    why__in=["out", "cut"],
                    on_hand_change__lt=0,
                    reserved_change__lte=0,
                    reserved_change__gte=models.F("on_hand_change"),
                )
                | models.Q(
                    why__in=["write_off", "reversed"], on_hand_change__lt=0, reserved_change=0
                )
                | models.Q(why="reserve", on_hand_change=0, reserved_change__gt=0)
                | models.Q(why="release", on_hand_change=0, reserved_change__lt=0)
                | models.Q(why="count", reserved_change=0)
                | models.Q(
                    why="move",
                    on_hand_change__gt=0,
                    reserved_change__gte=0,
                    reserved_change__lte=models.F("on_hand_change"),
                )
                | models.Q(
                    why="move",
                    on_hand_change__lt=0,
                    reserved_change__lte=0,
                    reserved_change__gte=models.F("on_hand_change"),
                ),
            ),
        ),
        migrations.AddConstraint(
            "OffcutMove",
            models.UniqueConstraint(
                fields=["offcut"],
                condition=models.Q(what__in=["cut", "written_off"]),
                name="an_offcut_ends_once",
            ),
        ),
    ]
