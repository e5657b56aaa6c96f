"""The days on which anything about an animal's company may change.

Between two of them every rule says the same. So rules need not foretell when they end: it is found
by asking again on these days. The tests ask on every day, and compare.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from habitats.welfare.companion import Companion
from habitats.welfare.limits import Limits
from habitats.welfare.litters import BIRTH_DAYS, GESTATION_DAYS, WEANED_DAYS
from habitats.welfare.maturity import LEAVES_DAYS, NOTICE_DAYS, WAIT_DAYS, leaves_on
from habitats.welfare.quarantine import RHD_DAYS, advised_until, ends_on


def turning_days(animals: Sequence[Companion], today: date, limits: Limits) -> list[date]:
    """Later than today, in order."""
    days = {day for animal in animals for day in _days(animal, today, limits)}
    return sorted(day for day in days if day is not None and day > today)


def _days(animal: Companion, today: date, limits: Limits) -> Iterator[date | None]:
    yield from _of_growing_up(animal, today)
    yield from _of_breeding(animal)
    yield from _of_quarantine(animal, limits)


def _of_growing_up(animal: Companion, today: date) -> Iterator[date | None]:
    if animal.born is not None:
        species = animal.species
        for born in animal.born:
            for age in (WEANED_DAYS[species], NOTICE_DAYS[species], LEAVES_DAYS[species]):
                yield born + timedelta(days=age)
        yield leaves_on(animal, today)


def _of_breeding(animal: Companion) -> Iterator[date | None]:
    if animal.castration and animal.castration.on:
        yield animal.castration.on
        yield animal.castration.on + timedelta(days=WAIT_DAYS)
    shortest, longest = GESTATION_DAYS[animal.species]
    if animal.contact:
        if animal.contact.since:
            yield animal.contact.since
            yield animal.contact.since + timedelta(days=shortest)
        if animal.contact.last:
            yield animal.contact.last + timedelta(days=longest + 1)
    if animal.gave_birth_on:
        yield animal.gave_birth_on
        yield animal.gave_birth_on + timedelta(days=BIRTH_DAYS)
        yield animal.gave_birth_on + timedelta(days=shortest)


def _of_quarantine(animal: Companion, limits: Limits) -> Iterator[date | None]:
    if animal.quarantine:
        yield animal.quarantine.since
        yield ends_on(animal.quarantine, limits)
        yield advised_until(animal.quarantine, limits)
    if animal.rhd_exposed_on:
        yield animal.rhd_exposed_on
        yield animal.rhd_exposed_on + timedelta(days=RHD_DAYS)
        yield animal.rhd_negative_on
