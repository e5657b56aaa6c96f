"""The figures of upkeep, each with its source."""

from habitats.source import CitedFigure, cited
from habitats.upkeep.schedule import LIFE_YEARS, LOOK_OVER_DAYS, SOURCE
from habitats.upkeep.urgency import SOURCE as URGENCY_SOURCE
from habitats.upkeep.urgency import FaultUrgency


def upkeep_figures() -> tuple[CitedFigure, ...]:
    lives = (f"{part}s {years} years" for part, years in LIFE_YEARS.items())
    return (
        cited(
            "safety_check_days",
            "Days from one safety check to the next",
            SOURCE,
            f"{LOOK_OVER_DAYS}; your rescue may set its own",
        ),
        cited("part_life", "How long parts serve", SOURCE, *lives),
        cited(
            "fault_urgency",
            "How urgent a fault is",
            URGENCY_SOURCE,
            *(f"{one.words}: {one.meaning}" for one in FaultUrgency),
        ),
    )
