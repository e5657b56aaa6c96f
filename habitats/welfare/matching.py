"""Whether animals that live together fit what an adopter wishes for, and if not, why not."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.rehoming import unready
from habitats.welfare.values import Sex, Species
from habitats.wording import counted, message

DAYS_A_MONTH = 30.4375


class WantedAnimals(NamedTuple):
    """``sex`` None: either, also together. Months of age, both included; None: no bound.

    ``has_company``: animals of the kind live there already, so that one may come alone.
    """

    species: Species
    number: int
    sex: Sex | None = None
    from_months: int | None = None
    to_months: int | None = None
    has_company: bool = False


class Ready(NamedTuple):
    """Animals that live together, or one alone; ``is_taken``: reserved or on trial already."""

    ref: str
    animals: tuple[Companion, ...]
    is_taken: bool = False


def misses(
    wanted: WantedAnimals, ready: Ready, day: date, limits: WelfareLimits = DEFAULTS
) -> tuple[str, ...]:
    """A sentence for each thing that keeps them from fitting; empty where they fit."""
    return tuple(_misses(wanted, ready, day, limits))


def _misses(wanted: WantedAnimals, ready: Ready, day: date, limits: WelfareLimits) -> Iterator[str]:
    animals = ready.animals
    if any(one.species is not wanted.species for one in animals):
        yield message("Of another species.")
    if ready.is_taken:
        yield message("Reserved or on trial.")
    for one in animals:
        yield from (objection.sentence for objection in unready(one, day, limits))
    if len(animals) != wanted.number:
        yield counted(
            "%(count)d lives alone, %(wished)d are wished for.",
            "%(count)d live together, and a different number is wished for: %(wished)d.",
            len(animals),
            wished=wanted.number,
        )
    elif wanted.number == 1 and not wanted.has_company:
        yield message("It would be alone: no company lives at the new home.")
    yield from _sex(wanted, animals)
    yield from _age(wanted, animals, day)


def _sex(wanted: WantedAnimals, animals: Sequence[Companion]) -> Iterator[str]:
    others = [one.name for one in animals if wanted.sex and one.sex is not wanted.sex]
    if others and wanted.sex is Sex.FEMALE:
        yield message("Not all are known to be female.")
    elif others:
        yield message("Not all are known to be male.")


def _age(wanted: WantedAnimals, animals: Sequence[Companion], day: date) -> Iterator[str]:
    if wanted.from_months is None and wanted.to_months is None:
        return
    for one in animals:
        if one.born is None:
            yield message("The age of %(name)s is not known.", name=one.name)
        elif wanted.from_months and _months(one.born.oldest(day)) < wanted.from_months:
            yield message("%(name)s is younger than wished for.", name=one.name)
        elif (
            wanted.to_months is not None and _months(one.born.youngest(day)) >= wanted.to_months + 1
        ):
            yield message("%(name)s is older than wished for.", name=one.name)


def _months(days: int) -> int:
    return int(days / DAYS_A_MONTH)
