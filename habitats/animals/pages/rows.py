"""Animals as rows of a list."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from django.shortcuts import get_object_or_404
from django.utils import timezone

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.places import NOWHERE, AnimalPlace, places_of
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.pages.words import age_words, sex_in_a_line, sex_words, species_words
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of


class AnimalRow(NamedTuple):
    """One line of a list. The animal was loaded ``with_weight``."""

    animal: Animal
    place: AnimalPlace
    species: str
    age: str
    sex: str
    is_apart: bool

    @property
    def sex_in_a_line(self) -> str:
        return sex_in_a_line(self.animal)


def rows_of(found: Iterable[Animal], today: date) -> list[AnimalRow]:
    """The animals, loaded ``with_weight``, each with where it is: four queries more."""
    listed = list(found)
    keys = [one.pk for one in listed]
    places = places_of(keys, today)
    limits = limits_of(Rescue.ours())
    apart = set(
        Quarantine.objects.on(today, limits)
        .filter(animal__in=keys)
        .values_list("animal", flat=True)
    )
    return [
        AnimalRow(
            one,
            places.get(one.pk, NOWHERE),
            species_words(one),
            age_words(one, today),
            sex_words(one),
            one.pk in apart,
        )
        for one in listed
    ]


def animal_seen_by(person: Person, code: str) -> Animal:
    """The animal, if the person may see it today; else there is no such page.

    The code of a record that was merged leads to the one that was kept.
    """
    seen: AnimalQuerySet = Animal.objects.visible_to(person, timezone.localdate())
    kept = Animal.objects.filter(code=code.upper()).values_list("same_as__code", flat=True).first()
    return get_object_or_404(seen.select_related("mother"), code=kept or code.upper())
