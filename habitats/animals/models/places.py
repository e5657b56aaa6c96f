"""Where animals and groups are on a day, and were before: group, enclosure, home."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from habitats.animals.models.acts import ActPart
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import Stay
from habitats.common.happened import Span
from habitats.common.written import given, given_keys, written
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home


class AnimalPlace(NamedTuple):
    """None where it is not known, or nowhere: a group may have no enclosure yet."""

    group: Group | None = None
    enclosure: Enclosure | None = None
    home: Home | None = None


NOWHERE = AnimalPlace()


def places_of_groups(groups: Collection[Group], day: date) -> dict[int, AnimalPlace]:
    """By key, a place for each group: two queries, however many there are."""
    stays = _STAYS(groups=[group.pk for group in groups], day=day)
    enclosures = {stay.group_id: stay.enclosure for stay in stays}
    standings = _STANDINGS(enclosures=[one.pk for one in enclosures.values()], day=day)
    homes = {one.enclosure_id: one.home for one in standings}
    return {
        group.pk: AnimalPlace(
            group,
            enclosure := enclosures.get(group.pk),
            homes.get(enclosure.pk) if enclosure else None,
        )
        for group in groups
    }


def places_of(animals: Collection[int], day: date) -> dict[int, AnimalPlace]:
    """By the animal's key, for those in a group: three queries, however many there are."""
    groups = {one.animal_id: one.group for one in _MEMBERSHIPS(animals=animals, day=day)}
    places = places_of_groups(list({group.pk: group for group in groups.values()}.values()), day)
    return {animal: places[group.pk] for animal, group in groups.items()}


_DAY = given("day", date)
_STAYS = written(
    lambda: Stay.objects.on(_DAY).filter(group__in=given_keys("groups")).select_related("enclosure")
)
_STANDINGS = written(
    lambda: (
        Standing.objects.on(_DAY)
        .filter(enclosure__in=given_keys("enclosures"))
        .select_related("home")
    )
)
_MEMBERSHIPS = written(
    lambda: (
        Membership.objects.on(_DAY).filter(animal__in=given_keys("animals")).select_related("group")
    )
)


class Past(NamedTuple):
    """Where an animal was from ``since`` on, up to but not including ``until``; None: still."""

    since: date
    until: date | None
    place: AnimalPlace


def history_of(animal: Animal, most: int) -> list[Past]:
    """Group by group and enclosure by enclosure, the latest first, at most so many."""
    spans = animal.memberships.exclude(pk__in=ActPart.undone_spans("membership"))
    memberships = list(spans.select_related("group").newest_first()[:most])
    stays = (
        Stay.objects.exclude(pk__in=ActPart.undone_spans("stay"))
        .filter(group__in={one.group_id for one in memberships})
        .select_related("enclosure")
        .newest_first()
    )
    enclosures = {stay.enclosure_id for stay in stays}
    standings = Standing.objects.filter(enclosure__in=enclosures).select_related("home")
    found = [
        past
        for membership in memberships
        for past in _within(membership, [s for s in stays if s.group_id == membership.group_id])
    ]
    return [_at_home(past, standings) for past in found][:most]


def _within(membership: Membership, stays: Sequence[Stay]) -> Iterator[Past]:
    """The group's stays as far as the animal belonged to it; a group without any stood nowhere."""
    shared = [(stay, shared_days(membership, stay)) for stay in stays]
    there = [(stay, days) for stay, days in shared if days]
    if not there:
        yield Past(membership.since, membership.until, AnimalPlace(membership.group))
    for stay, (since, until) in there:
        yield Past(since, until, AnimalPlace(membership.group, stay.enclosure))


def _at_home(past: Past, standings: Iterable[Standing]) -> Past:
    """With the home in which the enclosure stood last in those days."""
    enclosure = past.place.enclosure
    there = [
        one
        for one in standings
        if enclosure
        and one.enclosure_id == enclosure.pk
        and one.since < (past.until or date.max)
        and past.since < (one.until or date.max)
    ]
    last = max(there, key=lambda one: one.since, default=None)
    return past._replace(place=past.place._replace(home=last.home)) if last else past


def shared_days(one: Span, other: Span) -> tuple[date, date | None] | None:
    """The days that both cover; None if there are none."""
    since = max(one.since, other.since)
    until = min(one.until or date.max, other.until or date.max)
    if since >= until:
        return None
    return since, None if until == date.max else until
