"""For how long what is said of a group holds, if nothing happens to it.

So it need not be worked out again each day. The days are gathered on which a rule may begin, end or
soften, or somebody enters another class of the space standard; on the first of them it is asked
again. It may then say the same: a day too many costs a moment, one too few would be a wrong answer.
The tests ask on every day, and compare.
"""

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta

from habitats.welfare.ahead import Due, DueKind
from habitats.welfare.alike import alike
from habitats.welfare.companion import Companion
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.litters import GESTATION_DAYS
from habitats.welfare.maturity import NOTICE_DAYS
from habitats.welfare.outgrowing import class_days, residents_on
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.turning import turning_days
from habitats.welfare.weights import NEWBORN_DAYS, YOUNG_DAYS

LONGEST_DAYS = 28  # it is asked again after so many days at the latest


def says_the_same_until(
    animals: Sequence[Companion],
    today: date,
    dues: Sequence[Due],
    limits: WelfareLimits,
    *,
    rules: RuleSet | None,
    ages: Collection[int] = (),
) -> date:
    """The first later day on which company, space or what is due may be another; of nobody, never.

    ``dues`` are what is due as told today, ``ages`` those with which the classes of ``rules``
    change; without ``rules`` nothing is told of space. That days come nearer is told by the page
    that shows them.
    """
    if not animals:
        return date.max
    days = [
        today + timedelta(days=LONGEST_DAYS),
        *turning_days(animals, today, limits),
        *(day for animal in animals for day in _beginnings(animal)),
        *(day for animal in animals for day in class_days(animal, ages)),
        *(day for one in dues for day in _of_due(one, animals, today)),
    ]
    first = min(day for day in days if day > today)
    return _next_class(animals, today, first, rules) if rules else first


def _beginnings(animal: Companion) -> Iterator[date]:
    """On which something may begin that no turning day tells."""
    if animal.born:
        yield animal.born.earliest + timedelta(days=NOTICE_DAYS[animal.species])
        yield animal.born.latest
        yield animal.born.latest + timedelta(days=NEWBORN_DAYS)
        yield animal.born.latest + timedelta(days=YOUNG_DAYS[animal.species])
    shortest, _ = GESTATION_DAYS[animal.species]
    for contact in animal.contacts:
        begun = [day for day in (contact.since, animal.gave_birth_on) if day]
        yield from begun
        yield from (day + timedelta(days=shortest) for day in begun)
        if contact.last:
            yield contact.last
    if animal.rhd_exposed_on:
        yield animal.rhd_exposed_on


def _of_due(one: Due, animals: Sequence[Companion], today: date) -> Iterator[date]:
    tomorrow = today + timedelta(days=1)
    if one.kind is not DueKind.WEIGH:
        yield one.day  # from here on it says that it is so
    if one.kind is DueKind.LITTER_POSSIBLE and one.undated:
        yield tomorrow  # its sentence tells the day
    weighed = any(weight.day == today for animal in animals for weight in animal.weighings)
    if one.kind is DueKind.OUTGROWN and one.undated and weighed:
        yield tomorrow  # then the weights are forecasts


def _next_class(animals: Sequence[Companion], today: date, end: date, rules: RuleSet) -> date:
    """The first day after today on which somebody is of another class; the end if none before it.

    Up to there only weights move, and they rise: so it is found by halving.
    """
    now = alike(rules, residents_on(animals, today))

    def differs(day: date) -> bool:
        return alike(rules, residents_on(animals, day)) != now

    if not differs(end - timedelta(days=1)):
        return end
    first, after = today + timedelta(days=1), end - timedelta(days=1)
    while first < after:
        middle = first + (after - first) // 2
        if differs(middle):
            after = middle
        else:
            first = middle + timedelta(days=1)
    return after
