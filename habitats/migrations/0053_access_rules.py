"""First passwords have a day, people can be erased, recovery codes are kept as hashes."""

import re
from base64 import urlsafe_b64encode

import django.core.validators
from django.db import migrations, models
from django.utils import timezone
from django.utils.crypto import salted_hmac

from habitats.common.state_only import StateOnly

# As they are printed; a hash is one longer group.
PLAIN_CODE = re.compile(r"[a-z0-9]{4}-[a-z0-9]{4}-[a-z0-9]{4}")
YEARS = [
    django.core.validators.MinValueValidator(1),
    django.core.validators.MaxValueValidator(30),
]
KINDS = [
    ("logged_in", "Logged in"),
    ("refused", "Log-in refused"),
    ("logged_out", "Logged out"),
    ("devices_ended", "Logged out on other devices"),
    ("password_set", "Password set"),
    ("link_made", "Link for a password made"),
    ("link_mailed", "Link for a password mailed"),
    ("added", "Account added"),
    ("role_changed", "Role changed"),
    ("deactivated", "Account deactivated"),
    ("activated", "Account activated"),
    ("unlocked", "Lock ended"),
    ("second_factor_on", "Second factor set up"),
    ("second_factor_off", "Second factor removed"),
    ("recovery_code_used", "Recovery code used"),
    ("exported", "Everything exported"),
    ("data_handed_out", "Data of a person downloaded"),
    ("erased", "Person erased"),
]


def date_first_passwords(apps, schema_editor):
    """As if they were made today: those that were handed out have their days before them."""
    people = apps.get_model("habitats", "Person").objects
    people.filter(has_first_password=True).update(first_password_at=timezone.now())


def kept_as(code):
    """As the program keeps them from now on."""
    digest = salted_hmac("habitats.recovery_code", code, algorithm="sha256").digest()
    return urlsafe_b64encode(digest[:12]).decode()


def hash_recovery_codes(apps, schema_editor):
    tokens = apps.get_model("otp_static", "StaticToken").objects.iterator()
    for token in tokens:
        if PLAIN_CODE.fullmatch(token.token):
            token.token = kept_as(token.token)
            token.save(update_fields=["token"])


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0052_several_roles"),
        ("otp_static", "0003_add_timestamps"),
    ]

    operations = [
        migrations.AddField(
            model_name="person",
            name="first_password_at",
            field=models.DateTimeField(editable=False, null=True),
        ),
        migrations.RunPython(date_first_passwords, migrations.RunPython.noop),
        StateOnly(
            [
                migrations.RenameField("person", "has_first_password", "is_on_slip"),
                migrations.AlterField(
                    "person",
                    "is_on_slip",
                    models.BooleanField(
                        db_column="has_first_password", default=False, editable=False
                    ),
                ),
            ]
        ),
        migrations.AddField(
            model_name="person",
            name="erased_on",
            field=models.DateField(editable=False, null=True),
        ),
        migrations.AddConstraint(
            model_name="person",
            constraint=models.CheckConstraint(
                name="an_erased_person_is_not_named",
                condition=models.Q(erased_on__isnull=True)
                | models.Q(first_name="", last_name="", email="", is_active=False),
            ),
        ),
        migrations.AddField(
            model_name="rescue",
            name="coordinators_need_second_factor",
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name="rescue",
            name="erase_people_after_years",
            field=models.PositiveSmallIntegerField(blank=True, null=True, validators=YEARS),
        ),
        migrations.AlterField(
            model_name="accessevent",
            name="kind",
            field=models.CharField(choices=KINDS, max_length=20),
        ),
        migrations.RunPython(hash_recovery_codes, migrations.RunPython.noop),
    ]
