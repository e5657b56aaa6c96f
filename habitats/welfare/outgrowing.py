"""The day on which a group outgrows its enclosure.

The verdict is asked for, not worked out here: ``passes`` says whether the enclosure would be
enough for the group as it will be. Between two days on which somebody's class of age, litter or
castration changes, only weights move, and they rise. So each such span is looked at from its end,
and halved where the end fails: exact, with a handful of questions a year instead of 365.
"""

from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

from habitats.welfare.companion import BirthSpan, Companion
from habitats.welfare.growth import weight_ahead
from habitats.welfare.litters import LITTER_DAYS, with_litter
from habitats.welfare.maturity import castrated
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident

# ``lambda residents: judged(rule_set, species, room, residents).passes``
Passes = Callable[[tuple[Resident, ...]], bool | None]

# Where standards begin to count a rabbit as grown. An estimated age on both sides of it counts as
# not known, so that the animal is owed what either age is owed.
GROWN_DAYS = 70


def residents_on(animals: Sequence[Companion], day: date) -> tuple[Resident, ...]:
    """The animals as the space rules see them on that day, with weights ahead, in this order."""
    return tuple(_resident(animal, animals, day) for animal in animals)


def outgrown_on(
    animals: Sequence[Companion],
    today: date,
    passes: Passes,
    *,
    class_ages: Collection[int] | None = None,
    within_days: int = 365,
) -> date | None:
    """The first day, today or later, on which ``passes`` is False; None if there is none so soon.

    "Cannot be told" (None) is not outgrown. ``class_ages`` are the ages in days with which the rule
    set's classes change, as ``class_ages`` has them; without them every day is asked about.
    ``passes`` must not get better as weights rise. Nobody outgrows anything in an empty group.
    """
    if not animals:
        return None
    last = today + timedelta(days=within_days)

    def fails(day: date) -> bool:
        return passes(residents_on(animals, day)) is False

    starts = _span_starts(animals, today, last, class_ages)
    for start, after in pairwise([*starts, last + timedelta(days=1)]):
        end = after - timedelta(days=1)
        if fails(end):
            return _first_failing(fails, start, end)
    return None


def class_ages(rule_set: RuleSet) -> frozenset[int]:
    """The ages in days with which this rule set's classes change; few rule sets have any."""
    young = rule_set.floor.young
    if young is None:
        return frozenset()
    bounds = {young.under_days, *(band.bound for band in young.each_mm2.classes)} - {None}
    # Whether the day of the bound is still of the class differs, so both sides of it.
    return frozenset(age for bound in bounds if bound is not None for age in (bound, bound + 1))


def _resident(animal: Companion, group: Sequence[Companion], day: date) -> Resident:
    ahead = weight_ahead(animal, day)
    return Resident(
        weight_g=ahead.grams if ahead else None,
        age_days=_age(animal.born, day) if animal.born else None,
        sex=animal.sex,
        castrated=castrated(animal, day),
        with_litter=with_litter(animal, group, day),
    )


def _age(born: BirthSpan, day: date) -> int | None:
    oldest = max(born.oldest(day), 0)
    return None if born.estimated and born.youngest(day) <= GROWN_DAYS <= oldest else oldest


def _first_failing(fails: Callable[[date], bool], start: date, end: date) -> date:
    """The first day that fails, from the start to an end that does."""
    while start < end:
        middle = start + (end - start) // 2
        if fails(middle):
            end = middle
        else:
            start = middle + timedelta(days=1)
    return end


def _span_starts(
    animals: Sequence[Companion], today: date, last: date, ages: Collection[int] | None
) -> list[date]:
    """Today, and each later day up to the last from which only weights move for a while."""
    if ages is None:
        return [today + timedelta(days=ahead) for ahead in range((last - today).days + 1)]
    days = {day for animal in animals for day in class_days(animal, ages)}
    return [today, *sorted(day for day in days if today < day <= last)]


def class_days(animal: Companion, ages: Collection[int]) -> Iterator[date]:
    """On which its class of age, its litter or its castration may change, past ones too."""
    if animal.born:
        counted = {*ages, GROWN_DAYS, GROWN_DAYS + 1, LITTER_DAYS[animal.species]}
        for born in animal.born:
            yield from (born + timedelta(days=age) for age in counted)
    if animal.castration and animal.castration.on:
        yield animal.castration.on
    if animal.gave_birth_on:
        yield animal.gave_birth_on
        yield animal.gave_birth_on + timedelta(days=LITTER_DAYS[animal.species])
