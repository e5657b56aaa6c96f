"""Of each pool the loads that are foreseen are kept, too: forecasts of before are made again."""

from datetime import date

from django.db import migrations, models


def forget(apps, schema_editor):
    apps.get_model("habitats", "PoolDates").objects.update(as_of=date.min)


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0053_access_rules"),
    ]

    operations = [
        migrations.AddField(
            model_name="pooldates",
            name="is_drawn_from",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="pooldates",
            name="loads",
            field=models.JSONField(default=list),
        ),
        migrations.AddField(
            model_name="pooldates",
            name="times_forgotten",
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.RunPython(forget, migrations.RunPython.noop),
    ]
