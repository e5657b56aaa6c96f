"""What an animal's leaving and coming back, written down elsewhere, mean for its adoption."""

from datetime import date

from django.utils import timezone

from habitats.adoptions.models.adoptions import AdoptedAnimal
from habitats.animals.models.animals import Animal


def end_when_it_left(sender: object, animal: Animal, on: date, why: str, **_: object) -> None:
    """For ``animal_left``: one that died or went elsewhere is adopted by nobody."""
    if why != Animal.Leaving.ADOPTED:
        AdoptedAnimal.objects.open().filter(animal=animal).update(ended_on=on)


def end_when_it_is_back(sender: object, animal: Animal, **_: object) -> None:
    """For ``animal_back``: readmitted on its own page, it is with its adopter no longer."""
    AdoptedAnimal.objects.open().filter(animal=animal).update(ended_on=timezone.localdate())
