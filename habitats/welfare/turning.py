"""The days on which an objection may end or become another.

Between two of them no rule takes back or softens what it says. So rules need not foretell when they
end: it is found by asking again on these days. A day on which one only begins is none of them. The
tests ask on every day, and compare.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from habitats.welfare.companion import Companion
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.litters import BIRTH_DAYS, GESTATION_DAYS, WEANED_DAYS
from habitats.welfare.maturity import WAIT_DAYS, leaves_on
from habitats.welfare.quarantine import RHD_DAYS, advised_until, ends_on


def turning_days(animals: Sequence[Companion], today: date, limits: WelfareLimits) -> list[date]:
    """Later than today, in order."""
    days = {day for animal in animals for day in _days(animal, today, limits)}
    return sorted(day for day in days if day is not None and day > today)


def _days(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[date | None]:
    yield from _of_growing_up(animal, today)
    yield from _of_breeding(animal)
    yield from _of_quarantine(animal, limits)


def _of_growing_up(animal: Companion, today: date) -> Iterator[date | None]:
    if animal.born is not None:
        yield animal.born.latest + timedelta(days=WEANED_DAYS[animal.species])
        yield leaves_on(animal, today)


def _of_breeding(animal: Companion) -> Iterator[date | None]:
    if animal.castration and animal.castration.on:
        yield animal.castration.on
        yield animal.castration.on + timedelta(days=WAIT_DAYS)
    _, longest = GESTATION_DAYS[animal.species]
    for contact in animal.contacts:
        if contact.last:
            yield contact.last + timedelta(days=longest + 1)
    if animal.gave_birth_on:
        yield animal.gave_birth_on
        yield animal.gave_birth_on + timedelta(days=BIRTH_DAYS)


def _of_quarantine(animal: Companion, limits: WelfareLimits) -> Iterator[date | None]:
    if animal.quarantine:
        yield animal.quarantine.since
        yield ends_on(animal, limits)
        yield advised_until(animal, limits)
    if animal.rhd_exposed_on:
        yield animal.rhd_exposed_on + timedelta(days=RHD_DAYS)
        yield animal.rhd_negative_on
