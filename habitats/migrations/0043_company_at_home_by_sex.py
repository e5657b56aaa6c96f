"""Who lives at a new home already is told by sex; what was told without a sex stays so."""

from django.db import migrations, models

MOST = 20
NEW = ("females", "spayed", "males", "castrated", "others")
ALL = (*NEW, "unsexed")


def number(**options):
    return models.PositiveSmallIntegerField(default=0, **options)


class Migration(migrations.Migration):
    dependencies = [("habitats", "0042_limits_of_homes")]

    operations = [
        migrations.RemoveConstraint("adoption", "company_at_home_is_sane"),
        migrations.AlterField(
            "adoption", "company_at_home", number(db_column="company_at_home")
        ),
        migrations.RenameField("adoption", "company_at_home", "unsexed_at_home"),
        *(migrations.AddField("adoption", f"{one}_at_home", number()) for one in NEW),
        migrations.AddConstraint(
            "adoption",
            models.CheckConstraint(
                name="company_at_home_is_sane",
                condition=models.Q(**{f"{one}_at_home__lte": MOST for one in ALL}),
            ),
        ),
    ]
