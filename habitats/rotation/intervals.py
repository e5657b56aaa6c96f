"""How many days linens may lie before they are changed: a suggestion, which a rescue may set aside.

No source says how often. The table is common practice and ours: the less floor each animal has,
the sooner cloth is wet. An interval is the most days from one change to the next; picking up
droppings and wiping in between does not move the day.
"""

from typing import NamedTuple

from habitats.measures import METRIC, area
from habitats.source import PRACTICE, Known, Source
from habitats.structure.design import Species
from habitats.wording import counted, joined, message

# Said on the care sheet too, so that paper and screen ask for the same.
USUAL = message("at least twice a week where several animals live; more often in warm weather")

SHORTEST_DAYS, LONGEST_DAYS = 1, 60
MM2_PER_CM2 = 100


class IntervalStep(NamedTuple):
    """From so much floor for each animal on, linens are changed after so many days."""

    from_cm2_each: int
    days: int


# Several animals are never left for longer than three days, which is twice in any week.
MOST_DAYS_FOR_SEVERAL = 3
TABLE = {
    Species.GUINEA_PIG: (
        IntervalStep(0, 1),
        IntervalStep(1_500, 2),
        IntervalStep(3_000, 3),
        IntervalStep(7_500, 4),
    ),
    Species.RABBIT: (
        IntervalStep(0, 1),
        IntervalStep(4_000, 2),
        IntervalStep(8_000, 3),
        IntervalStep(20_000, 4),
    ),
}


class Interval(NamedTuple):
    """The most days from one change to the next, why, and where that is from."""

    days: int
    sentence: str
    source: Source


def change_interval(
    species: Species,
    animals: int,
    floor_mm2: int,
    *,
    by_hand: int | None = None,
    units: str = METRIC,
) -> Interval | None:
    """How often linens are changed; None where nobody lives and nothing was set by hand.

    ``floor_mm2`` is the floor of all levels together, as their trays have it. ``by_hand``: days
    that somebody set, which come before any suggestion. ``units`` are those of the sentence.
    Raises ``ValueError`` for fewer than no animals, no floor, or days that ``days_fault`` refuses.
    """
    if by_hand is not None:
        if fault := days_fault(by_hand):
            raise ValueError(fault)
        return Interval(
            by_hand,
            message("Set by hand: %(every)s.", every=_every(by_hand)),
            Source("", Known.OWN),
        )
    if animals < 0 or floor_mm2 <= 0:
        raise ValueError(f"{animals} animals on {floor_mm2} mm² of floor cannot be")
    if animals == 0:
        return None
    days = suggested_days(species, animals, floor_mm2)
    return Interval(days, _reason(animals, floor_mm2, days, units), PRACTICE)


def suggested_days(species: Species, animals: int, floor_mm2: int) -> int:
    """By the table: the days for the floor that each of the animals has."""
    steps = TABLE[species]
    days = max(
        step.days for step in steps if step.from_cm2_each * MM2_PER_CM2 * animals <= floor_mm2
    )
    return days if animals == 1 else min(days, MOST_DAYS_FOR_SEVERAL)


def days_fault(days: int) -> str | None:
    """One sentence if linens cannot be changed so seldom or so often; None if they can."""
    if SHORTEST_DAYS <= days <= LONGEST_DAYS:
        return None
    return message(
        "%(days)d days between changes are not allowed. Enter %(least)d to %(most)d whole days, "
        "or leave it empty for the suggestion.",
        days=days,
        least=SHORTEST_DAYS,
        most=LONGEST_DAYS,
    )


def _reason(animals: int, floor_mm2: int, days: int, units: str) -> str:
    why = counted(
        "One animal, %(floor)s of floor: %(every)s.",
        "%(count)d animals, %(floor)s of floor for each: %(every)s.",
        animals,
        floor=area(floor_mm2 // animals, units),
        every=_every(days),
    )
    return joined(" ", (why, message("Sooner when it is damp or smells, and in warm weather.")))


def _every(days: int) -> str:
    return counted("change every day", "change every %(count)d days", days)
