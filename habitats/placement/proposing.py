"""The best placing of a case, what of it is proved, and for who still waits what came nearest."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from habitats.placement.columns import Decisions, aims_in
from habitats.placement.finding import columns_of
from habitats.placement.nearby import columns_nearby
from habitats.placement.nearest import nearest_misses
from habitats.placement.program import Solved, can_be, solve
from habitats.placement.relaxed import Infeasible
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import (
    Contradiction,
    Goal,
    Pin,
    Placing,
    PlacingCase,
    Reached,
)

LEAST = (Goal.WISHES, Goal.SPARE)  # goals that count least
NODES = 20_000  # branches looked into for one sum of aims
FEW = 30_000  # columns that are all looked at again for a second-best placing
NEARBY = 90  # groups that are looked at again where there are more


def propose(case: PlacingCase, nodes: int = NODES) -> Placing:
    """The same case gets the same placing. Raises ``Contradiction`` where pins cannot hold."""
    suiting = Suiting(case)
    columns = columns_of(suiting)
    _check_pins(suiting, columns)
    try:
        solved = solve(columns, nodes)
    except Infeasible:
        raise Contradiction(_clashing(case, nodes)) from None
    taken = [columns.decision(one) for one in solved.taken]
    stays = tuple(one.stay for one in sorted(taken, key=lambda one: one.asking.refs))
    return Placing(stays, _reached(case, solved), nearest_misses(suiting, taken))


def second_best(
    case: PlacingCase, placing: Placing, group: str, nodes: int = NODES
) -> Placing | None:
    """The best placing in which this group does not live where it does in ``placing``.

    It is equally good where its ``reached`` is the same. None: it lives nowhere there, or pins
    leave no other.
    """
    place = next(one.place for one in placing.stays if group in one.groups)
    if place is None:
        return None
    there = Pin(group, place.enclosure, None if place.enclosure else place.home)
    case = replace(case, forbidden=(*case.forbidden, there))
    try:
        return _second_nearby(case, placing, group, nodes) or propose(case, nodes)
    except Contradiction:
        return None


def _second_nearby(case: PlacingCase, best: Placing, group: str, nodes: int) -> Placing | None:
    """Of a large rescue. None: it loses in more than wishes and spare floor, so that all have to be
    looked at."""
    suiting = Suiting(case)
    columns = columns_of(suiting)
    if len(columns) <= FEW:
        return None
    part = columns_nearby(columns, best, group, NEARBY)
    try:
        solved = solve(part, nodes)
    except Infeasible:
        return None
    stays = [part.decision(one).stay for one in solved.taken]
    reached = tuple(_second_reached(_reached(case, solved), best.reached))
    pairs = zip(reached, best.reached, strict=True)
    if any(one.value > least.value for one, least in pairs if one.goal not in LEAST):
        return None
    return Placing(tuple(sorted(stays, key=lambda one: one.groups)), reached)


def _second_reached(reached: Sequence[Reached], best: Sequence[Reached]) -> Iterator[Reached]:
    """What is proved of all placings holds of these; of a later goal only where none has lost."""
    is_as_good = True
    for one, least in zip(reached, best, strict=True):
        yield one._replace(bound=min(one.value, least.bound) if is_as_good else 0)
        is_as_good = is_as_good and one.value == least.value


def _reached(case: PlacingCase, solved: Solved) -> tuple[Reached, ...]:
    return tuple(
        Reached(goal, one.value, one.bound, urgency)
        for (goal, urgency), one in zip(aims_in(case.order), solved.reached, strict=True)
    )


def _check_pins(suiting: Suiting, columns: Decisions) -> None:
    """Each pin by itself: its group has somewhere to live as pinned."""
    there = {ref for one in np.unique(columns.asking) for ref in suiting.asking[one].refs}
    for ref, pins in suiting.pins.items():
        if ref not in there:
            asking = Asking.one(suiting.groups[ref])
            places = [suiting.standing(one.ref) for one in suiting.case.enclosures]
            pinned = [one for one in places if suiting.is_as_pinned(ref, one)]
            misses = [miss for place in pinned for miss in suiting.misses(asking, place)]
            raise Contradiction(tuple(pins), tuple(misses))


def _clashing(case: PlacingCase, nodes: int) -> tuple[Pin, ...]:
    """Pins that cannot hold together, none of which could be left out."""
    kept = list(case.pins)
    for pin in case.pins:
        fewer = [one for one in kept if one != pin]
        suiting = Suiting(replace(case, pins=tuple(fewer)))
        columns = columns_of(suiting)
        if not can_be(columns, nodes):
            kept = fewer
    return tuple(kept)
