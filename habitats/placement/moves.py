"""The order in which groups move, so that no enclosure ever holds two and no home passes a limit.

Where groups go round in a circle, one of them waits in a carrier until its enclosure is free.
"""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from habitats.placement.suiting import Suiting
from habitats.placement.values import GroupToPlace, HomeToFill, PlaceToLive, Placing, PlacingCase

MOST_TRIED = 5_000  # beginnings of orders looked into before a carrier is used


class ProposedMove(NamedTuple):
    """``start`` None: it is in a carrier, or has just come. ``to`` None: into a carrier."""

    group: str
    start: PlaceToLive | None
    to: PlaceToLive | None


def moves_of(case: PlacingCase, placing: Placing) -> tuple[ProposedMove, ...]:
    """Every move of a placing, in an order in which they can be done one after the other.

    The same placing has the same order. Carriers are used only where no order without was found.
    """
    return tuple(_Order(case, placing).moves())


class _Spot(NamedTuple):
    """A place, and who it is built for: two may be built alike in one home."""

    place: PlaceToLive
    built_for: str = ""


class _Order:
    """Where everybody is, move after move; None: in a carrier, or not come yet."""

    def __init__(self, case: PlacingCase, placing: Placing) -> None:
        suiting = Suiting(case)
        self._groups = suiting.groups
        self.where: dict[str, _Spot | None] = {
            one.ref: _Spot(suiting.standing(one.lives_in)) if one.lives_in else None
            for one in case.groups
        }
        self.goes_to = {
            ref: _Spot(stay.place, stay.groups[0] if stay.place.design else "")
            for stay in sorted(placing.stays, key=lambda one: one.groups)
            for ref in stay.groups
            if stay.place is not None and _Spot(stay.place) != self.where[ref]
        }
        self._partners = {ref: stay.groups for stay in placing.stays for ref in stay.groups}
        self._limits = {one.ref: _Limits(one, self._inside(one.ref)) for one in case.homes}

    def moves(self) -> Iterator[ProposedMove]:
        while self.goes_to:
            for ref in self._without_carrier() or self._as_far_as_it_goes():
                yield self._move(ref, self.goes_to.pop(ref))
            if self.goes_to:
                yield self._move(self._for_a_carrier(), None)

    def _move(self, ref: str, to: _Spot | None) -> ProposedMove:
        start, self.where[ref] = self.where[ref], to
        return ProposedMove(ref, start.place if start else None, to.place if to else None)

    def can(self, ref: str) -> bool:
        """Whether its place is free, and its home within its limits with it."""
        to = self.goes_to[ref]
        inside = {one for one, spot in self.where.items() if spot == to}
        if not inside <= set(self._partners[ref]):
            return False
        home = to.place.home or ""
        if home not in self._limits:
            return True
        before, self.where[ref] = self.where[ref], to
        allows = self._limits[home].allow(self._inside(home))
        self.where[ref] = before
        return allows

    def _inside(self, home: str) -> dict[_Spot, list[GroupToPlace]]:
        found: dict[_Spot, list[GroupToPlace]] = defaultdict(list)
        for ref, spot in self.where.items():
            if spot is not None and spot.place.home == home:
                found[spot].append(self._groups[ref])
        return found

    def _without_carrier(self) -> list[str]:
        """An order of all that is to be done; empty where none was found."""
        return _Search(self).order()

    def _as_far_as_it_goes(self) -> list[str]:
        """The first that can, then the first that can after it, and so on."""
        done: list[str] = []
        tried = dict(self.where)
        while ref := next((one for one in self.goes_to if one not in done and self.can(one)), ""):
            done.append(ref)
            self.where[ref] = self.goes_to[ref]
        self.where = tried
        return done

    def _for_a_carrier(self) -> str:
        """Who gets most of the others on their way; of those alike the smallest group."""
        living = [ref for ref in self.goes_to if self.where[ref] is not None]
        return min(living, key=self._carried)

    def _carried(self, ref: str) -> tuple[int, int]:
        before, self.where[ref] = self.where[ref], None
        freed = len(self._as_far_as_it_goes())
        self.where[ref] = before
        return -freed, self._groups[ref].animals


class _Search:
    """Depth first, and no beginning twice: what is done already tells where everybody is."""

    def __init__(self, order: _Order) -> None:
        self._order = order
        self._dead: set[frozenset[str]] = set()

    def order(self) -> list[str]:
        state, path = self._order, [_Step("", None, self._able(frozenset()))]
        while 0 < len(path) <= len(state.goes_to) and len(self._dead) <= MOST_TRIED:
            done = frozenset(one.ref for one in path[1:])
            ref = next(path[-1].able, None)
            if ref is not None:
                path.append(_Step(ref, state.where[ref], self._able(done | {ref})))
                state.where[ref] = state.goes_to[ref]
            else:
                self._dead.add(done)
                self._take_back(path.pop())
        found = [one.ref for one in path[1:]] if len(path) > len(state.goes_to) else []
        for step in reversed(path):
            self._take_back(step)
        return found

    def _able(self, done: frozenset[str]) -> Iterator[str]:
        """Asked for as it is needed, while everybody is where ``done`` brings them."""
        for ref in self._order.goes_to:
            if ref not in done and done | {ref} not in self._dead and self._order.can(ref):
                yield ref

    def _take_back(self, step: "_Step") -> None:
        if step.ref:
            self._order.where[step.ref] = step.before


class _Step(NamedTuple):
    """A move that is tried, from where, and what else can come after it."""

    ref: str
    before: _Spot | None
    able: Iterator[str]


class _Limits:
    """Of one home; what is broken as it stands may not get worse."""

    def __init__(self, home: HomeToFill, now: dict[_Spot, list[GroupToPlace]]) -> None:
        self._places = home.isolation_places
        groups = [one for inside in now.values() for one in inside]
        self._enclosures = _at_least(home.most_enclosures, len(now))
        self._animals = _at_least(home.most_animals, sum(one.animals for one in groups))
        self._cohorts = max(1, len(_cohorts(groups)))
        if any(one.cohort is None for one in groups):
            self._places = max(self._places, _apart(now))

    def allow(self, now: dict[_Spot, list[GroupToPlace]]) -> bool:
        groups = [one for inside in now.values() for one in inside]
        if self._enclosures is not None and len(now) > self._enclosures:
            return False
        if self._animals is not None and sum(one.animals for one in groups) > self._animals:
            return False
        if len(_cohorts(groups)) > self._cohorts:
            return False
        is_mixed = any(one.cohort is None for one in groups)
        return not is_mixed or _apart(now) <= self._places


def _at_least(limit: int | None, now: int) -> int | None:
    return None if limit is None else max(limit, now)


def _cohorts(groups: list[GroupToPlace]) -> set[str]:
    return {one.cohort for one in groups if one.cohort is not None}


def _apart(now: dict[_Spot, list[GroupToPlace]]) -> int:
    """How many enclosures are kept apart."""
    return sum(any(one.cohort is not None for one in inside) for inside in now.values())
