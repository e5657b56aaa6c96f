"""Homes of the demo that are away soon, and an animal that must not climb. All invented."""

from datetime import date, timedelta

from django.db import transaction

from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import ClimbingBan
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

# By the name of the home: in so many days, for how many, and who covers.
AWAY = {"Idris": (4, 9, "Tobi"), "Noor": (10, 3, "")}
STIFF, VET, WORDS = "Rhubarb", "Dr Quill", "stiff hips: a flat floor for now"
SINCE_DAYS = 12


@transaction.atomic
def fill_away(by: Person, today: date) -> None:
    """Record it; nothing where it is recorded already."""
    if Absence.objects.exists():
        return
    for home in Home.objects.filter(name__in=AWAY).order_by("pk"):
        ahead, days, cover = AWAY[home.name]
        first = today + timedelta(days=ahead)
        last = first + timedelta(days=days - 1)
        facts = {"first_day": first, "last_day": last, "covered_by": cover}
        Absence.objects.record(home, by=by, idempotency_key=None, **facts)
    stiff = Animal.objects.here().filter(name=STIFF).first()
    if stiff:
        since = today - timedelta(days=SINCE_DAYS)
        facts = {"since": since, "said_by": VET, "words": WORDS, "made_by": by}
        ClimbingBan.objects.create(animal=stiff, **facts)
