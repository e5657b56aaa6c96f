"""The figures of upkeep, each with its source."""

from habitats.source import CitedFigure, cited
from habitats.upkeep.schedule import LIFE_YEARS, SAFETY_CHECK_DAYS, SOURCE
from habitats.upkeep.urgency import SOURCE as URGENCY_SOURCE
from habitats.upkeep.urgency import FaultUrgency
from habitats.wording import message

_PARTS = {
    "tie": message("Ties"),
    "tray": message("Trays"),
    "connector": message("Connectors"),
}


def upkeep_figures() -> tuple[CitedFigure, ...]:
    lives = (
        message("%(parts)s: %(years)d years", parts=_PARTS[part], years=years)
        for part, years in LIFE_YEARS.items()
    )
    return (
        cited(
            "safety_check_days",
            message("Days from one safety check to the next"),
            SOURCE,
            message("%(days)d; your rescue may set its own", days=SAFETY_CHECK_DAYS),
        ),
        cited("part_life", message("How long parts serve"), SOURCE, *lives),
        cited(
            "fault_urgency",
            message("How urgent a fault is"),
            URGENCY_SOURCE,
            *(
                message("%(urgency)s: %(meaning)s", urgency=one.words, meaning=one.meaning)
                for one in FaultUrgency
            ),
        ),
    )
