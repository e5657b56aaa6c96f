"""Males with females, males with males, and animals whose sex nobody recorded.

Each rule gives its objection, or None where it has none.
"""

from collections.abc import Sequence
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
from habitats.wording import joined, message

# Up to here an age in days tells people more than the word "entire". No more than wording.
YOUNG_DAYS = 120
NEVER_WEIGHED = message("He was never weighed: weigh him now, and then every day.")
LEAVES = {
    Species.GUINEA_PIG: message("Males leave females at 21 days or 250 g, whichever comes first."),
    Species.RABBIT: message("Males leave females at 10 weeks."),
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
            return _young(male, female, day)
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
        message(
            "%(one)s and %(other)s are both entire males, and many such pairs fight as they grow "
            "up. Give them room and two of everything, watch them, and separate them at the first "
            "wound.",
            one=one.name,
            other=other.name,
        ),
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
    refs, names = (one.ref, other.ref), {"one": one.name, "other": other.name}
    if Severity.BLOCK in severities:
        return block("sex_unknown", refs, _may_breed(unknown, names), PRACTICE)
    return warning("sex_unknown_young", refs, _may_breed_soon(unknown, names), PRACTICE)


def _may_breed(unknown: Sequence[Companion], names: dict[str, str]) -> str:
    if len(unknown) > 1:
        return message(
            "The sexes of %(one)s and %(other)s are not recorded, so they count as a male and a "
            "female. Have both checked and recorded.",
            **names,
        )
    return message(
        "The sex of %(name)s is not recorded, so %(one)s and %(other)s count as a male and a "
        "female. Have it checked and recorded.",
        name=unknown[0].name,
        **names,
    )


def _may_breed_soon(unknown: Sequence[Companion], names: dict[str, str]) -> str:
    if len(unknown) > 1:
        return message(
            "The sexes of %(one)s and %(other)s are not recorded, so they count as a male and a "
            "female that may soon breed. Have both checked and recorded.",
            **names,
        )
    return message(
        "The sex of %(name)s is not recorded, so %(one)s and %(other)s count as a male and a "
        "female that may soon breed. Have it checked and recorded.",
        name=unknown[0].name,
        **names,
    )


def _as(animal: Companion, sex: Sex) -> Companion:
    """The animal with this sex if none is recorded, else as it is."""
    return animal if animal.sex else replace(animal, sex=sex)


def _entire(male: Companion, female: Companion, day: date) -> Objection:
    apart = message(
        "%(grown_male)s, and %(female)s can conceive: they may not live together.",
        grown_male=_grown(male, day),
        female=female.name,
    )
    refs = (male.ref, female.ref)
    sentence = joined(" ", [apart, LEAVES[male.species]])
    return block("entire_male", refs, sentence, PARTING[male.species])


def _grown(male: Companion, day: date) -> str:
    """That he counts as grown, and why."""
    name = male.name
    if male.born is None:
        return message(
            "%(name)s is an entire male whose birth is not recorded, so he counts as grown",
            name=name,
        )
    age = male.born.oldest(day)
    if age >= YOUNG_DAYS:
        return message("%(name)s is an entire male", name=name)
    if age >= LEAVES_DAYS[male.species]:
        if male.born.estimated:
            return message(
                "%(name)s is an entire male and may be %(age)d days old", name=name, age=age
            )
        return message("%(name)s is an entire male and is %(age)d days old", name=name, age=age)
    last = male.weighed_by(day)
    assert last is not None, "younger ones count as grown by their weight alone"
    weight = {"name": name, "grams": last.grams, "day": day_words(last.day)}
    if last.grams >= LEAVES_G:
        return message("%(name)s is an entire male and weighed %(grams)d g on %(day)s", **weight)
    return message(
        "%(name)s is an entire male, weighed %(grams)d g on %(day)s, and may have reached 250 g "
        "since (weigh him again)",
        **weight,
    )


def _waiting(male: Companion, female: Companion) -> Objection:
    done = male.castration
    assert done is not None
    if done.on is None:
        since = message(
            "%(male)s is castrated, but the day is not recorded: he may still sire. Record the "
            "day, or count %(days)d days from the first on which he was known to be castrated.",
            male=male.name,
            days=WAIT_DAYS,
        )
    else:
        since = message(
            "%(male)s was castrated on %(day)s and may still sire for %(days)d days: until then he "
            "stays apart from %(female)s.",
            male=male.name,
            day=day_words(done.on),
            days=WAIT_DAYS,
            female=female.name,
        )
    sentences = [since]
    if contradicts_age(male):
        sentences.append(
            message("He is recorded as castrated before maturity, but was too old for that.")
        )
    refs = (male.ref, female.ref)
    return block("castration_wait", refs, joined(" ", sentences), WAITING, basis=done.on)


def _young(male: Companion, female: Companion, day: date) -> Objection:
    soon = message(
        "%(male)s is a young male and will have to leave %(female)s soon.",
        male=male.name,
        female=female.name,
    )
    sentences = [soon, LEAVES[male.species]]
    if male.species is Species.GUINEA_PIG:
        never = male.weighed_by(day) is None
        sentences.append(NEVER_WEIGHED if never else message("Weigh him every day."))
    refs = (male.ref, female.ref)
    return warning("young_male", refs, joined(" ", sentences), PARTING[male.species])
