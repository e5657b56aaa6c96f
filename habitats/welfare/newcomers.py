"""Animals that are not here yet, as far as one asks for room for them: so many of one kind."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from habitats.welfare.companion import BirthSpan, Castration, Companion, QuarantineSpan
from habitats.welfare.maturity import WAIT_DAYS
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


# Neutered: so long ago that he sires no more. One neutered lately is asked for as a boar.
KIND_WORDS: dict[tuple[Species, Kind], Message] = {
    (Species.GUINEA_PIG, Kind.FEMALE): message("sows"),
    (Species.GUINEA_PIG, Kind.SPAYED): message("spayed sows"),
    (Species.GUINEA_PIG, Kind.MALE): message("boars"),
    (Species.GUINEA_PIG, Kind.NEUTERED): message(
        "boars neutered %(weeks)d weeks ago or longer", weeks=WAIT_DAYS // 7
    ),
    (Species.GUINEA_PIG, Kind.UNKNOWN): message("guinea pigs, sex not known"),
    (Species.RABBIT, Kind.FEMALE): message("does"),
    (Species.RABBIT, Kind.SPAYED): message("spayed does"),
    (Species.RABBIT, Kind.MALE): message("bucks"),
    (Species.RABBIT, Kind.NEUTERED): message(
        "bucks neutered %(weeks)d weeks ago or longer", weeks=WAIT_DAYS // 7
    ),
    (Species.RABBIT, Kind.UNKNOWN): message("rabbits, sex not known"),
}
_SEX = {
    Kind.FEMALE: Sex.FEMALE,
    Kind.SPAYED: Sex.FEMALE,
    Kind.MALE: Sex.MALE,
    Kind.NEUTERED: Sex.MALE,
    Kind.UNKNOWN: None,
}


@dataclass(frozen=True, slots=True)
class Newcomers:
    """So many grown animals of one kind, that come together.

    ``in_quarantine``: their quarantine begins today, and they share it.
    """

    species: Species
    number: int
    kind: Kind
    in_quarantine: bool = False

    def companions(self, today: date) -> tuple[Companion, ...]:
        """As company and the space rules see them: grown, and never weighed."""
        return tuple(self._companion(number, today) for number in range(1, self.number + 1))

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
