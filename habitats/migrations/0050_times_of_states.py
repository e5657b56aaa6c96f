from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0049_quarantine_by_species"),
    ]

    operations = [
        migrations.AddField(
            model_name="enclosureevent",
            name="begun_at",
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="enclosureevent",
            name="ended_at",
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.AddField(
            model_name="enclosureevent",
            name="table_minutes",
            field=models.PositiveSmallIntegerField(editable=False, null=True),
        ),
    ]
