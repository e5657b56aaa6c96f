"""Facts of animals and groups that two people may change at once."""

from collections.abc import Iterable, Sequence

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group
from habitats.basis import Fact
from habitats.common.facts import NONE, fact


def members(group: Group) -> Fact:
    living = group.memberships.open().order_by("animal__name", "animal")
    rows = list(living.values_list("animal", "animal__name"))
    return fact(
        group,
        "members",
        "Animals in the group",
        ",".join(str(key) for key, _name in rows),
        ", ".join(name for _key, name in rows),
    )


def place(group: Group) -> Fact:
    stay = group.stays.open().select_related("enclosure").first()
    enclosure = stay.enclosure if stay else None
    return fact(group, "place", "Lives in", enclosure.pk if enclosure else None, enclosure or NONE)


def company_and_place(group: Group) -> list[Fact]:
    return [members(group), place(group)]


def group_of(animal: Animal) -> Fact:
    membership = animal.memberships.open().select_related("group").first()
    group = membership.group if membership else None
    label = f"Group of {animal}"
    return fact(animal, "group", label, group.pk if group else None, group or "no group")


def groups_of(animals: Iterable[Animal]) -> list[Fact]:
    return [group_of(animal) for animal in animals]


def joining(group_and_animals: tuple[Group, Sequence[Animal]]) -> list[Fact]:
    """What counts when animals join a group: who and where it is, and where they are now."""
    group, animals = group_and_animals
    return [*company_and_place(group), *groups_of(animals)]


def in_care(animal: Animal) -> list[Fact]:
    words = animal.get_left_why_display() if animal.left_on else "in our care"
    return [fact(animal, "left_on", "In our care", animal.left_on, words), group_of(animal)]


def photo(animal: Animal) -> list[Fact]:
    words = "another photo" if animal.photo else "no photo"
    return [fact(animal, "photo", "Photo", animal.photo.name or "", words)]


def last_quarantine(animal: Animal) -> list[Fact]:
    last = animal.quarantines.order_by("-pk").first()
    words = f"since {last.since:%-d %B %Y}" if last else NONE
    if last and last.until:
        words += f" until {last.until:%-d %B %Y}"
    return [fact(animal, "quarantine", "Quarantine", last.pk if last else None, words)]
