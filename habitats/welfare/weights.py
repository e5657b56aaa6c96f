"""Weights as they are entered and watched: what cannot be, what is missing, what falls."""

from collections.abc import Iterable
from datetime import date, timedelta
from itertools import pairwise
from typing import NamedTuple

from habitats.decimals import tenths
from habitats.measures import grams
from habitats.welfare.companion import Companion, DatedWeight, last_of_each_day
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.maturity import Siring, siring
from habitats.welfare.values import Sex, Species
from habitats.welfare.words import day_words
from habitats.wording import joined, message

# Wider than any living animal, so that only slips of the pen are refused: a small newborn pup or
# kit, and the heaviest breeds. Common practice, no source.
LIGHTEST_G = {Species.GUINEA_PIG: 30, Species.RABBIT: 20}
HEAVIEST_G = {Species.GUINEA_PIG: 2_500, Species.RABBIT: 12_000}
# Beyond these no scale was read right, whatever the species.
LEAST_GRAMS, MOST_GRAMS = min(LIGHTEST_G.values()), max(HEAVIEST_G.values())
# Until this age an animal grows fast enough to be weighed more often. Common practice, no source.
YOUNG_DAYS = {Species.GUINEA_PIG: 84, Species.RABBIT: 112}
# Until this age it is weighed every day: one that does not gain is in danger within a day or two.
# Common practice, no source.
NEWBORN_DAYS = 14
IMPOSSIBLE = {
    Species.GUINEA_PIG: message(
        "%(weight)s cannot be the weight of a guinea pig: %(lightest)s to %(heaviest)s are "
        "allowed. Read the scales again and enter whole grams."
    ),
    Species.RABBIT: message(
        "%(weight)s cannot be the weight of a rabbit: %(lightest)s to %(heaviest)s are allowed. "
        "Read the scales again and enter whole grams."
    ),
}

ON_FALL = message(
    "Weigh again to be sure, look at eating and droppings, and call a vet today if it is so."
)


class Fall(NamedTuple):
    """A fall between two weighings that calls for a vet; ``percent`` is negative."""

    before: DatedWeight
    after: DatedWeight
    percent: float

    @property
    def sentence(self) -> str:
        fell = message(
            "Weight fell from %(before)s on %(before_day)s to %(after)s on %(after_day)s "
            "(%(percent)s %%).",
            before=grams(self.before.grams),
            before_day=day_words(self.before.day),
            after=grams(self.after.grams),
            after_day=day_words(self.after.day),
            percent=tenths(self.percent),
        )
        return joined(" ", [fell, ON_FALL])


def weight_fault(species: Species, amount_g: int) -> str | None:
    """One sentence if no animal of the species weighs this; None if it may."""
    lightest, heaviest = LIGHTEST_G[species], HEAVIEST_G[species]
    if lightest <= amount_g <= heaviest:
        return None
    return IMPOSSIBLE[species].filled(
        weight=grams(amount_g), lightest=grams(lightest), heaviest=grams(heaviest)
    )


def change_percent(before: DatedWeight, after: DatedWeight) -> float:
    """How much the weight changed, in per cent of what it was; negative for a fall."""
    return 100 * (after.grams - before.grams) / before.grams


def alarm(weighings: Iterable[DatedWeight], limits: WelfareLimits = DEFAULTS) -> Fall | None:
    """The latest weighing against the heaviest of ``limits.fall_within_days`` before its day.

    So a slow fall over several weighings is seen too. Of a day the weighing taken last counts,
    and none is compared with another of its day. None if it fell less than
    ``limits.fall_percent``, or there is nothing to compare.
    """
    by_day = last_of_each_day(weighings)
    if not by_day:
        return None
    latest = by_day.pop()
    since = latest.day - timedelta(days=limits.fall_within_days)
    recent = [one for one in by_day if since <= one.day]
    return _fall(max(recent, key=_weight_then_day), latest, limits) if recent else None


def falls(weighings: Iterable[DatedWeight], limits: WelfareLimits = DEFAULTS) -> tuple[Fall, ...]:
    """Each fall from one day to the next of at least ``limits.fall_percent``, in time."""
    found = (_fall(*two, limits) for two in pairwise(last_of_each_day(weighings)))
    return tuple(fall for fall in found if fall)


def weigh_by(animal: Companion, today: date, limits: WelfareLimits = DEFAULTS) -> date:
    """The day from which its last weight is too old; today if it never was weighed.

    The newborn are weighed every day, and a young male guinea pig that leaves its mother soon,
    since 250 g decide.
    """
    last = animal.weighed_by(today)
    if last is None:
        return today
    if animal.born is not None and 0 <= animal.born.youngest(today) < NEWBORN_DAYS:
        return last.day + timedelta(days=1)
    by_weight = animal.species is Species.GUINEA_PIG and animal.sex is not Sex.FEMALE
    if by_weight and siring(animal, today) is Siring.SOON:
        return last.day + timedelta(days=1)
    growing = animal.born is not None and animal.born.youngest(today) < YOUNG_DAYS[animal.species]
    return last.day + timedelta(days=limits.stale_young_days if growing else limits.stale_days)


def _fall(before: DatedWeight, after: DatedWeight, limits: WelfareLimits) -> Fall | None:
    percent = change_percent(before, after)
    return Fall(before, after, percent) if percent <= -limits.fall_percent else None


def _weight_then_day(weighing: DatedWeight) -> tuple[int, date]:
    return weighing.grams, weighing.day
