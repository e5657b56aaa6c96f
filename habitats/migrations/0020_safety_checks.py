"""A look-over is called a safety check. Its table and columns keep their names: nothing is done."""

import django.core.validators
import django.db.models.deletion
from django.db import migrations, models

from habitats.common.state_only import StateOnly


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0019_plain_choices"),
    ]

    operations = [
        StateOnly(
            [
                migrations.RenameModel("LookOver", "SafetyCheck"),
                migrations.AlterModelTable("SafetyCheck", "habitats_lookover"),
                migrations.AlterField(
                    "SafetyCheck",
                    "enclosure",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="safety_checks",
                        to="habitats.enclosure",
                    ),
                ),
                migrations.RenameField("Fault", "look", "safety_check"),
                migrations.AlterField(
                    "Fault",
                    "safety_check",
                    models.ForeignKey(
                        db_column="look_id",
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="faults",
                        to="habitats.safetycheck",
                    ),
                ),
                migrations.RemoveConstraint("Rescue", "enclosures_are_looked_over"),
                migrations.RenameField("Rescue", "look_over_days", "safety_check_days"),
                migrations.AlterField(
                    "Rescue",
                    "safety_check_days",
                    models.PositiveSmallIntegerField(
                        db_column="look_over_days",
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(7),
                            django.core.validators.MaxValueValidator(180),
                        ],
                    ),
                ),
                migrations.AddConstraint(
                    "Rescue",
                    models.CheckConstraint(
                        condition=models.Q(safety_check_days__range=(7, 180)),
                        name="enclosures_are_looked_over",
                    ),
                ),
            ]
        )
    ]
