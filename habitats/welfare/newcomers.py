"""Animals that are not here yet, for which room is asked: so many of one kind.

A mother comes with her young as on the day of their birth, when company is told most. Space is
asked for as if they were grown, as for all newcomers: they soon need it.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from habitats.welfare.companion import BirthSpan, Castration, Companion, QuarantineSpan
from habitats.welfare.maturity import WAIT_DAYS, Siring, siring
from habitats.welfare.values import Sex, Species
from habitats.wording import Message, message

MOST_NEWCOMERS = 20
# So old that no standard and no rule of company asks for more or less of an older one.
GROWN_DAYS = 3 * 365


class Kind(StrEnum):
    """What company tells apart in grown animals."""

    FEMALE = "female"
    SPAYED = "spayed"
    MALE = "male"
    NEUTERED = "neutered"
    UNKNOWN = "unknown"
    LITTER = "litter"  # a mother and her young


# Neutered: so long ago that he sires no more. One neutered lately is asked for as a boar.
KIND_WORDS: dict[tuple[Species, Kind], Message] = {
    (Species.GUINEA_PIG, Kind.FEMALE): message("sows"),
    (Species.GUINEA_PIG, Kind.SPAYED): message("spayed sows"),
    (Species.GUINEA_PIG, Kind.MALE): message("boars"),
    (Species.GUINEA_PIG, Kind.NEUTERED): message(
        "boars neutered %(weeks)d weeks ago or longer", weeks=WAIT_DAYS // 7
    ),
    (Species.GUINEA_PIG, Kind.UNKNOWN): message("guinea pigs, sex not known"),
    (Species.GUINEA_PIG, Kind.LITTER): message("guinea pigs: a sow and her pups"),
    (Species.RABBIT, Kind.FEMALE): message("does"),
    (Species.RABBIT, Kind.SPAYED): message("spayed does"),
    (Species.RABBIT, Kind.MALE): message("bucks"),
    (Species.RABBIT, Kind.NEUTERED): message(
        "bucks neutered %(weeks)d weeks ago or longer", weeks=WAIT_DAYS // 7
    ),
    (Species.RABBIT, Kind.UNKNOWN): message("rabbits, sex not known"),
    (Species.RABBIT, Kind.LITTER): message("rabbits: a doe and her kits"),
}
_SEX = {
    Kind.FEMALE: Sex.FEMALE,
    Kind.SPAYED: Sex.FEMALE,
    Kind.MALE: Sex.MALE,
    Kind.NEUTERED: Sex.MALE,
    Kind.UNKNOWN: None,
    Kind.LITTER: None,
}
LEAST_OF_A_LITTER = 2  # the mother, and one


def kind_of(animal: Companion, today: date) -> Kind:
    """Of one that is known: as whom it would be asked for."""
    match animal.sex:
        case Sex.FEMALE:
            return Kind.SPAYED if animal.castration else Kind.FEMALE
        case Sex.MALE:
            return Kind.NEUTERED if siring(animal, today) is Siring.NO else Kind.MALE
    return Kind.UNKNOWN


@dataclass(frozen=True, slots=True)
class Newcomers:
    """So many animals of one kind, that come together: grown, but for the young of a litter.

    ``number`` of a litter: the mother and her young, whose sexes are not known.
    ``in_quarantine``: their quarantine begins today, and they share it.
    """

    species: Species
    number: int
    kind: Kind
    in_quarantine: bool = False

    def __post_init__(self) -> None:
        if self.kind is Kind.LITTER and self.number < LEAST_OF_A_LITTER:
            raise ValueError("A litter is a mother and one of her young at least: give 2 or more.")

    def companions(self, today: date) -> tuple[Companion, ...]:
        """As company sees them, never weighed; a mother before her young."""
        if self.kind is Kind.LITTER:
            return self._litter(today)
        return tuple(self._companion(number, today) for number in range(1, self.number + 1))

    def grown(self, today: date) -> tuple[Companion, ...]:
        """The same, with the young as large as they will be: for these there must be space."""
        born = BirthSpan.on(today - timedelta(days=GROWN_DAYS))
        return tuple(replace(one, born=born) for one in self.companions(today))

    def _litter(self, today: date) -> tuple[Companion, ...]:
        mother, *young = (self._companion(number, today) for number in range(1, self.number + 1))
        born = BirthSpan.on(today)
        return (
            replace(mother, sex=Sex.FEMALE, gave_birth_on=today),
            *(replace(one, sex=None, born=born, mother=mother.ref) for one in young),
        )

    def _companion(self, number: int, today: date) -> Companion:
        is_castrated = self.kind in (Kind.SPAYED, Kind.NEUTERED)
        return Companion(
            ref=f"newcomer-{number}",
            name=message("Newcomer %(number)d", number=number),
            species=self.species,
            sex=_SEX[self.kind],
            born=BirthSpan.on(today - timedelta(days=GROWN_DAYS)),
            castration=Castration(today - timedelta(days=WAIT_DAYS)) if is_castrated else None,
            quarantine=QuarantineSpan(today, together="newcomers") if self.in_quarantine else None,
        )
