"""Animals that live together, by group."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import load_with_facts
from habitats.animals.models.groups import Membership
from habitats.common.written import given, given_keys, written
from habitats.wording import by_number


def animals_by_group(groups: Iterable[int], day: date) -> dict[int, list[Animal]]:
    """By group, who belonged to it on that day, by name, loaded ``with_facts``: eight queries."""
    group_of = dict(_BELONGING(groups=list(groups), day=day))
    found: dict[int, list[Animal]] = defaultdict(list)
    for animal in load_with_facts(group_of, day):
        found[group_of[animal.pk]].append(animal)
    for some in found.values():
        some.sort(key=lambda one: by_number(one.name))
    return found


_BELONGING = written(
    lambda: (
        Membership.objects.on(given("day", date))
        .filter(group__in=given_keys("groups"))
        .values_list("animal", "group")
    )
)
