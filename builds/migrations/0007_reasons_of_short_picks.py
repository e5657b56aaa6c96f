# Words only: the reasons for which fewer pieces are taken.

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0006_cancelled_jobs'),
    ]

    operations = [
        migrations.AlterField(
            model_name='shortpick',
            name='why',
            field=models.CharField(choices=[('missing', 'Not on the shelf'), ('instead', 'Alternative taken'), ('unneeded', 'Not needed')], max_length=10),
        ),
    ]
