from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("builds", "0005_plain_words")]

    operations = [
        migrations.AlterField(
            model_name="jobending",
            name="what",
            field=models.CharField(
                choices=[("cut", "Cut"), ("dropped", "Cancelled")], max_length=10
            ),
        ),
    ]
