"""What the coordinator wants otherwise."""

from dataclasses import dataclass

from habitats.placement.values import USUAL_ORDER, Goal, Pin


@dataclass(frozen=True)
class ByHand:
    """What the coordinator wants otherwise; ``away``: codes of homes that take nobody.

    ``order``: of the goals, the one that counts most first. ``is_together``: who could live
    with others is proposed too.
    """

    pins: tuple[Pin, ...] = ()
    forbidden: tuple[Pin, ...] = ()
    away: frozenset[str] = frozenset()
    order: tuple[Goal, ...] = USUAL_ORDER
    is_together: bool = False
