"""`{% load adoptions %}`: what pages of animals and groups show of adoptions.

Tags, since adoptions stand above animals.
"""

from collections.abc import Iterable
from typing import Any

from django import template
from django.utils import timezone

from habitats.adoptions.models.adoptions import AdoptedAnimal, AdoptionState
from habitats.adoptions.models.deaths import AdopterDeath
from habitats.adoptions.models.wishes import wishes_for
from habitats.animals.models.animals import Animal
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

register = template.Library()
MOST_WAITING = 10


@register.simple_tag
def running_adoptions(animals: Iterable[Any]) -> dict[int, AdoptedAnimal]:
    """By animal, of a page's animals or of rows that have one: one query for all."""
    found = [one if isinstance(one, Animal) else one.animal for one in animals]
    return AdoptedAnimal.objects.of([one.pk for one in found])


@register.simple_tag
def trial_of(running: dict[int, AdoptedAnimal], number: int) -> AdoptedAnimal | None:
    """Of ``running_adoptions``: the trial on which all of so many animals are; else None."""
    on_trial = [one for one in running.values() if one.state == AdoptionState.TRIAL]  # type: ignore[attr-defined]
    is_one = len({one.adoption_id for one in on_trial}) == 1 and len(on_trial) == number
    return on_trial[0] if is_one else None


@register.simple_tag
def adoption_of(animal: Animal) -> AdoptedAnimal | None:
    """The running one of an animal; None if it has none."""
    return AdoptedAnimal.objects.of([animal.pk]).get(animal.pk)


@register.simple_tag
def death_of(animal: Animal) -> AdopterDeath | None:
    """That it died with its adopter; None if nobody told so."""
    return AdopterDeath.objects.of([animal.pk]).get(animal.pk)


@register.inclusion_tag("adoptions/_waiting.html", takes_context=True)
def waiting_for(context: dict[str, Any], animal: Animal) -> dict[str, Any]:
    """Wishes that the animal fits with those it lives with, or would but for one thing; for
    coordinators, since names of adopters are theirs."""
    person = context.get("user")
    if not isinstance(person, Person) or not person.is_coordinator:
        return {}
    found = wishes_for(animal, timezone.localdate(), Rescue.ours())
    return {"waiting": found[:MOST_WAITING]}


@register.inclusion_tag("adoptions/_mark.html")
def adoption_mark(animal: Animal, running: dict[int, AdoptedAnimal]) -> dict[str, Any]:
    """That it is reserved, or on trial; for all who see the animal, so without the adopter."""
    return {"one": running.get(animal.pk)}
