"""What comes due: parting, quarantines and waits ending, possible litters, weights, space."""

from collections.abc import Callable, Sequence
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.limits import DEFAULTS, Limits
from habitats.welfare.values import Resident

# Would the enclosure be enough for these? ``lambda residents: judge(..., residents).passes``
Passes = Callable[[tuple[Resident, ...]], bool | None]


class DueKind(StrEnum):
    PART = "part"
    QUARANTINE_ENDS = "quarantine_ends"
    CASTRATION_WAIT_ENDS = "castration_wait_ends"
    LITTER_POSSIBLE = "litter_possible"
    OUTGROWN = "outgrown"
    WEIGH = "weigh"
    WEIGHT_FELL = "weight_fell"


class Due(NamedTuple):
    """Something for somebody to do. ``animals`` are refs; a past ``day`` is overdue.

    ``until`` is the last day of a span (a possible litter), None for a single day.
    """

    kind: DueKind
    day: date
    animals: tuple[str, ...]
    sentence: str
    until: date | None = None


def due(
    animals: Sequence[Companion],
    today: date,
    *,
    within_days: int = 42,
    limits: Limits = DEFAULTS,
    passes: Passes | None = None,
) -> tuple[Due, ...]:
    """What is due for one group up to so many days ahead, sorted by day, kind and animals.

    With ``passes`` it also tells the day on which the group outgrows its enclosure.
    """
    raise NotImplementedError


def residents_on(animals: Sequence[Companion], day: date) -> tuple[Resident, ...]:
    """The animals as the space rules see them on that day, with weights ahead, in this order."""
    raise NotImplementedError


def outgrown_on(
    animals: Sequence[Companion],
    today: date,
    passes: Passes,
    *,
    within_days: int = 365,
) -> date | None:
    """The first day, today or later, on which the enclosure is not enough; None if none is near."""
    raise NotImplementedError
