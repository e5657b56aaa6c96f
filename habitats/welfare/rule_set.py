"""A rule set: a named space standard with its source, made of pieces; those it lacks are None.

Which pieces a rule set has is data. No code asks which rule set it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from habitats.source import Known, Source
from habitats.welfare.bands import Bands
from habitats.welfare.floor import FloorRule
from habitats.welfare.values import Resident, Species
from habitats.wording import joined, message


class Authority(StrEnum):
    """Whose word a rule set is."""

    LAW = "law"
    GUIDANCE = "guidance"
    CHARITY = "charity"
    TRADE = "trade"
    LABORATORY = "laboratory"
    OWN = "own"


STANDING_WORDS = {
    Authority.LAW: message("law"),
    Authority.GUIDANCE: message("guidance"),
    Authority.CHARITY: message("charity advice"),
    Authority.TRADE: message("minimum for a trade's licence"),
    Authority.LABORATORY: message("minimum for laboratories"),
    Authority.OWN: message("your rescue's own"),
}
KNOWN_SENTENCES = {
    Known.PRIMARY: message("The source itself was read."),
    Known.SECOND_HAND: message("Second-hand quotations agree; the source itself was not read."),
    Known.MEMORY: message("From memory, not checked, so it decides nothing."),
    Known.PRACTICE: message("Common practice, no source."),
    Known.RECKONED: message("Worked out from sourced values."),
    Known.OWN: message("Set by your rescue."),
}


@dataclass(frozen=True, slots=True)
class HeightRule:
    """Height by the heaviest animal, over this share of the required floor or, `strictly`, more."""

    height_mm: Bands
    over: Fraction = Fraction(1)
    strictly: bool = False


@dataclass(frozen=True, slots=True)
class RaisedRule:
    """A platform by the heaviest animal; without one, the floor is larger by a share.

    `most_of_floor`: the share of the floor it may cover. `without`: the share for one animal, for
    two, and so on; the last holds for all larger groups.
    """

    area_mm2: Bands
    most_of_floor: Fraction
    without: tuple[Fraction, ...]

    def more_without(self, animals: int) -> Fraction:
        return self.without[min(animals, len(self.without)) - 1]


@dataclass(frozen=True, slots=True)
class RuleSet:
    """One space standard.

    `choosable`: an organisation may follow it; never so for a laboratory's minimum or for what
    is known from memory only. `upper_credit`: the share of the required floor that upper levels
    may make up. `notes` are sentences to show with its verdicts. `base`: of an organisation's own,
    the id of the one it is stricter than.
    """

    id: str
    name: str
    species: Species
    standing: Authority
    choosable: bool
    source: str
    known: Known
    floor: FloorRule
    notes: tuple[str, ...] = ()
    upper_credit: Fraction = Fraction(0)
    height: HeightRule | None = None
    longest_side_mm: int | None = None
    shortest_side_mm: int | None = None
    least_animals: int = 1
    most_animals: Bands | None = None
    raised: RaisedRule | None = None
    base: str | None = None

    @property
    def note(self) -> str:
        return joined(" ", self.notes)

    @property
    def known_words(self) -> str:
        """How well its figures are known, as a sentence."""
        return KNOWN_SENTENCES[self.known]

    @property
    def standing_words(self) -> str:
        return STANDING_WORDS[self.standing]

    @property
    def verified(self) -> bool:
        """Whether its figures may decide anything."""
        return self.known is not Known.MEMORY

    @property
    def never_singly(self) -> Source | None:
        """The source that forbids keeping one alone; None where it does not."""
        return None if self.least_animals < 2 else Source(self.source, self.known)

    def required_mm2(self, residents: Sequence[Resident]) -> int:
        """Floor for these animals; a lower bound where there is no figure for so many."""
        return sum(self.floor.parts_mm2(residents)) if residents else 0

    def needed_height_mm(self, residents: Sequence[Resident]) -> int | None:
        """Height for these animals; None: the rule set says nothing of height."""
        if self.height is None:
            return None
        if self.floor.young is not None and not self.floor.grown(residents):
            return self.floor.young.height_mm
        return self.height.height_mm.of(self.floor.heaviest_g(residents))
