"""Animals that live at a new home already: what speaks against those that go joining them.

They are known by sex and castration alone, so they count as grown; those castrated less than
``WAIT_DAYS`` ago are told as entire. Nobody of ours can look at them: the sentences say what to ask
the adopter. The rules are those of every group; a vet's word comes before any of them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import NamedTuple

from habitats.welfare.breeding import male_with_female, sex_unknown, two_males
from habitats.welfare.companion import BirthSpan, Castration, Companion
from habitats.welfare.company import PairRule, between, two_species
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.maturity import WAIT_DAYS
from habitats.welfare.objection import Objection
from habitats.welfare.quarantine import rhd
from habitats.welfare.values import Resident, Sex, Species
from habitats.welfare.words import MANY
from habitats.wording import counted, message

GROWN_DAYS = 3 * 365  # older than any age that a rule asks about
RULES: tuple[PairRule, ...] = (two_species, male_with_female, sex_unknown, two_males, rhd)


class CompanyAtHome(NamedTuple):
    """How many of each live there; ``others``: of the other species, in the same enclosure."""

    females: int = 0
    spayed: int = 0
    males: int = 0
    castrated: int = 0
    unsexed: int = 0
    others: int = 0

    @property
    def number(self) -> int:
        """Of the species itself."""
        return sum(self) - self.others

    @property
    def words(self) -> tuple[str, ...]:
        """What lives there, kind by kind; the other species is named by who knows it."""
        return tuple(str(one) for one in self._words())

    def _words(self) -> Iterator[str]:
        if self.females:
            yield counted("%(count)d female", "%(count)d females", self.females)
        if self.spayed:
            yield counted("%(count)d spayed female", "%(count)d spayed females", self.spayed)
        if self.males:
            yield counted("%(count)d entire male", "%(count)d entire males", self.males)
        if self.castrated:
            yield counted("%(count)d castrated male", "%(count)d castrated males", self.castrated)
        if self.unsexed:
            yield counted("%(count)d of unknown sex", "%(count)d of unknown sex", self.unsexed)

    def residents(self) -> list[Resident]:
        """As the space rules see them: of unknown weight and age."""
        return [
            *[Resident(sex=Sex.FEMALE)] * self.females,
            *[Resident(sex=Sex.FEMALE, castrated=True)] * self.spayed,
            *[Resident(sex=Sex.MALE)] * self.males,
            *[Resident(sex=Sex.MALE, castrated=True)] * self.castrated,
            *[Resident()] * self.unsexed,
        ]


NO_COMPANY = CompanyAtHome()


def other_species(species: Species) -> Species:
    return Species.RABBIT if species is Species.GUINEA_PIG else Species.GUINEA_PIG


def against_company(
    going: Sequence[Companion],
    at_home: CompanyAtHome,
    day: date,
    limits: WelfareLimits = DEFAULTS,
) -> list[Objection]:
    """What speaks against each of these living with those, once for each reason.

    Only the one that goes is among the ``animals`` of an objection.
    """
    found: dict[str, Objection] = {}
    for animal in going:
        for other in _one_of_each(at_home, animal.species, day):
            for objection in between([animal], [other], day, limits, rules=RULES):
                told = _told(objection, animal, other)
                found.setdefault(told.key, told)
    return list(found.values())


def _one_of_each(at_home: CompanyAtHome, species: Species, day: date) -> Iterator[Companion]:
    done = Castration(day - timedelta(days=WAIT_DAYS))
    if at_home.females:
        yield _grown("females", species, day, sex=Sex.FEMALE)
    if at_home.spayed:
        yield _grown("spayed", species, day, sex=Sex.FEMALE, castration=done)
    if at_home.males:
        yield _grown("males", species, day, sex=Sex.MALE)
    if at_home.castrated:
        yield _grown("castrated", species, day, sex=Sex.MALE, castration=done)
    if at_home.unsexed:
        yield _grown("unsexed", species, day)
    if at_home.others:
        kind = other_species(species)
        yield _grown("others", kind, day, sex=Sex.FEMALE, castration=done)


def _grown(
    ref: str,
    species: Species,
    day: date,
    *,
    sex: Sex | None = None,
    castration: Castration | None = None,
) -> Companion:
    born = BirthSpan.on(day - timedelta(days=GROWN_DAYS))
    return Companion(ref, ref, species, sex=sex, born=born, castration=castration)


def _told(objection: Objection, animal: Companion, other: Companion) -> Objection:
    """As an objection to that animal alone, in words for the one who talks to the adopter."""
    code = f"home_{objection.code}"
    sentence = _sentence(objection, animal, other)
    return replace(objection, code=code, animals=(animal.ref,), sentence=sentence)


def _sentence(objection: Objection, animal: Companion, other: Companion) -> str:
    code, name = objection.code, animal.name
    if code == "two_species":
        return _THEIRS["two_species"].filled(name=name, others=MANY[other.species])
    if code == "entire_male" and animal.sex is not Sex.MALE:
        return _THEIRS["entire_male_there"].filled(name=name, days=WAIT_DAYS)
    if code == "castration_wait":
        return _THEIRS[code].filled(name=name, days=WAIT_DAYS)
    if code in _THEIRS:
        return _THEIRS[code].filled(name=name)
    return _of_unknown_sex(animal)


_RHD = message(
    "%(name)s may have been exposed to rabbit haemorrhagic disease. Ask a vet before it meets the "
    "rabbits at the new home."
)
# By the objection's code; that of an entire male is told apart by where he lives.
_THEIRS = {
    "two_species": message(
        "%(name)s would live with %(others)s. They are never kept together: they eat and "
        "communicate differently, and one can hurt the other or make it ill."
    ),
    "entire_male": message(
        "%(name)s is an entire male, and a female at the new home can conceive: they may not live "
        "together."
    ),
    "entire_male_there": message(
        "An entire male lives at the new home, and %(name)s can conceive: they may not live "
        "together. He counts as entire for %(days)d days after castration."
    ),
    "castration_wait": message(
        "%(name)s may still sire for %(days)d days after castration, and a female at the new home "
        "can conceive: until then he stays apart from her."
    ),
    "young_male": message(
        "%(name)s is a young male. He will have to leave the females at the new home soon."
    ),
    "two_males": message(
        "%(name)s and a male at the new home are both entire, and many such pairs fight. Ask "
        "whether there is room and two of everything, and agree what happens if they do not get on."
    ),
    "rhd": _RHD,
    "rhd_sampled_early": _RHD,
}


def _of_unknown_sex(animal: Companion) -> str:
    if animal.sex is None:
        return message(
            "The sex of %(name)s is not recorded, so it counts as one that can breed with those at "
            "the new home. Have it checked and recorded.",
            name=animal.name,
        )
    return message(
        "The sex of an animal at the new home is not known, so it counts as one that can breed "
        "with %(name)s. Ask the adopter to have it checked.",
        name=animal.name,
    )
