"""``once`` is called ``idempotency_key``. Its columns keep their name: nothing is done to a table."""

import uuid

from django.db import migrations, models

from habitats.common.state_only import StateOnly

IDEMPOTENT = (
    "Batch",
    "BatchLine",
    "Build",
    "BuildEvent",
    "BuildNote",
    "BuildPhoto",
    "BuildPlan",
    "CuttingJob",
    "Delivery",
    "DeliveryReversal",
    "FaultWork",
    "FollowUp",
    "FollowUpDone",
    "Inspection",
    "JobEnding",
    "KitLink",
    "KitReceipt",
    "KitTick",
    "KitWeighing",
    "Movement",
    "Offcut",
    "OffcutMove",
    "Overtaken",
    "Pull",
    "PullEnd",
    "Repair",
    "ShortPick",
    "Shortage",
    "Start",
    "Stocktake",
    "StrayAct",
    "Tick",
)


class Migration(migrations.Migration):
    dependencies = [
        ("builds", "0003_part_codes"),
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
