"""Days of quarantine are those of each species; what was set holds for both."""

import django.core.validators
from django.db import migrations, models


def as_before(apps, schema_editor):
    rescues = apps.get_model("habitats", "Rescue").objects
    rescues.update(rabbit_quarantine_days=models.F("guinea_pig_quarantine_days"))


class Migration(migrations.Migration):

    dependencies = [
        ('habitats', '0048_erased_adopters'),
    ]

    operations = [
        migrations.RemoveConstraint(model_name="rescue", name="quarantine_is_long_enough"),
        migrations.RenameField("rescue", "quarantine_days", "guinea_pig_quarantine_days"),
        migrations.AddField(
            model_name="rescue",
            name="rabbit_quarantine_days",
            field=models.PositiveSmallIntegerField(
                default=14,
                validators=[
                    django.core.validators.MinValueValidator(14),
                    django.core.validators.MaxValueValidator(90),
                ],
            ),
        ),
        migrations.RunPython(as_before, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="rescue",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("guinea_pig_quarantine_days__gte", 14), ("rabbit_quarantine_days__gte", 14)
                ),
                name="quarantine_is_long_enough",
            ),
        ),
    ]
