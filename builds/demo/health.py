"""The demo's health log: Biscuit on a course of drops, re-checks, a vaccination. All invented.

No drug of this name is known to us, and no amount here says what any animal is to be given.
"""

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from django.db import transaction
from django.utils import timezone

from habitats.animals.models.animals import Animal
from habitats.health.models.entries import EntryKind, HealthEntry
from habitats.health.models.treatments import Dose, Treatment
from habitats.people.models.people import Person

VET = "Dr Quail, Larkrise"
ON_DROPS = "Biscuit"
TIMES = ("08:00", "20:00")
BEGUN, LASTS = 2, 7  # days ago, and days in all


class ToldEntry(NamedTuple):
    """Written so many days ago; ``again``: in so many days from today."""

    animal: str
    kind: EntryKind
    ago: int
    words: str
    vet: str = ""
    again: int | None = None


ENTRIES = (
    ToldEntry(
        "Biscuit",
        EntryKind.VISIT,
        2,
        "Lost weight. Back teeth uneven on the left, filed. Drops against pain for a week, weigh "
        "her every day, then see her again.",
        VET,
        again=5,
    ),
    ToldEntry(
        "Pepper",
        EntryKind.FINDING,
        8,
        "Dry crust on the edge of his left ear. The vet saw a photo, wants to see him in a week.",
        VET,
        again=-1,
    ),
    ToldEntry("Biscuit", EntryKind.TEETH, 26, ""),
    ToldEntry("Biscuit", EntryKind.NAILS, 40, ""),
    ToldEntry("Bracken", EntryKind.VACCINATION, 353, "Yearly vaccination.", VET, again=12),
)


@transaction.atomic
def fill_health(by: Person, foster: Person, today: date) -> None:
    """Write down what vets said; nothing where anybody did already."""
    if HealthEntry.objects.exists():
        return
    named = {one.name: one for one in Animal.objects.here().order_by("-pk")}
    for told in ENTRIES:
        if told.animal in named:
            _entry(told, named[told.animal], by, today)
    treated = named.get(ON_DROPS)
    if treated:
        _drops(treated, foster, today)


def _entry(told: ToldEntry, animal: Animal, by: Person, today: date) -> None:
    on = today - timedelta(days=told.ago)
    HealthEntry.objects.create(
        animal=animal,
        kind=told.kind,
        on=on,
        words=told.words,
        vet=told.vet,
        again_on=None if told.again is None else today + timedelta(days=told.again),
        made_by=by,
        made_at=_moment(on, time(18)),
    )


def _drops(animal: Animal, foster: Person, today: date) -> None:
    """Given since they were begun, but for one that she spat out."""
    first = today - timedelta(days=BEGUN)
    course = Treatment.objects.create(
        animal=animal,
        drug="Amber drops",
        amount="0.2 ml",
        how="by mouth, from a syringe",
        how_often="twice a day for seven days, then see her again",
        times=list(TIMES),
        first_day=first,
        last_day=first + timedelta(days=LASTS - 1),
        vet=VET,
        made_by=foster,
        made_at=_moment(first, time(7)),
    )
    for ago in range(1, BEGUN + 1):
        day = today - timedelta(days=ago)
        for at in TIMES:
            due = time.fromisoformat(at)
            spat = ago == 1 and at == TIMES[-1]
            Dose.objects.create(
                treatment=course,
                due_day=day,
                due_time=due,
                outcome=Dose.Outcome.NOT_GIVEN if spat else Dose.Outcome.GIVEN,
                at=None if spat else _moment(day, due),
                why="spat it all out; the vet says to go on as written" if spat else "",
                made_by=foster,
                made_at=_moment(day, due),
            )


def _moment(day: date, at: time) -> datetime:
    return timezone.make_aware(datetime.combine(day, at))
