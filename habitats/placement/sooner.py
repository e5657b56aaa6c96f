"""Urgent groups that would wait for a build, or for others to be introduced to them, while a place
that stands goes to a less urgent one.

No goal tells the two apart, so places are changed where it costs nothing.
"""

from collections.abc import Collection, Iterator
from dataclasses import replace

from habitats.placement.proposing import propose
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import (
    Contradiction,
    Goal,
    Pin,
    Placing,
    PlacingCase,
    WaitingUrgency,
)

MOST_TRIES = 6  # placings looked into
LEAST = (Goal.WISHES, Goal.SPARE)  # goals that count less than not to wait


def sooner(case: PlacingCase, placing: Placing, not_yet: Collection[str]) -> Placing:
    """As good but for wishes and spare floor. ``not_yet``: enclosures that do not stand."""
    suiting = Suiting(case)
    tries = MOST_TRIES
    pins = case.pins
    for ref in _urgent(case, placing, not_yet):
        if not _waits(placing, ref, not_yet):
            continue
        for place in _standing(suiting, ref, placing, not_yet):
            if not tries:
                return placing
            tries -= 1
            pinned = (*pins, Pin(ref, enclosure=place))
            found = _placed(replace(case, pins=pinned))
            if found and _worth(found) == _worth(placing) and not _waits(found, ref, not_yet):
                placing, pins = _as_proved(found, placing), pinned
                break
    return placing


def _urgent(case: PlacingCase, placing: Placing, not_yet: Collection[str]) -> list[str]:
    return [
        one.ref
        for one in case.groups
        if one.urgency is WaitingUrgency.NOW and _waits(placing, one.ref, not_yet)
    ]


def _standing(
    suiting: Suiting, ref: str, placing: Placing, not_yet: Collection[str]
) -> Iterator[str]:
    """Places that would do, and that no group as urgent has; the least floor first."""
    urgent = {
        stay.place.enclosure
        for stay in placing.stays
        if stay.place
        and any(suiting.groups[one].urgency is WaitingUrgency.NOW for one in stay.groups)
    }
    asking = Asking.one(suiting.groups[ref])
    for one in sorted(suiting.case.enclosures, key=lambda one: (one.floor_mm2, one.ref)):
        if one.ref in not_yet or one.ref in urgent:
            continue
        if not any(suiting.misses(asking, suiting.standing(one.ref))):
            yield one.ref


def _placed(case: PlacingCase) -> Placing | None:
    try:
        return propose(case)
    except Contradiction:
        return None


def _as_proved(found: Placing, before: Placing) -> Placing:
    """What was proved with a pin more says nothing of all placings; what was before still does."""
    pairs = zip(found.reached, before.reached, strict=True)
    reached = [one._replace(bound=min(one.value, other.bound)) for one, other in pairs]
    return replace(found, reached=tuple(reached))


def _waits(placing: Placing, ref: str, not_yet: Collection[str]) -> bool:
    stay = next(one for one in placing.stays if ref in one.groups)
    if stay.place is None:
        return False
    is_to_come = stay.place.design is not None or stay.place.enclosure in not_yet
    return is_to_come or len(stay.groups) > 1


def _worth(placing: Placing) -> list[int]:
    return [one.value for one in placing.reached if one.goal not in LEAST]
