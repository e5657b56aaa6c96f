"""A person may have several roles: several codes in the column that had one."""

from itertools import combinations

from django.db import migrations, models

from habitats.common.state_only import StateOnly

ROLES = ("coordinator", "builder", "foster", "laundry")
CHOICES = [",".join(some) for most in (1, 2, 3, 4) for some in combinations(ROLES, most)]


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0051_task_workers"),
    ]

    operations = [
        migrations.AlterModelManagers(name="person", managers=[]),
        migrations.RemoveConstraint(model_name="person", name="person_role_is_known"),
        StateOnly(
            [
                migrations.AlterField(
                    model_name="person",
                    name="role",
                    field=models.CharField(db_column="role", default="builder", max_length=20),
                ),
                migrations.RenameField(model_name="person", old_name="role", new_name="roles"),
            ]
        ),
        migrations.AlterField(
            model_name="person",
            name="roles",
            field=models.CharField(db_column="role", default="builder", max_length=40),
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                name="person_roles_are_known", condition=models.Q(roles__in=CHOICES)
            ),
        ),
    ]
