"""Animals in our care that are in no group: they wait, and could live with others."""

from collections import Counter
from collections.abc import Mapping
from datetime import date

from habitats.animals.models.animals import Animal
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companions_of, with_facts
from habitats.readings.models.unhoused import Unhoused, UnhousedQuerySet
from habitats.welfare.companion import Companion
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.quarantine import in_quarantine

LOOSE = "animal-"  # before the code of an animal, which could be that of a group too


def in_no_group(today: date) -> UnhousedQuerySet:
    return Unhoused.objects.fresh(today).filter(group__isnull=True)


def loose_animals(today: date) -> Mapping[str, Companion]:
    """By their refs in a case."""
    animals = Animal.objects.filter(pk__in=in_no_group(today).values("animal"))
    found = companions_of(with_facts(animals, today).order_by("code"))
    return {f"{LOOSE}{one.ref}": one for one in found}


def sharing_a_quarantine(
    animals: Mapping[str, Companion], day: date, limits: WelfareLimits
) -> frozenset[str]:
    """Refs of newcomers that came together: not one to an enclosure, and nobody joins them. So
    they are made groups by hand first."""
    words = Counter(_word(one, day, limits) for one in animals.values())
    return frozenset(
        ref for ref, one in animals.items() if (word := _word(one, day, limits)) and words[word] > 1
    )


def _word(one: Companion, day: date, limits: WelfareLimits) -> str:
    apart = one.quarantine if in_quarantine(one, day, limits) else None
    return apart.together if apart else ""


def must_not_climb(today: date) -> frozenset[str]:
    """Codes of animals."""
    return frozenset(ClimbingBan.objects.on(today).values_list("animal__code", flat=True))
