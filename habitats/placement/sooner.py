"""Urgent groups that would wait for a build, while a place that stands goes to a less urgent one.

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
    PlaceToLive,
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
        if not _is_to_come(_place(placing, ref), not_yet):
            continue
        for place in _standing(suiting, ref, placing, not_yet):
            if not tries:
                return placing
            tries -= 1
            pinned = (*pins, Pin(ref, enclosure=place))
            found = _placed(replace(case, pins=pinned))
            if found is not None and _worth(found) == _worth(placing):
                placing, pins = found, pinned
                break
    return placing


def _urgent(case: PlacingCase, placing: Placing, not_yet: Collection[str]) -> list[str]:
    return [
        one.ref
        for one in case.groups
        if one.urgency is WaitingUrgency.NOW and _is_to_come(_place(placing, one.ref), not_yet)
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


def _place(placing: Placing, ref: str) -> PlaceToLive | None:
    return next(one.place for one in placing.stays if ref in one.groups)


def _is_to_come(place: PlaceToLive | None, not_yet: Collection[str]) -> bool:
    return place is not None and (place.design is not None or place.enclosure in not_yet)


def _worth(placing: Placing) -> list[int]:
    return [one.value for one in placing.reached if one.goal not in LEAST]
