"""What the space rules are asked about, and what they answer.

Areas are whole mm², lengths whole millimetres, masses whole grams, ages whole days; cm², inches and
square feet are made of them at the edge. `None` is "not known", and never counts as enough.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from habitats.structure.design import Species

__all__ = [
    "MOST_ANIMALS",
    "Amount",
    "Bound",
    "Clause",
    "ClauseKind",
    "Clear",
    "Resident",
    "Room",
    "Sex",
    "Species",
    "Unit",
    "Verdict",
]

MOST_ANIMALS = 200  # in one enclosure; more is a slip of the pen


class Sex(StrEnum):
    FEMALE = "F"
    MALE = "M"


@dataclass(frozen=True, slots=True)
class Resident:
    """One animal as the space rules see it.

    `weight_g` None: it counts in the heaviest class of every rule set.
    `age_days` None: it counts as grown or as young, whichever asks for more floor.
    `sex` None: neither a sire nor a dam, unless `with_litter` says so.
    `with_litter`: a female whose unweaned litter is with her. Her pups need not be residents
    themselves; those that are count like every other animal.
    """

    weight_g: int | None = None
    age_days: int | None = None
    sex: Sex | None = None
    castrated: bool = False
    with_litter: bool = False

    @property
    def may_sire(self) -> bool:
        return self.sex is Sex.MALE and not self.castrated and not self.with_litter


class Clear(NamedTuple):
    """A clear height, and the share of the ground, 0 to 1, that is at least this high."""

    height_mm: int
    share: float


@dataclass(frozen=True, slots=True)
class Room:
    """One enclosure as the space rules see it.

    `ground_mm2` is the inside of the ground's tray, `upper_mm2` that of all upper levels together,
    `raised_mm2` a platform above the ground that an animal can sit on and lie under.
    `tall_share` of the ground is at least `height_mm` high; `lower` names further heights, for an
    enclosure whose ground is partly lower. The sides are those of the ground, wall to wall.
    A height, share, side or raised area that is None is not known: what hangs on it cannot be told.
    """

    ground_mm2: int
    upper_mm2: int = 0
    height_mm: int | None = None
    tall_share: float | None = None
    longest_side_mm: int | None = None
    shortest_side_mm: int | None = None
    raised_mm2: int | None = None
    lower: tuple[Clear, ...] = ()

    def share_at(self, height_mm: int) -> float | None:
        """Share of the ground known to be at least this high; None where that cannot be told."""
        if self.height_mm is None:
            return None
        known = [one.share for one in self.lower if one.height_mm >= height_mm]
        if self.height_mm >= height_mm:
            if self.tall_share is None:
                return max(known, default=None)
            known.append(self.tall_share)
        return max(known, default=0.0)


class Unit(StrEnum):
    """What an amount counts: show `MM2` with `habitats.measures.area`, `MM` with `length`."""

    MM2 = "mm2"
    MM = "mm"
    ANIMALS = "animals"


class Amount(NamedTuple):
    value: int
    unit: Unit


class Bound(StrEnum):
    """How what is given stands to what is needed."""

    AT_LEAST = "at least"
    MORE_THAN = "more than"
    AT_MOST = "at most"


class ClauseKind(StrEnum):
    """What a clause is about, so that a page can pick one without reading its text."""

    FLOOR = "floor"
    HEIGHT = "height"
    TALL_FLOOR = "tall_floor"
    LONGEST_SIDE = "longest_side"
    SHORTEST_SIDE = "shortest_side"
    GROUP = "group"
    MOST = "most"
    RAISED = "raised"
    RAISED_COVER = "raised_cover"
    UNRAISED_FLOOR = "unraised_floor"


@dataclass(frozen=True, slots=True)
class Clause:
    """One thing a rule set asks for, in plain words, and whether it is met.

    `given` None: not known. `passes` None: cannot be told, since a value is missing or the rule
    set has no figure for so many animals; it never counts as passed.
    `verified` False: the figure is known from memory only. It is shown and decides nothing.
    """

    kind: ClauseKind
    text: str
    bound: Bound
    needed: Amount
    given: Amount | None
    passes: bool | None
    source: str
    verified: bool = True


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one rule set says of an enclosure and those who live in it.

    `rule_set` is its id. `passes`: True, every clause that decides is met; False, one is not;
    None, none is broken but one cannot be told. Only True is enough, and only for a rule set
    that is `choosable`.
    `required_mm2` is the floor asked for these animals, `counted_mm2` what counts towards it of
    what the enclosure has. `shares_mm2` has each animal's part of the required floor, in the
    order the animals were given; together they are exactly `required_mm2`.
    `cautions` are sentences to show once beside a verdict.
    """

    rule_set: str
    passes: bool | None
    required_mm2: int
    counted_mm2: int
    clauses: tuple[Clause, ...]
    shares_mm2: tuple[int, ...]
    cautions: tuple[str, ...]

    @property
    def lacking_mm2(self) -> int:
        """Floor that is missing; 0 where there is enough."""
        return max(0, self.required_mm2 - self.counted_mm2)
