"""Males with females, males with males, and animals whose sex nobody recorded."""

from dataclasses import replace
from datetime import date

from habitats.source import PRACTICE
from habitats.welfare.companion import Companion
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.maturity import (
    LEAVES_DAYS,
    LEAVES_G,
    PARTING,
    WAIT_DAYS,
    WAITING,
    Siring,
    can_conceive,
    contradicts_age,
    siring,
)
from habitats.welfare.objection import Objection, Severity, block, warning
from habitats.welfare.values import Sex, Species
from habitats.welfare.words import day_words
from habitats.wording import listed

# Up to here an age in days tells people more than the word "entire". No more than wording.
YOUNG_DAYS = 120
LEAVES = {
    Species.GUINEA_PIG: "Males leave females at 21 days or 250 g, whichever comes first.",
    Species.RABBIT: "Males leave females at 10 weeks.",
}


def male_with_female(
    male: Companion, female: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """An entire male, one castrated lately, or a young one, with a female that can conceive."""
    if male.sex is not Sex.MALE or female.sex is not Sex.FEMALE:
        return None
    if male.species is not female.species or not can_conceive(female, day):
        return None
    match siring(male, day):
        case Siring.YES:
            return _entire(male, female, day)
        case Siring.WAITING:
            return _waiting(male, female)
        case Siring.SOON:
            return _young(male, female)
    return None


def two_males(
    one: Companion, other: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """Two grown entire males."""
    if one.ref > other.ref or one.species is not other.species:
        return None
    if not all(a.sex is Sex.MALE and siring(a, day) is Siring.YES for a in (one, other)):
        return None
    return warning(
        "two_males",
        (one.ref, other.ref),
        f"{one.name} and {other.name} are both entire males, and many such pairs fight as they "
        "grow up. Give them room and two of everything, watch them, and part them at the first "
        "wound.",
        PRACTICE,
    )


def sex_unknown(
    one: Companion, other: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """Two of which one at least has no recorded sex: each counts as whatever could breed."""
    unknown = [a for a in (one, other) if a.sex is None]
    if not unknown or one.ref > other.ref:
        return None
    couples = [(_as(one, Sex.MALE), _as(other, Sex.FEMALE))]
    couples.append((_as(other, Sex.MALE), _as(one, Sex.FEMALE)))
    found = [male_with_female(male, female, day, limits) for male, female in couples]
    severities = {objection.severity for objection in found if objection}
    if not severities:
        return None
    make = block if Severity.BLOCK in severities else warning
    who = listed([a.name for a in unknown])
    return make(
        "sex_unknown" if make is block else "sex_unknown_young",
        (one.ref, other.ref),
        f"The sex of {who} is not recorded, so {one.name} and {other.name} count as a male and a "
        f"female{' that may soon breed' if make is warning else ''}. Have somebody look who can "
        "tell, and record it.",
        PRACTICE,
    )


def _as(animal: Companion, sex: Sex) -> Companion:
    """The animal with this sex if none is recorded, else as it is."""
    return animal if animal.sex else replace(animal, sex=sex)


def _entire(male: Companion, female: Companion, day: date) -> Objection:
    return block(
        "entire_male",
        (male.ref, female.ref),
        f"{male.name} {_grown(male, day)}, and {female.name} can conceive: they may not live "
        f"together. {LEAVES[male.species]}",
        PARTING[male.species],
    )


def _grown(male: Companion, day: date) -> str:
    """Why he counts as grown."""
    if male.born is None:
        return "is an entire male whose birth is not recorded, so he counts as grown"
    age = male.born.oldest(day)
    if age >= YOUNG_DAYS:
        return "is an entire male"
    if age >= LEAVES_DAYS[male.species]:
        may_be = "may be" if male.born.estimated else "is"
        return f"is an entire male and {may_be} {age} days old"
    last = male.weighed_by(day)
    if last is None:
        return "is an entire male, was never weighed, and may have reached 250 g"
    if last.grams >= LEAVES_G:
        return f"is an entire male and weighed {last.grams} g on {day_words(last.day)}"
    return (
        f"is an entire male, weighed {last.grams} g on {day_words(last.day)}, and may have reached "
        "250 g since (weigh him again)"
    )


def _waiting(male: Companion, female: Companion) -> Objection:
    done = male.castration
    assert done is not None
    if done.on is None:
        since = (
            f"{male.name} is castrated, but nobody recorded when, and may still sire. Record the "
            f"day, or count {WAIT_DAYS} days from the first on which he was known to be castrated."
        )
    else:
        since = (
            f"{male.name} was castrated on {day_words(done.on)} and may still sire for "
            f"{WAIT_DAYS} days: until then he stays apart from {female.name}."
        )
    if contradicts_age(male):
        since += " He is recorded as castrated before maturity, but was too old for that."
    return block("castration_wait", (male.ref, female.ref), since, WAITING, basis=done.on)


def _young(male: Companion, female: Companion) -> Objection:
    weigh = " Weigh him every day." if male.species is Species.GUINEA_PIG else ""
    return warning(
        "young_male",
        (male.ref, female.ref),
        f"{male.name} is a young male and will have to leave {female.name} soon. "
        f"{LEAVES[male.species]}{weigh}",
        PARTING[male.species],
    )
