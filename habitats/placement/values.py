"""Which group goes where: what is asked, and what is proposed.

Floors are whole mm², costs whole cents. Groups, enclosures, homes and designs are told apart by
their refs. What the space standard, company and growth say is settled before: a group comes with
the floor it needs, and a place that is barred for it for any other reason is named as such.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum, StrEnum
from typing import NamedTuple

from habitats.structure.design import Species

# How far a place has to do for a group that grows: a move that lasts a season. Common practice,
# no source.
AHEAD_DAYS = 90


class WaitingUrgency(IntEnum):
    """Of who waits; the highest is placed first."""

    CAN_WAIT = 1
    SOON = 2
    NOW = 3

    @property
    def word(self) -> str:
        return self.name.lower()


class Goal(StrEnum):
    """What a placing is good at, each to be had as small as can be.

    The usual order is that of this list: a later goal never costs anything of an earlier one.
    """

    WAITING = "waiting"  # groups without a place that suits them, the most urgent first
    MOVES = "moves"  # of settled groups
    BUILDS = "builds"
    COST = "cost"  # of what is built, in cents
    WISHES = "wishes"  # wished floor that is lacking, in cm²
    SPARE = "spare"  # how unevenly spare floor is spread


USUAL_ORDER = tuple(Goal)


@dataclass(frozen=True, slots=True)
class GroupToPlace:
    """Animals that stay together.

    ``needs_mm2``: the floor that it has to have, now and as it grows; ``wishes_mm2`` would be
    better still. ``lives_in`` None: it waits for a place. ``may_move`` False: it stays.
    ``cohort``: those in quarantine that share it have one name; None: it is in no quarantine.
    ``urgency`` counts while it has no place that suits it.
    """

    ref: str
    species: Species
    animals: int
    needs_mm2: int
    wishes_mm2: int = 0
    lives_in: str | None = None
    may_move: bool = True
    urgency: WaitingUrgency = WaitingUrgency.SOON
    cohort: str | None = None
    climbs: bool = True


@dataclass(frozen=True, slots=True)
class Union:
    """Groups that may live together, as one; ``needs_mm2`` and ``wishes_mm2`` are of all."""

    of: tuple[str, ...]
    needs_mm2: int
    wishes_mm2: int = 0


@dataclass(frozen=True, slots=True)
class EnclosureToFill:
    """One that stands. ``floor_mm2``: what counts of it. ``home`` None: it stands in none.

    ``is_safe`` False: nobody moves in, and who lives there waits for another.
    """

    ref: str
    home: str | None
    species: Species
    floor_mm2: int
    has_ramp: bool = False
    has_lid: bool = False
    is_safe: bool = True


@dataclass(frozen=True, slots=True)
class HomeToFill:
    """What it can take; None limits nothing.

    ``isolation_places``: enclosures that can be kept apart from the rest of the home.
    ``is_away``: nobody moves in. ``sides_mm``: of the largest footprint that has room.
    ``other_pets``: enclosures need a lid.
    """

    ref: str
    most_enclosures: int | None = None
    most_animals: int | None = None
    isolation_places: int = 0
    knows: frozenset[Species] | None = None
    is_away: bool = False
    sides_mm: tuple[int, int] | None = None
    other_pets: bool = False


@dataclass(frozen=True, slots=True)
class DesignToBuild:
    """What could be built. ``cents``: what its parts cost, those in the store as well."""

    ref: str
    species: Species
    floor_mm2: int
    sides_mm: tuple[int, int]
    cents: int = 0
    has_ramp: bool = False
    has_lid: bool = False


class PlaceToLive(NamedTuple):
    """Where a group may live: an enclosure that stands, or a design that is built in a home."""

    enclosure: str | None = None
    design: str | None = None
    home: str | None = None


class RuledOut(NamedTuple):
    """A place that does not do for a group, and why, in words."""

    group: str
    enclosure: str
    why: str


class Pin(NamedTuple):
    """A group that has to live in an enclosure, or anywhere in a home."""

    group: str
    enclosure: str | None = None
    home: str | None = None


@dataclass(frozen=True, slots=True)
class PlacingCase:
    """``forbidden``: pairs of a group and an enclosure or a home, by hand."""

    groups: tuple[GroupToPlace, ...]
    enclosures: tuple[EnclosureToFill, ...] = ()
    homes: tuple[HomeToFill, ...] = ()
    designs: tuple[DesignToBuild, ...] = ()
    unions: tuple[Union, ...] = ()
    bars: tuple[RuledOut, ...] = ()
    pins: tuple[Pin, ...] = ()
    forbidden: tuple[Pin, ...] = ()
    order: tuple[Goal, ...] = USUAL_ORDER


class MissReason(StrEnum):
    """Why a place does not do for a group."""

    SPECIES = "species"
    UNSAFE = "unsafe"
    TOO_SMALL = "too_small"
    RAMP = "ramp"
    LID = "lid"
    EXPERIENCE = "experience"
    AWAY = "away"
    FOOTPRINT = "footprint"
    BARRED = "barred"
    FORBIDDEN = "forbidden"
    NO_HOME = "no_home"
    TAKEN = "taken"
    HOME_FULL = "home_full"
    QUARANTINE = "quarantine"


class Miss(NamedTuple):
    """``lacking_mm2``: of a floor that is too small. ``by``: the group that has the place, or the
    home that is full. ``words``: of a place that is barred."""

    place: PlaceToLive
    reason: MissReason
    lacking_mm2: int = 0
    by: str = ""
    words: str = ""


class ProposedStay(NamedTuple):
    """Groups, mostly one, and where they live. ``suits`` False: they stay where they are, or
    wait (``place`` None), for want of a better one."""

    groups: tuple[str, ...]
    place: PlaceToLive | None
    suits: bool


class Reached(NamedTuple):
    """Of one goal: what the placing comes to, and the least that any can, as far as is proved.

    ``bound`` holds of all placings that are as good in the goals before it. ``urgency``: of who
    waits.
    """

    goal: Goal
    value: int
    bound: int
    urgency: WaitingUrgency | None = None

    @property
    def is_proved(self) -> bool:
        return self.value == self.bound


@dataclass(frozen=True, slots=True)
class Placing:
    """Every group is in exactly one stay.

    ``misses``: of each group that waits, the places that came nearest, the nearest first.
    """

    stays: tuple[ProposedStay, ...]
    reached: tuple[Reached, ...]
    misses: Mapping[str, tuple[Miss, ...]] = field(default_factory=dict)


class Contradiction(ValueError):
    """Pins cannot hold, each by itself (``misses`` say why) or all of them together."""

    def __init__(self, pins: tuple[Pin, ...], misses: tuple[Miss, ...] = ()) -> None:
        super().__init__(" ".join(pin.group for pin in pins))
        self.pins = pins
        self.misses = misses
