"""Two records of one animal may tell of one treatment twice: one of the two ends with the merge."""

from collections.abc import Iterator, Mapping
from datetime import date

from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.common.merging import KEPT, ContraryFact
from habitats.health.models.treatments import Treatment, TreatmentStop, drug_key
from habitats.people.models.people import Person


def treatments_in_both(
    sender: object, kept: Animal, double: Animal, **_signal: object
) -> list[ContraryFact]:
    """For ``merge_asked``: running treatments with one drug."""
    return [
        ContraryFact(
            _key(one, other),
            _("%(drug)s is in both, and each dose would be due twice. Which one goes on?")
            % {"drug": one.drug},
            _told(one),
            _told(other),
        )
        for one, other in _pairs(kept, double)
    ]


def end_the_other(
    sender: object,
    kept: Animal,
    double: Animal,
    chosen: Mapping[str, str],
    by: Person,
    **_signal: object,
) -> None:
    """For ``merge_chosen``. Of several pairs, none ends both by contrary choices."""
    ended: set[Treatment] = set()
    for one, other in _pairs(kept, double):
        if ended.isdisjoint((one, other)):
            ended.add(other if chosen.get(_key(one, other)) == KEPT else one)
    for treatment in ended:
        TreatmentStop.objects.get_or_create(
            treatment=treatment,
            defaults={
                "at": timezone.now(),
                "decided_by": str(by)[:80],
                "why": _("Written down twice: the records were merged, and the other goes on."),
                "made_by": by,
            },
        )


def _pairs(kept: Animal, double: Animal) -> Iterator[tuple[Treatment, Treatment]]:
    today = timezone.localdate()
    others = list(_going_on(double, today))
    for one in _going_on(kept, today):
        for other in others:
            if drug_key(one.drug) == drug_key(other.drug):
                yield one, other


def _going_on(animal: Animal, today: date) -> Iterator[Treatment]:
    running = animal.treatments.running(today, date.max).select_related("animal", "stop")
    return (one for one in running.order_by("pk") if not one.is_over)


def _key(one: Treatment, other: Treatment) -> str:
    return f"treatment-{one.pk}-{other.pk}"


def _told(one: Treatment) -> str:
    return ", ".join((one.amount, one.how, one.how_often, *one.times, one.vet))
