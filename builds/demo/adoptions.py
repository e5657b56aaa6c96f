"""The demo's adoptions: a pair that is reserved, one on trial, and a wish on the waiting list."""

import uuid
from datetime import date, timedelta

from django.db import transaction

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Visit
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.steps import AdoptionStep, begin_trial, reserve, visit
from habitats.adoptions.models.wishes import Wish
from habitats.animals.models.animals import Animal
from habitats.animals.models.joining import begin_with
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

RESERVED = ("Sorrel", "Pebble")
ON_TRIAL = ("Burnet", "Vetch")
TERMS = """The animals live together, indoors, in an enclosure as large as agreed.
They are never kept alone: if one dies, the adopter asks us for company for the other.
The adopter takes them to a vet when they are ill.
If they cannot stay, they come back to us, and to nobody else."""


@transaction.atomic
def fill_adoptions(by: Person, today: date) -> None:
    """Nothing where anybody wrote down an adoption already."""
    if Adopter.objects.exists():
        return

    Rescue.objects.filter(pk=Rescue.ours().pk).update(adoption_terms=TERMS)

    def step(days: int, note: str = "") -> AdoptionStep:
        return AdoptionStep(today - timedelta(days=days), by, uuid.uuid4(), note)

    pair = list(Animal.objects.here().filter(name__in=RESERVED).by_name())
    if len(pair) == len(RESERVED):
        one = Adopter.objects.write_down(by=by, name="Wilhelmina Tarrow", phone="555 0148")
        adoption = reserve(one, pair, step(4), notes="")
        HomeCheck.objects.create(
            adoption=adoption,
            kind=HomeCheck.Kind.MEASURED,
            on=today - timedelta(days=3),
            width_mm=1400,
            depth_mm=700,
            height_mm=450,
            upper_mm2=0,
            made_by=by,
        )
    other = Adopter.objects.write_down(by=by, name="Osric Lindqvale", email="osric@example.org")
    trial = reserve(other, _pair(by, today), step(20), notes="")
    visit(trial, Visit.CHANGES, step(14, "The window draught is stopped now."))
    begin_trial(trial, today, step(9))
    Wish.objects.create(
        adopter=Adopter.objects.write_down(by=by, name="Petra Hollowell", phone="555 0162"),
        species="guinea_pig",
        number=2,
        sex=Animal.Sex.FEMALE,
        to_months=48,
        since=today - timedelta(days=24),
        made_by=by,
    )


def _pair(by: Person, today: date) -> list[Animal]:
    """They came for it: nobody else of the story moves out."""
    pair = [
        Animal.objects.take_in(
            by=by,
            name=name,
            species="guinea_pig",
            sex=Animal.Sex.FEMALE,
            born=today - timedelta(days=500),
            came_on=today - timedelta(days=80),
        )
        for name in ON_TRIAL
    ]
    for animal in pair:
        animal.weigh(940, today - timedelta(days=6), by=by)
    begin_with(pair, "guinea_pig", today - timedelta(days=80), by=by)
    return pair
