"""Where newcomers could live today: the rescue as the pure functions for it see it.

A handful of queries, however many enclosures there are. All are sifted by what their readings keep;
animals are read of those only that a page tells more about.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from habitats.animals.models.companions import companions_of
from habitats.animals.models.company import animals_by_group
from habitats.animals.models.groups import Override
from habitats.common.written import given_keys, written
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.enclosures.models.enclosures import TAKES_A_GROUP, EnclosureState
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home, needs_lids, species_in
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of, rules_of
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.structure.structure import Structure
from habitats.welfare.declining import HomeThere, PlaceThere, Why
from habitats.welfare.newcomers import Newcomers
from habitats.welfare.placing import (
    Declined,
    EnclosureThere,
    GroupThere,
    RoomOffer,
    room_for,
)
from habitats.welfare.rooms import room_of
from habitats.welfare.sifting import Sifted, SiftedOut, sift
from habitats.welfare.taking import Admission
from habitats.welfare.values import Species


class DeclinedFor(NamedTuple):
    """All that are not offered for one reason: the first of them by name, and how many."""

    why: Why
    first: tuple[Declined, ...]
    number: int


class RoomFound(NamedTuple):
    """The first of each, and how many. ``readings`` by the code of their enclosure, with its home
    and group."""

    free: tuple[RoomOffer, ...]
    groups: tuple[RoomOffer, ...]
    left_out: int
    declined: tuple[DeclinedFor, ...]
    readings: Mapping[str, Reading]


def room_today(
    newcomers: Newcomers,
    today: date,
    suspected: Container[Thing],
    *,
    most_offers: int,
    most_declined: int,
    homes: Mapping[int, HomeThere] | None = None,
    only_free: bool = False,
) -> RoomFound:
    """Of the whole rescue. ``suspected``: groups and enclosures that met a suspected infection.

    At most so many free ones and so many groups are told, and so many of each reason. ``homes``:
    as ``homes_today`` told them, where it is asked several times. ``only_free``: nothing is told
    of enclosures in which a group lives.
    """
    rescue = Rescue.ours()
    rules, limits = rules_of(rescue, newcomers.species), limits_of(rescue)
    homes = homes_today(today) if homes is None else homes
    kept = Reading.objects.fresh(today).order_by("enclosure__label", "enclosure")
    kept = kept.filter(group=None) if only_free else kept
    places = _places(kept, newcomers, homes, suspected)
    sifted = sift(newcomers, places, rules, today, limits)
    free, groups = sifted.free[:most_offers], sifted.groups[:most_offers]
    left_out = len(sifted.free) + len(sifted.groups) - len(free) - len(groups)
    reasons = _by_reason(sifted)
    first = [one for some in reasons for one in some[:most_declined]]
    offered = [one.enclosure for one in (*free, *groups)]
    readings = _readings([*offered, *(one.enclosure for one in first)])
    # More is to tell of what is offered, and of those who would not get on.
    more = [*offered, *(one.enclosure for one in first if one.why is Why.COMPANY)]
    told = [readings[code] for code in more]
    there, living = _enclosures(told, homes, suspected), _groups(told, today, suspected)
    offers = room_for(newcomers, there, living, rules, today, limits)
    declined = _declined(reasons, offers.declined, most_declined)
    return RoomFound(offers.free, offers.groups, left_out, declined, readings)


def _by_reason(sifted: Sifted) -> list[list[SiftedOut]]:
    """What speaks against the newcomers themselves is a reason of its own, told of free ones."""
    found: dict[tuple[Why, bool], list[SiftedOut]] = defaultdict(list)
    for one in sifted.declined:
        found[one.why, one.why is Why.COMPANY and one.group is None].append(one)
    return list(found.values())


def _declined(
    reasons: Sequence[Sequence[SiftedOut]], asked: Iterable[Declined], most: int
) -> tuple[DeclinedFor, ...]:
    """Reason by reason; those that were asked about come with their sentence."""
    told = {one.enclosure: one for one in asked}

    def tell(one: SiftedOut) -> Declined:
        plain = Declined(one.enclosure, one.group, one.why, takes=one.takes)
        return told.get(one.enclosure, plain)

    return tuple(
        DeclinedFor(some[0].why, tuple(map(tell, some[:most])), len(some)) for some in reasons
    )


# --- All of them, by what is kept ---


class _Row(NamedTuple):
    enclosure: str
    built_for: str
    species: str
    group: str | None
    group_species: str | None
    home: int | None
    state: str
    unsafe_faults: int
    animals: int
    in_quarantine: bool
    revision: int
    takes: list[Any] | None


_FIELDS = (
    "enclosure__code",
    "built_for",
    "species",
    "group__code",
    "group__species",
    "home",
    "state",
    "unsafe_faults",
    "animals",
    "in_quarantine",
    "enclosure__revision",
)


def _places(
    kept: ReadingQuerySet,
    newcomers: Newcomers,
    homes: Mapping[int, HomeThere],
    suspected: Container[Thing],
) -> Iterator[tuple[PlaceThere, Admission | None]]:
    lids = _with_lids() if any(home.needs_lids for home in homes.values()) else frozenset()
    species = {one.value: one for one in Species}
    # Of what is kept for each kind, the one that is asked for.
    for row in map(_Row._make, kept.values_list(*_FIELDS, f"takes__{newcomers.kind.value}")):
        yield (
            PlaceThere(
                ref=row.enclosure,
                built_for=species[row.built_for],
                stands=_stands(row.state, lived_in=row.group is not None),
                is_unsafe=row.unsafe_faults > 0,
                is_suspected=_met_infection(row.enclosure, row.group, suspected),
                home=homes[row.home] if row.home else None,
                group=row.group,
                species=frozenset({species[row.group_species], species[row.species]})
                if row.group_species and row.animals
                else frozenset({species[row.group_species]} if row.group_species else ()),
                has_animals=row.animals > 0,
                in_quarantine=row.in_quarantine,
                has_lid=row.revision in lids,
            ),
            Admission(*row.takes) if row.takes else None,
        )


def _with_lids() -> frozenset[int]:
    """Revisions that something was built from, with a lid."""
    return frozenset(_LIDDED())


_LIDDED = written(
    lambda: DesignRevision.objects.filter(document__lid=True, enclosures__isnull=False).values_list(
        "pk", flat=True
    )
)


def _stands(state: str, *, lived_in: bool) -> bool:
    """A free one is said to be standing; one that is lived in, to be in use."""
    return state in TAKES_A_GROUP if lived_in else state == EnclosureState.STANDING


def _met_infection(enclosure: str, group: str | None, suspected: Container[Thing]) -> bool:
    if not suspected:
        return False
    return Thing(ThingKind.ENCLOSURE, enclosure) in suspected or (
        group is not None and Thing(ThingKind.GROUP, group) in suspected
    )


def homes_today(today: date) -> dict[int, HomeThere]:
    """All of them, with who lives there."""
    lived_in: dict[int, int] = defaultdict(int)
    animals: dict[int, int] = defaultdict(int)
    ill: dict[int, int] = defaultdict(int)
    inside = Reading.objects.filter(day=today, home__isnull=False, group__isnull=False)
    for home, number, in_quarantine in inside.values_list("home", "animals", "in_quarantine"):
        lived_in[home] += 1
        animals[home] += number
        if in_quarantine:
            ill[home] += 1
    away = {one.home_id for one in Absence.objects.on(today)}
    return {
        key: HomeThere(
            closed_on is not None,
            isolation_places,
            most_enclosures,
            lived_in[key],
            ill[key],
            most_animals,
            animals[key],
            frozenset(species_in(known)) or None,
            key in away,
            needs_lids(pets),
        )
        for (
            key,
            closed_on,
            isolation_places,
            most_enclosures,
            most_animals,
            known,
            pets,
        ) in Home.objects.values_list(*_LIMITS)
    }


_LIMITS = (
    "pk",
    "closed_on",
    "isolation_places",
    "most_enclosures",
    "most_animals",
    "known_species",
    "pet_kinds",
)


# --- Those that are told more about ---


def _readings(codes: Iterable[str]) -> dict[str, Reading]:
    """Also those that somebody made stale since they were sifted: all are still there."""
    read = Reading.objects.filter(enclosure__code__in=list(codes)).defer("takes")
    related = read.select_related("enclosure", "home", "group")
    return {one.enclosure.code: one for one in related}


def _enclosures(
    readings: Sequence[Reading], homes: Mapping[int, HomeThere], suspected: Container[Thing]
) -> list[EnclosureThere]:
    built = _structures(readings)
    return [
        EnclosureThere(
            ref=one.enclosure.code,
            species=structure.design.species,
            room=room_of(structure),
            stands=_stands(one.state, lived_in=one.group_id is not None),
            is_unsafe=one.unsafe_faults > 0,
            is_suspected=Thing(ThingKind.ENCLOSURE, one.enclosure.code) in suspected,
            home=homes.get(one.home_id) if one.home_id else None,
            has_lid=structure.design.lid,
        )
        for one in readings
        if (structure := built[one.enclosure.revision_id]) is not None
    ]


def _structures(readings: Sequence[Reading]) -> dict[int, Structure | None]:
    """By revision: many enclosures are built from one, and reading it takes longer than judging."""
    revisions = _REVISIONS(revisions={one.enclosure.revision_id for one in readings})
    return {one.pk: structure_of_standing(one.shape()) for one in revisions}


_REVISIONS = written(lambda: DesignRevision.objects.filter(pk__in=given_keys("revisions")))


def _groups(
    readings: Sequence[Reading], today: date, suspected: Container[Thing]
) -> list[GroupThere]:
    """Who lives in what."""
    lived_in = [(one, one.group) for one in readings if one.group]
    if not lived_in:
        return []
    wanted = {group.pk for _one, group in lived_in}
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
