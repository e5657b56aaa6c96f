"""Animals that live together, by group."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import with_facts
from habitats.animals.models.groups import Membership
from habitats.wording import by_number


def animals_by_group(groups: Iterable[int], day: date) -> dict[int, list[Animal]]:
    """By group, who belonged to it on that day, by name, loaded ``with_facts``: five queries.

    Without a prefetch from memberships to animals: on SQLite that asks for one animal OR the next,
    which fails from a thousand animals on.
    """
    belonging = Membership.objects.on(day).filter(group__in=groups)
    group_of = dict(belonging.values_list("animal", "group"))
    animals = with_facts(Animal.objects.filter(pk__in=group_of), day).order_by("name", "pk")
    found: dict[int, list[Animal]] = defaultdict(list)
    for animal in animals:
        found[group_of[animal.pk]].append(animal)
    for some in found.values():
        some.sort(key=lambda one: by_number(one.name))
    return found
