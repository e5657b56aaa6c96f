"""Two records of one animal, of which one is reserved, on trial or adopted."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import AdoptedAnimal, AdoptionState
from habitats.animals.models.animals import Animal
from habitats.common.merging import DOUBLE, CannotMerge


def refuse_two_adoptions(sender: object, kept: Animal, double: Animal, **_signal: object) -> None:
    """For ``merge_asked``: no animal is in two adoptions at once."""
    both = AdoptedAnimal.objects.of([kept.pk, double.pk])
    if len(both) == 2:
        raise CannotMerge(
            _(
                "Both are reserved, on trial or adopted: %(one)s for %(adopter)s, %(other)s for "
                "%(others)s. End one of these adoptions first."
            )
            % {
                "one": kept,
                "adopter": both[kept.pk].adoption.adopter,
                "other": double,
                "others": both[double.pk].adoption.adopter,
            }
        )


def keep_with_its_adopter(
    sender: object, kept: Animal, double: Animal, chosen: Mapping[str, str], **_signal: object
) -> None:
    """For ``merge_chosen``: an adopted animal is in nobody else's care, so its departure stays."""
    taken = double if chosen.get("left_on") == DOUBLE else kept
    running = AdoptedAnimal.objects.of([kept.pk, double.pk])
    for one in running.values():
        is_adopted = vars(one)["state"] == AdoptionState.ADOPTED
        if is_adopted and taken.left_why != Animal.Leaving.ADOPTED:
            raise CannotMerge(
                _(
                    "%(animal)s is adopted by %(adopter)s. Choose that departure, or record on "
                    "the page of the adoption that it came back."
                )
                % {"animal": one.animal, "adopter": one.adoption.adopter}
            )
        if not is_adopted and taken.left_on:
            raise CannotMerge(
                _(
                    "%(animal)s is reserved for %(adopter)s, or on trial there. Choose “in our "
                    "care”, or end that adoption first."
                )
                % {"animal": one.animal, "adopter": one.adoption.adopter}
            )
