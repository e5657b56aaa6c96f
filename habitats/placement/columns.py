"""All that may be decided: who lives where, each with what it costs of every goal.

A column is one decision for one group, or for several that would live as one. A placing takes
columns so that every group is in exactly one.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from habitats.measures import MM2_PER_CM2
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import Goal, GroupToPlace, PlaceToLive, ProposedStay, WaitingUrgency

UNEVEN = 1000  # of a floor without any spare; the share that is used, squared, so it is convex

# The goals with waiting told by urgency, as they are weighed against each other.
Aim = tuple[Goal, WaitingUrgency | None]


class Decision(NamedTuple):
    """``place`` None: it waits. ``costs``: in the order of the aims."""

    asking: Asking
    place: PlaceToLive | None
    suits: bool
    costs: tuple[int, ...]

    @property
    def stay(self) -> ProposedStay:
        return ProposedStay(self.asking.refs, self.place, self.suits)


def aims_in(order: Iterable[Goal]) -> tuple[Aim, ...]:
    """The goals one by one, each urgency of those who wait by itself, the highest first."""
    return tuple(
        (goal, urgency)
        for goal in order
        for urgency in (sorted(WaitingUrgency, reverse=True) if goal is Goal.WAITING else [None])
    )


def columns_of(suiting: Suiting) -> list[Decision]:
    """Every column of the case, those that another beats in everything left out."""
    return list(_Columns(suiting).all())


class _Columns:
    def __init__(self, suiting: Suiting) -> None:
        self._suiting = suiting
        self._case = suiting.case
        self._aims = aims_in(self._case.order)
        self._standing = [suiting.standing(one.ref) for one in self._case.enclosures]
        self._settled = {
            one.ref
            for one in self._case.groups
            if one.lives_in is not None
            and not suiting.drives_out(Asking.one(one), suiting.standing(one.lives_in))
        }

    def all(self) -> Iterator[Decision]:
        for asking in self._suiting.asking:
            if len(asking.groups) == 1:
                yield from self._as_it_is(asking)
            yield from self._enclosures(asking)
            yield from self._builds(asking)

    def _as_it_is(self, asking: Asking) -> Iterator[Decision]:
        """It stays, or waits; not where it is pinned elsewhere."""
        (group,) = asking.groups
        place = self._suiting.standing(group.lives_in) if group.lives_in else None
        if self._suiting.is_as_pinned(group.ref, place or PlaceToLive()):
            yield self._column(asking, place, group.ref in self._settled)

    def _enclosures(self, asking: Asking) -> Iterator[Decision]:
        at_home = asking.groups[0].lives_in if len(asking.groups) == 1 else None
        held = {one.lives_in for one in asking.groups if not one.may_move and one.lives_in}
        places = [self._suiting.standing(one) for one in held] or self._standing
        for place in places:
            if place.enclosure != at_home and self._does(asking, place):
                yield self._column(asking, place, suits=True)

    def _builds(self, asking: Asking) -> Iterator[Decision]:
        for home in self._case.homes:
            places = (PlaceToLive(design=one.ref, home=home.ref) for one in self._case.designs)
            yield from _unbeaten(
                [
                    self._column(asking, place, suits=True)
                    for place in places
                    if self._does(asking, place)
                ]
            )

    def _does(self, asking: Asking, place: PlaceToLive) -> bool:
        if not all(
            _may_live_in(one, place) and self._suiting.is_as_pinned(one.ref, place)
            for one in asking.groups
        ):
            return False
        return next(self._suiting.misses(asking, place), None) is None

    def _column(self, asking: Asking, place: PlaceToLive | None, suits: bool) -> Decision:
        costs = tuple(self._cost(aim, asking, place, suits) for aim in self._aims)
        return Decision(asking, place, suits, costs)

    def _cost(self, aim: Aim, asking: Asking, place: PlaceToLive | None, suits: bool) -> int:
        goal, urgency = aim
        if goal is Goal.WAITING:
            return 0 if suits else sum(one.urgency is urgency for one in asking.groups)
        if goal is Goal.MOVES:
            return sum(self._is_moved(one, place) for one in asking.groups)
        if place is None:
            return 0
        if goal is Goal.BUILDS:
            return int(place.design is not None)
        if goal is Goal.COST:
            return self._suiting.designs[place.design].cents if place.design else 0
        floor = self._suiting.floor_of(place).floor_mm2
        if goal is Goal.WISHES:
            return max(0, asking.wishes_mm2 - floor) // MM2_PER_CM2
        return _unevenness(asking.needs_mm2, floor)

    def _is_moved(self, group: GroupToPlace, place: PlaceToLive | None) -> bool:
        there = place.enclosure if place else None
        return group.ref in self._settled and group.lives_in != there


def _may_live_in(group: GroupToPlace, place: PlaceToLive) -> bool:
    return group.may_move or group.lives_in in (None, place.enclosure)


def _unevenness(needs_mm2: int, floor_mm2: int) -> int:
    """The square of the share of the floor that is used, in thousandths.

    Squared, two floors with some spare each cost less than one tight and one half empty.
    """
    if floor_mm2 <= needs_mm2:
        return UNEVEN
    return UNEVEN * needs_mm2 * needs_mm2 // (floor_mm2 * floor_mm2)


def _unbeaten(columns: list[Decision]) -> Iterator[Decision]:
    """Of builds for the same animals in the same home, those that none beats in everything.

    Of those alike the first stays.
    """
    for number, one in enumerate(columns):
        beaten = any(
            all(a <= b for a, b in zip(other.costs, one.costs, strict=True))
            and (other.costs != one.costs or place < number)
            for place, other in enumerate(columns)
            if place != number
        )
        if not beaten:
            yield one


def by_home(columns: Iterable[Decision]) -> dict[str, list[int]]:
    """The numbers of the columns whose animals live in each home."""
    found: dict[str, list[int]] = defaultdict(list)
    for number, one in enumerate(columns):
        if one.place is not None and one.place.home is not None:
            found[one.place.home].append(number)
    return found
