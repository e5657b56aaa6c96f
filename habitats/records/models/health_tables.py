"""The health log in the archive: entries, treatments as vets wrote them, and their doses."""

from collections.abc import Sequence

from habitats.health.models.entries import HealthEntry
from habitats.health.models.treatments import Dose, Treatment
from habitats.records.models.tables import TableOf, kept, same, table_of
from habitats.wording import message

HEALTH_TABLES: Sequence[TableOf] = (
    table_of(
        "health",
        message("The health log of animals. An entry that another corrects no longer counts."),
        HealthEntry.objects.all(),
        {
            "entry": "pk",
            "animal": "animal__code",
            "kind": "kind",
            "day": "on",
            **same("words", "vet", "grams", "again_on", "settles", "corrects", "why"),
            "mistake": "is_mistake",
            **kept(),
        },
    ),
    table_of(
        "treatments",
        message("Treatments in the words of the vet, and how they were stopped."),
        Treatment.objects.all(),
        {
            "treatment": "pk",
            "animal": "animal__code",
            **same("drug", "amount", "how", "how_often", "times", "first_day", "first_from"),
            **same("last_day", "every_days", "vet", "note"),
            "stopped_at": "stop__at",
            "stop_decided_by": "stop__decided_by",
            "stop_why": "stop__why",
            **kept(),
        },
    ),
    table_of(
        "doses",
        message("What was recorded of each dose. The last row of a dose counts."),
        Dose.objects.all(),
        {
            "treatment": "treatment__pk",
            "animal": "treatment__animal__code",
            **same("due_day", "due_time", "outcome"),
            "given_at": "at",
            **same("given_by", "why"),
            **kept(),
        },
    ),
)
