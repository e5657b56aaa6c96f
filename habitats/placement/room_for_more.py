"""How many newcomers alike could be taken, beyond everybody who waits."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from habitats.placement.proposing import propose
from habitats.placement.values import (
    USUAL_ORDER,
    Goal,
    GroupToPlace,
    PlacingCase,
    WaitingUrgency,
)


class RoomForMore(NamedTuple):
    """``as_they_live``: newcomers that have a place while no settled group moves.

    ``with_moves``: where ``moves`` settled groups do.
    """

    as_they_live: int
    with_moves: int
    moves: int


def room_for_more(case: PlacingCase, newcomers: Sequence[GroupToPlace]) -> RoomForMore:
    """``newcomers``: as many as could be; they have the least urgency."""
    asked = replace(case, groups=(*case.groups, *newcomers), order=USUAL_ORDER)
    pinned = {pin.group for pin in case.pins}
    settled = tuple(
        replace(one, may_move=one.may_move and (_needs_another(one) or one.ref in pinned))
        for one in asked.groups
    )
    refs = {one.ref for one in newcomers}
    here, _moves = _placed(replace(asked, groups=settled), refs)
    most, moves = _placed(asked, refs)
    return RoomForMore(here, most, moves)


def _needs_another(group: GroupToPlace) -> bool:
    return group.lives_in is None or group.urgency is not WaitingUrgency.CAN_WAIT


def _placed(case: PlacingCase, refs: set[str]) -> tuple[int, int]:
    """How many of them, and how many settled groups move."""
    placing = propose(case)
    placed = sum(stay.suits for stay in placing.stays if refs.issuperset(stay.groups))
    return placed, sum(one.value for one in placing.reached if one.goal is Goal.MOVES)
