import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("builds", "0004_carry_over")]

    operations = [
        migrations.AlterField(
            model_name="sheetkind",
            name="item",
            field=models.OneToOneField(
                editable=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sheet",
                to="builds.item",
            ),
        ),
        migrations.RemoveField(model_name="offcutmove", name="place_words"),
        migrations.DeleteModel(name="SheetMovement"),
    ]
