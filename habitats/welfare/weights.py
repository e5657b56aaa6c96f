"""Weights as they are entered and watched: what cannot be, what is missing, what falls."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from habitats.welfare.companion import Companion, Weighing
from habitats.welfare.limits import DEFAULTS, Limits
from habitats.welfare.values import Species


class Fall(NamedTuple):
    """A fall between two weighings that calls for a vet; ``percent`` is negative."""

    before: Weighing
    after: Weighing
    percent: float
    sentence: str


def weight_fault(species: Species, grams: int) -> str | None:
    """One sentence if no animal of the species weighs this; None if it may."""
    raise NotImplementedError


def alarm(weighings: Iterable[Weighing], limits: Limits = DEFAULTS) -> Fall | None:
    """The latest weighing against the heaviest of some weeks before; None if it has not fallen."""
    raise NotImplementedError


def falls(weighings: Iterable[Weighing], limits: Limits = DEFAULTS) -> tuple[Fall, ...]:
    """Each fall from one weighing to the next of at least ``limits.fall_percent``, in time."""
    raise NotImplementedError


def weigh_by(animal: Companion, today: date, limits: Limits = DEFAULTS) -> date:
    """The day by which the animal should be weighed again; today if it never was."""
    raise NotImplementedError
