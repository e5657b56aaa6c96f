"""Where newcomers could live today: the rescue as the pure function for it sees it.

A handful of queries, however many enclosures there are.
"""

from collections import defaultdict
from collections.abc import Container, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Override
from habitats.enclosures.models.enclosures import TAKES_A_GROUP, EnclosureState
from habitats.homes.models.homes import Home
from habitats.readings.models.readings import Reading
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, rules_of
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.structure.structure import Structure
from habitats.welfare.newcomers import Newcomers
from habitats.welfare.placing import EnclosureThere, GroupThere, HomeThere, RoomOffers, room_for
from habitats.welfare.rooms import room_of
from habitats.welfare.values import Species


class RoomFound(NamedTuple):
    """``readings`` by the code of their enclosure, with its home and group."""

    offers: RoomOffers
    readings: Mapping[str, Reading]


def room_today(newcomers: Newcomers, today: date, suspected: Container[Thing]) -> RoomFound:
    """Of the whole rescue. ``suspected``: groups and enclosures that met a suspected infection."""
    rescue = Rescue.ours()
    read = Reading.objects.fresh(today).select_related("enclosure__revision", "home", "group")
    readings = list(read.order_by("enclosure__label", "enclosure"))
    offers = room_for(
        newcomers,
        _enclosures(readings, suspected),
        _groups(readings, newcomers.species, today, suspected),
        rules_of(rescue, newcomers.species),
        today,
        limits_of(rescue),
    )
    return RoomFound(offers, {one.enclosure.code: one for one in readings})


def _enclosures(readings: Sequence[Reading], suspected: Container[Thing]) -> list[EnclosureThere]:
    homes, built = _homes(readings), _structures(readings)
    return [
        EnclosureThere(
            ref=one.enclosure.code,
            species=structure.design.species,
            room=room_of(structure),
            stands=_stands(one),
            is_unsafe=one.unsafe_faults > 0,
            is_suspected=Thing(ThingKind.ENCLOSURE, one.enclosure.code) in suspected,
            home=homes.get(one.home_id) if one.home_id else None,
        )
        for one in readings
        if (structure := built[one.enclosure.revision_id]) is not None
    ]


def _structures(readings: Sequence[Reading]) -> dict[int, Structure | None]:
    """By revision: many enclosures are built from one, and reading it takes longer than judging."""
    enclosures = {one.enclosure.revision_id: one.enclosure for one in readings}
    return {revision: enclosure.structure() for revision, enclosure in enclosures.items()}


def _stands(reading: Reading) -> bool:
    """A free one is said to be standing; one that is lived in, to be in use."""
    if reading.group_id is None:
        return reading.state == EnclosureState.STANDING
    return reading.state in TAKES_A_GROUP


def _homes(readings: Sequence[Reading]) -> dict[int, HomeThere]:
    there: dict[Home, list[Reading]] = defaultdict(list)
    for one in readings:
        if one.home:
            there[one.home].append(one)
    return {
        home.pk: HomeThere(
            is_closed=home.is_closed,
            has_isolation_room=home.has_isolation_room,
            most_enclosures=home.most_enclosures,
            lived_in=sum(one.group_id is not None for one in found),
            has_quarantine=any(one.in_quarantine for one in found),
        )
        for home, found in there.items()
    }


def _groups(
    readings: Sequence[Reading], species: Species, today: date, suspected: Container[Thing]
) -> list[GroupThere]:
    """Who lives in what. Animals are read of those only that could take newcomers."""
    lived_in = [(one, one.group) for one in readings if one.group]
    wanted = {
        group.pk for one, group in lived_in if one.is_ready_for_more and group.species == species
    }
    animals = animals_by_group(wanted, today)
    overridden: dict[int, set[str]] = defaultdict(set)
    for override in Override.objects.holding(wanted):
        overridden[override.group_id].add(override.key)
    return [
        GroupThere(
            ref=group.code,
            enclosure=one.enclosure.code,
            species=Species(group.species),
            companions=companions_of(animals.get(group.pk, [])),
            overridden=frozenset(overridden.get(group.pk, ())),
            is_suspected=Thing(ThingKind.GROUP, group.code) in suspected,
        )
        for one, group in lived_in
    ]
