"""From when on an animal can sire or conceive, as far as its own record tells.

What is not known takes the cautious side: a male without a birth date counts as grown, one whose
castration has no date as able to sire still. A young male whom nobody weighed goes by his age
alone: he is to be weighed, not taken from his mother.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from enum import StrEnum

from habitats.source import Known, Source
from habitats.welfare.companion import BirthSpan, Companion
from habitats.welfare.growth import weight_ahead
from habitats.welfare.values import Species
from habitats.wording import message

# Males leave females at 21 days or 250 g, whichever comes first; rabbits at 10 weeks.
LEAVES_DAYS = {Species.GUINEA_PIG: 21, Species.RABBIT: 70}
LEAVES_G = 250
# From here on people are told that it comes. Guinea pigs: weaning, 14 to 21 days. Rabbits: two
# weeks before, common practice, no source.
NOTICE_DAYS = {Species.GUINEA_PIG: 14, Species.RABBIT: 56}
WAIT_DAYS = 42

PARTING = {
    Species.GUINEA_PIG: Source(
        message("guidance for keepers of guinea pigs: males leave females at 21 days or 250 g"),
        Known.SECOND_HAND,
    ),
    Species.RABBIT: Source(
        message("guidance for keepers of rabbits: entire males apart from 10 weeks"),
        Known.RECKONED,
    ),
}
WAITING = Source(message("veterinary guidance: 42 days after castration"), Known.SECOND_HAND)


class Siring(StrEnum):
    """Whether a male can sire."""

    NO = "no"
    NOT_YET = "not yet"
    SOON = "soon"
    WAITING = "waiting"
    YES = "yes"


def siring(male: Companion, day: date) -> Siring:
    """Whether he can sire on that day; ``SOON`` is too young, but not for long."""
    if castrated(male, day) and not fertile_after_castration(male, day):
        return Siring.NO
    if not mature(male, day):
        assert male.born is not None
        notice = male.born.oldest(day) >= NOTICE_DAYS[male.species]
        return Siring.SOON if notice else Siring.NOT_YET
    return Siring.WAITING if castrated(male, day) else Siring.YES


def castrated(animal: Companion, day: date) -> bool:
    """Whether it was castrated by that day; a castration without a date has been."""
    done = animal.castration
    return done is not None and (done.on is None or done.on <= day)


def fertile_after_castration(male: Companion, day: date) -> bool:
    """Whether a castrated male is within the wait, or may be, since the day is not known."""
    done = male.castration
    if done is None or (done.before_maturity and not _castrated_mature(male)):
        return False
    return done.on is None or (day - done.on).days < WAIT_DAYS


def contradicts_age(male: Companion) -> bool:
    """Whether he is said to be castrated before maturity, but was too old for that."""
    done = male.castration
    return done is not None and done.before_maturity and _castrated_mature(male)


def can_conceive(female: Companion, day: date) -> bool:
    """Every female that is not castrated, at any age: no figure says when she is too young."""
    return not castrated(female, day)


def mature(male: Companion, day: date) -> bool:
    """Whether he has reached, or by his weights may have, the age or weight at which he leaves."""
    if male.born is None or male.born.oldest(day) >= LEAVES_DAYS[male.species]:
        return True
    return male.species is Species.GUINEA_PIG and _heavy(male, male.born, day)


def leaves_on(male: Companion, today: date) -> date | None:
    """The first day on which he was mature, or will be at the latest as far as today tells.

    None if his birth is not known.
    """
    if male.born is None:
        return None
    by_age = male.born.earliest + timedelta(days=LEAVES_DAYS[male.species])
    weighed = [one.day for one in male.weighings if one.grams >= LEAVES_G and one.day <= today]
    if weighed and male.species is Species.GUINEA_PIG:
        return min(by_age, *weighed)
    return next((day for day in days_between(today, by_age) if mature(male, day)), by_age)


def days_between(first: date, last: date) -> Iterator[date]:
    """Each day from the first to the last."""
    return (first + timedelta(days=ahead) for ahead in range((last - first).days + 1))


def _heavy(male: Companion, born: BirthSpan, day: date) -> bool:
    """250 g weighed, or reached by the upper guide since the last weighing once he is weaned."""
    if any(one.grams >= LEAVES_G for one in male.weighings if one.day <= day):
        return True
    if born.oldest(day) < NOTICE_DAYS[male.species] or male.weighed_by(day) is None:
        return False
    ahead = weight_ahead(male, day)
    return ahead is None or ahead.grams >= LEAVES_G


def _castrated_mature(male: Companion) -> bool:
    done, born = male.castration, male.born
    if done is None or done.on is None or born is None:
        return False
    return born.youngest(done.on) >= LEAVES_DAYS[male.species]
