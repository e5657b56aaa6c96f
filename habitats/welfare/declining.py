"""Why an enclosure takes no newcomers, whatever its floor and its company.

Its state and who lives in it are asked here; what the home can take, as whatever is placed is asked
(``habitats/placement``).
"""

from collections.abc import Iterator
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from habitats.placement.arriving import NEWCOMERS, LivedIn, against, left
from habitats.placement.values import EnclosureToFill, GroupToPlace, HomeToFill, MissReason
from habitats.welfare.newcomers import Newcomers
from habitats.welfare.values import Species
from habitats.wording import message

HOME = "home"  # as placing is asked about it, one at a time


class HomeThere(NamedTuple):
    """What a home can take. ``lived_in``: how many of its enclosures have animals in them, and
    ``animals`` how many these are; ``quarantined``: how many enclosures are in quarantine.

    ``most_animals`` and ``knows`` None limit nothing. ``needs_lids``: it has pets that reach in.
    """

    is_closed: bool = False
    isolation_places: int = 0
    most_enclosures: int = 1
    lived_in: int = 0
    quarantined: int = 0
    most_animals: int | None = None
    animals: int = 0
    knows: frozenset[Species] | None = None
    is_away: bool = False
    needs_lids: bool = False

    @property
    def to_fill(self) -> HomeToFill:
        return HomeToFill(
            HOME,
            most_enclosures=self.most_enclosures,
            most_animals=self.most_animals,
            isolation_places=self.isolation_places,
            knows=self.knows,
            is_away=self.is_away or self.is_closed,
            other_pets=self.needs_lids,
        )

    @property
    def living(self) -> LivedIn:
        return LivedIn(self.lived_in, self.animals)


class PlaceThere(NamedTuple):
    """An enclosure with the group living in it, without its floor and its company.

    ``group``: its ref; None: it is free. ``species``: of the group and of all in it.
    ``is_suspected``: it or they were exposed to a suspected infection.
    """

    ref: str
    built_for: Species
    stands: bool
    is_unsafe: bool
    is_suspected: bool
    home: HomeThere | None
    group: str | None = None
    species: frozenset[Species] = frozenset()
    has_animals: bool = False
    in_quarantine: bool = False
    has_lid: bool = False


class Why(StrEnum):
    """Why something is not offered."""

    NOT_STANDING = "not_standing"
    UNSAFE = "unsafe"
    INFECTION = "infection"
    OTHER_SPECIES = "other_species"
    CLOSED_HOME = "closed_home"
    AWAY = "away"
    FULL_HOME = "full_home"
    FULL_OF_ANIMALS = "full_of_animals"
    EXPERIENCE = "experience"
    LID = "lid"
    ISOLATED = "isolated"
    TAKEN = "taken"
    QUARANTINE = "quarantine"
    TOO_SMALL = "too_small"
    COMPANY = "company"


WHY_WORDS = {
    Why.NOT_STANDING: message("Not standing, or needs repair"),
    Why.UNSAFE: message("Unsafe until it is mended"),
    Why.INFECTION: message("Exposed to a suspected infection"),
    Why.OTHER_SPECIES: message("For another species"),
    Why.CLOSED_HOME: message("The home is closed"),
    Why.FULL_HOME: message("The home looks after as many enclosures as it can"),
    Why.AWAY: message("The home is away"),
    Why.FULL_OF_ANIMALS: message("The home looks after as many animals as it can"),
    Why.EXPERIENCE: message("The home has no experience with the species"),
    Why.LID: message("No lid, and the home has other pets"),
    Why.ISOLATED: message("Newcomers in quarantine join no group"),
    Why.TAKEN: message("Taken by a group without animals"),
    Why.QUARANTINE: message("In quarantine"),
    Why.TOO_SMALL: message("Not enough space"),
    Why.COMPANY: message("Not allowed together"),
}


def at_home(takes: int | None, home: HomeThere | None) -> int | None:
    """Of so many that have the space, those that the home can still look after.

    None, taken or given: no number is known. ``home`` None: it stands in no home.
    """
    more = left(home.most_animals, home.animals) if home else None
    return takes if takes is None or more is None else min(takes, more)


def declines(place: PlaceThere, newcomers: Newcomers) -> Why | None:
    """Why it takes no newcomers like these, whatever its floor and its company; None: it may."""
    # Many places are alike but for what they are called, and are judged once.
    return _judged(place._replace(ref="", group=None if place.group is None else ""), newcomers)


@lru_cache(8192)
def _judged(place: PlaceThere, newcomers: Newcomers) -> Why | None:
    found = {*_of_state(place), *_of_group(place, newcomers), *_of_limits(place, newcomers)}
    return next((why for why in _FIRST if why in found), None)


# Of several reasons the first of these is told.
_FIRST = (
    Why.NOT_STANDING,
    Why.UNSAFE,
    Why.INFECTION,
    Why.CLOSED_HOME,
    Why.AWAY,
    Why.OTHER_SPECIES,
    Why.TAKEN,
    Why.ISOLATED,
    Why.QUARANTINE,
    Why.EXPERIENCE,
    Why.LID,
    Why.FULL_HOME,
    Why.FULL_OF_ANIMALS,
)


def _of_state(place: PlaceThere) -> Iterator[Why]:
    if not place.stands:
        yield Why.NOT_STANDING
    if place.is_suspected:
        yield Why.INFECTION


def _of_group(place: PlaceThere, newcomers: Newcomers) -> Iterator[Why]:
    if place.group is None:
        return
    if not place.has_animals:
        yield Why.TAKEN
    if newcomers.in_quarantine:
        yield Why.ISOLATED
    if place.in_quarantine:
        yield Why.QUARANTINE


def _of_limits(place: PlaceThere, newcomers: Newcomers) -> Iterator[Why]:
    """As whatever is placed is asked. Space is another question, and one in no home is offered."""
    home = place.home
    coming = GroupToPlace(NEWCOMERS, newcomers.species, newcomers.number, needs_mm2=0)
    enclosure = EnclosureToFill(
        place.ref,
        HOME if home else None,
        _meant_for(place, newcomers),
        floor_mm2=0,
        has_lid=place.has_lid,
        is_safe=not place.is_unsafe,
    )
    is_free = place.group is None
    for reason in against(
        coming,
        enclosure,
        home.to_fill if home else None,
        home.living if home else LivedIn(),
        is_free=is_free,
    ):
        if reason is MissReason.AWAY:
            yield Why.CLOSED_HOME if home and home.is_closed else Why.AWAY
        elif reason is MissReason.HOME_FULL:
            is_full = is_free and home and home.lived_in >= home.most_enclosures
            yield Why.FULL_HOME if is_full else Why.FULL_OF_ANIMALS
        elif reason in _WHY:
            yield _WHY[reason]


_WHY = {
    MissReason.UNSAFE: Why.UNSAFE,
    MissReason.SPECIES: Why.OTHER_SPECIES,
    MissReason.EXPERIENCE: Why.EXPERIENCE,
    MissReason.LID: Why.LID,
}


def _meant_for(place: PlaceThere, newcomers: Newcomers) -> Species:
    """One that is lived in, for the species of those who live there; several are none of it."""
    if place.group is None:
        return place.built_for
    if place.species == {newcomers.species}:
        return newcomers.species
    return next(one for one in Species if one is not newcomers.species)
