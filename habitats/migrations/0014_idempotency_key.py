"""``once`` is called ``idempotency_key``. Its columns keep their name: nothing is done to a table."""

import uuid

from django.db import migrations, models

from habitats.common.state_only import StateOnly

IDEMPOTENT = (
    "Alteration",
    "Animal",
    "Birth",
    "ComponentCheck",
    "DesignRevision",
    "Enclosure",
    "EnclosureEvent",
    "Fault",
    "FaultMended",
    "Group",
    "Home",
    "ImportFile",
    "Linen",
    "LinenChange",
    "LinenEvent",
    "LinenRemark",
    "Load",
    "LookOver",
    "Membership",
    "Override",
    "Quarantine",
    "ShrinkTest",
    "SpotClean",
    "Standing",
    "Stay",
    "Trace",
    "TraceEnd",
    "TraceTick",
    "Weighing",
    "WeighingStrike",
)


class Migration(migrations.Migration):
    dependencies = [
        ("habitats", "0013_languages"),
    ]

    operations = [
        StateOnly(
            [
                step
                for model in IDEMPOTENT
                for step in (
                    migrations.RenameField(model, "once", "idempotency_key"),
                    migrations.AlterField(
                        model,
                        "idempotency_key",
                        models.UUIDField(
                            db_column="once", default=uuid.uuid4, editable=False, unique=True
                        ),
                    ),
                )
            ]
        )
    ]
