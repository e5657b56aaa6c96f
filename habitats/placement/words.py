"""What a placing is told with, in sentences."""

from collections.abc import Callable

from habitats.placement.values import (
    Contradiction,
    Goal,
    Miss,
    MissReason,
    Pin,
    Reached,
    WaitingUrgency,
)
from habitats.wording import Message, counted, joined, message

Named = Callable[[str], str]  # how the reader knows what a ref stands for
Area = Callable[[int], str]
Told = Callable[[Miss], str]  # why a place does not do

REASONS = {
    MissReason.SPECIES: message("it is for another species"),
    MissReason.UNSAFE: message("it is unsafe until it is mended"),
    MissReason.RAMP: message("it has a ramp, and they must not climb"),
    MissReason.LID: message("it has no lid, and the home has other pets"),
    MissReason.EXPERIENCE: message("the home does not know the species"),
    MissReason.AWAY: message("the home is away"),
    MissReason.FOOTPRINT: message("the home has no room for it"),
    MissReason.FORBIDDEN: message("ruled out by hand"),
    MissReason.NO_HOME: message("it stands in no home"),
    MissReason.HOME_FULL: message("the home has as many as it can take"),
    MissReason.QUARANTINE: message("it cannot be kept apart from others there"),
}

_PROVED = {
    Goal.WAITING: message("Proved: no placing leaves fewer of them waiting."),
    Goal.MOVES: message("Proved: no placing as good so far moves fewer settled groups."),
    Goal.BUILDS: message("Proved: no placing as good so far needs fewer builds."),
    Goal.COST: message("Proved: no placing as good so far costs less."),
    Goal.WISHES: message("Proved: no placing as good so far comes nearer to the wished floor."),
    Goal.SPARE: message("Proved: no placing as good so far spreads spare floor more evenly."),
}
_WAITING = {
    WaitingUrgency.NOW: message("Still waiting, needed now"),
    WaitingUrgency.SOON: message("Still waiting, needed soon"),
    WaitingUrgency.CAN_WAIT: message("Still waiting, not urgent"),
}
_GOALS = {
    Goal.MOVES: message("Settled groups that move"),
    Goal.BUILDS: message("Builds"),
    Goal.COST: message("Cost of the builds"),
    Goal.WISHES: message("Wished floor that is lacking"),
    Goal.SPARE: message("Spare floor, spread evenly"),
}

# What each goal is after, in the order in which they count.
AIMS = {
    Goal.WAITING: message("A place for everybody, the most urgent first"),
    Goal.MOVES: message("Few moves of settled groups"),
    Goal.BUILDS: message("Few builds"),
    Goal.COST: message("Little material"),
    Goal.WISHES: message("Floor as wished"),
    Goal.SPARE: message("Spare floor, spread evenly"),
}


def goal_words(reached: Reached) -> Message:
    return _GOALS[reached.goal] if reached.urgency is None else _WAITING[reached.urgency]


def proof_words(reached: Reached) -> str:
    """How far the figure is from the best that could be, in the terms of its goal."""
    if reached.is_proved:
        return _PROVED[reached.goal]
    gap = reached.value - reached.bound
    if reached.goal is Goal.WAITING:
        return counted(
            "At most %(count)d group more could be placed.",
            "At most %(count)d groups more could be placed.",
            gap,
        )
    if reached.goal is Goal.MOVES:
        return counted(
            "At most %(count)d move could be saved.", "At most %(count)d moves could be saved.", gap
        )
    if reached.goal is Goal.BUILDS:
        return counted(
            "At most %(count)d build could be saved.",
            "At most %(count)d builds could be saved.",
            gap,
        )
    return message(
        "Not proved: it is %(value)d, and no placing as good so far is below %(bound)d.",
        value=reached.value,
        bound=reached.bound,
    )


def miss_words(miss: Miss, named: Named, area: Area) -> str:
    """Why a place does not do, after its name."""
    if miss.reason is MissReason.TOO_SMALL:
        return message("%(area)s too small", area=area(miss.lacking_mm2))
    if miss.reason is MissReason.TAKEN:
        return message("taken by %(group)s", group=named(miss.by))
    if miss.reason is MissReason.BARRED:
        return miss.words
    return REASONS[miss.reason]


def contradiction_words(clash: Contradiction, named: Named, told: Told) -> str:
    """Why pins cannot hold, and what helps."""
    if len(clash.pins) == 1 and clash.misses:
        (pin,) = clash.pins
        why = list(dict.fromkeys(map(told, clash.misses)))[:3]
        return message(
            "%(pin)s is not possible: %(why)s. Take it back, or choose another place.",
            pin=_pinned(pin, named),
            why=joined("; ", why),
        )
    if len(clash.pins) == 1:
        return message(
            "%(pin)s is not possible: they have to stay where they are. Take it back.",
            pin=_pinned(clash.pins[0], named),
        )
    return message(
        "These cannot hold together: %(pins)s. Take one of them back.",
        pins=joined("; ", [_pinned(one, named) for one in clash.pins]),
    )


def _pinned(pin: Pin, named: Named) -> str:
    where = named(pin.enclosure or pin.home or "")
    return message("%(group)s in %(place)s", group=named(pin.group), place=where)
