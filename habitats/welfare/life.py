"""Days of a life that cannot be: one sentence each, for the form beside the field."""

from datetime import date
from typing import NamedTuple

from habitats.welfare.companion import Companion


class LifeFault(NamedTuple):
    """``field`` is the attribute of ``Companion`` it is about."""

    field: str
    sentence: str


def life_fault(animal: Companion, today: date) -> str | None:
    """The first sentence of ``life_faults``; None if all days can be."""
    raise NotImplementedError


def life_faults(animal: Companion, today: date) -> tuple[LifeFault, ...]:
    """Births in the future, castration before birth and the like."""
    raise NotImplementedError
