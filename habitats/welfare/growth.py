"""What an animal will weigh: an upper guide, drawn through its own weights.

Guinea pigs: the logistic curve of meat-breed males by Tapie et al. (Tropical and Subtropical
Agroecosystems, article 5179). They are heavier than pets, so it is an upper guide for "when will
this group outgrow its enclosure", never a target.

- Weighed at four weeks or older: the guide is scaled so that it passes through the last weight.
- Weighed younger: the guide's gain is added instead. At birth the guide stands at 187 g, about
  twice what a pup weighs, and scaling would halve everything that follows.
- Age not known: the guide is followed from where it has this weight.

Rabbits: no sourced curve is known to us. With an expected adult weight, a rabbit's own latest gain
goes on in a straight line until it gets there; with a single weight it counts as grown from the
next day on. Without an adult weight nothing is forecast.
"""

import math
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from habitats.source import Known, Source
from habitats.welfare.companion import BirthSpan, Companion, DatedWeight, in_time
from habitats.welfare.values import Species
from habitats.wording import message

GUIDE = Source(
    message(
        "Tapie et al., Tropical and Subtropical Agroecosystems, article 5179: meat-breed males, an "
        "upper guide for pets"
    ),
    Known.PRIMARY,
)
FULL_G = 1421
BIRTH_RATIO = 6.599
RATE_A_DAY = 0.02903
# The age at which the guide gains most in a day.
STEEPEST_DAYS = math.log(BIRTH_RATIO) / RATE_A_DAY
# From here on the guide is scaled through a weight; before, its gain is added.
SCALED_FROM_DAYS = 28
# A gain between two weighings closer than this is mostly what was eaten that morning.
# Common practice, no source.
GAIN_OVER_DAYS = 7


class Method(StrEnum):
    """How a weight ahead was found."""

    # Weighed that day.
    WEIGHED = "weighed"
    # The upper guide for its age: never weighed.
    GUIDE = "guide"
    # The upper guide for its age, scaled through its last weight.
    SCALED = "scaled"
    # Its last weight and the gain of the upper guide since.
    GAINED = "gained"
    # The upper guide from where it has its last weight, as its age is not known.
    MATCHED = "matched"
    # Its own gain between two weights, up to its expected adult weight.
    OWN_GAIN = "own gain"
    # Its expected adult weight.
    ADULT = "adult"
    # Its last weight: no sourced growth curve is known, and no adult weight was given.
    KEPT = "kept"


class WeightAhead(NamedTuple):
    """``grams`` by ``method``. ``upper_guide``: growth was put in, and rather more than less."""

    grams: int
    method: Method

    @property
    def upper_guide(self) -> bool:
        return self.method not in (Method.WEIGHED, Method.KEPT)


def guide_g(species: Species, age_days: int) -> float | None:
    """The upper guide at this age, in grams; None for a species without a sourced curve."""
    return _guide(age_days) if species is Species.GUINEA_PIG else None


def weight_ahead(animal: Companion, day: date) -> WeightAhead | None:
    """What to reckon with on that day; None if neither weight nor age tells anything.

    Never less than the last weighing up to that day, and never falling from day to day after it.
    """
    last = animal.weighed_by(day)
    if last is not None and last.day == day:
        return WeightAhead(last.grams, Method.WEIGHED)
    if animal.species is Species.GUINEA_PIG:
        return _by_guide(animal, last, day)
    return _by_own_gain(animal, last, day)


def _guide(age_days: float) -> float:
    return FULL_G / (1 + BIRTH_RATIO * math.exp(-RATE_A_DAY * max(age_days, 0)))


def _guide_age(grams: int) -> float:
    """The age at which the guide has this weight; 0 for less than it ever has."""
    if grams <= _guide(0):
        return 0
    return -math.log((FULL_G / grams - 1) / BIRTH_RATIO) / RATE_A_DAY


def _by_guide(animal: Companion, last: DatedWeight | None, day: date) -> WeightAhead | None:
    if last is None:
        if animal.born is None:
            return None
        return WeightAhead(round(_guide(animal.born.oldest(day))), Method.GUIDE)
    if animal.born is None:
        return _matched(last, day)
    if animal.born.youngest(last.day) < SCALED_FROM_DAYS:
        return _gained(animal.born, last, day)
    # The younger it was, the more it still grows.
    before, after = _guide(animal.born.youngest(last.day)), _guide(animal.born.youngest(day))
    return WeightAhead(round(last.grams * after / before), Method.SCALED)


def _gained(born: BirthSpan, last: DatedWeight, day: date) -> WeightAhead:
    days = (day - last.day).days
    # Of all ages it may have had, the one from which the guide gains most in so many days.
    start = STEEPEST_DAYS - days / 2
    start = min(max(start, born.youngest(last.day)), born.oldest(last.day))
    return WeightAhead(round(last.grams + _gain(start, days)), Method.GAINED)


def _matched(last: DatedWeight, day: date) -> WeightAhead:
    if last.grams >= FULL_G:
        return WeightAhead(last.grams, Method.MATCHED)
    gain = _gain(_guide_age(last.grams), (day - last.day).days)
    return WeightAhead(round(last.grams + gain), Method.MATCHED)


def _gain(age_days: float, days: int) -> float:
    return _guide(age_days + days) - _guide(age_days)


def _by_own_gain(animal: Companion, last: DatedWeight | None, day: date) -> WeightAhead | None:
    adult = animal.adult_weight_g
    if last is None:
        return None if adult is None else WeightAhead(adult, Method.ADULT)
    if adult is None:
        return WeightAhead(last.grams, Method.KEPT)
    gain = _gain_a_day(animal.weighings, last)
    if gain is None or adult <= last.grams:
        return WeightAhead(max(adult, last.grams), Method.ADULT)
    grown = round(last.grams + gain * (day - last.day).days)
    return WeightAhead(min(grown, adult), Method.OWN_GAIN)


def _gain_a_day(weighings: tuple[DatedWeight, ...], last: DatedWeight) -> float | None:
    """Grams a day since the latest weighing at least a week before; never less than nothing."""
    earlier = [one for one in weighings if (last.day - one.day).days >= GAIN_OVER_DAYS]
    if not earlier:
        return None
    before = in_time(earlier)[-1]
    return max(0.0, (last.grams - before.grams) / (last.day - before.day).days)
