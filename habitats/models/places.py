"""Where animals and groups are on a day: group, enclosure, home."""

from collections.abc import Collection
from datetime import date
from typing import NamedTuple

from habitats.models.enclosures import Enclosure
from habitats.models.groups import Group, Membership
from habitats.models.homes import Home
from habitats.models.stays import Standing, Stay


class Place(NamedTuple):
    """None where it is not known, or nowhere: a group may have no enclosure yet."""

    group: Group | None = None
    enclosure: Enclosure | None = None
    home: Home | None = None


NOWHERE = Place()


def places_of_groups(groups: Collection[Group], day: date) -> dict[int, Place]:
    """By key, a place for each group: two queries, however many there are."""
    stays = Stay.objects.on(day).filter(group__in=groups).select_related("enclosure")
    enclosures = {stay.group_id: stay.enclosure for stay in stays}
    standings = Standing.objects.on(day).filter(enclosure__in=enclosures.values())
    homes = {one.enclosure_id: one.home for one in standings.select_related("home")}
    return {
        group.pk: Place(
            group,
            enclosure := enclosures.get(group.pk),
            homes.get(enclosure.pk) if enclosure else None,
        )
        for group in groups
    }


def places_of(animals: Collection[int], day: date) -> dict[int, Place]:
    """By the animal's key, for those in a group: three queries, however many there are."""
    memberships = Membership.objects.on(day).filter(animal__in=animals).select_related("group")
    groups = {one.animal_id: one.group for one in memberships}
    places = places_of_groups(list({group.pk: group for group in groups.values()}.values()), day)
    return {animal: places[group.pk] for animal, group in groups.items()}
