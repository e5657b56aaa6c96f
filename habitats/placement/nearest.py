"""Places that came nearest to do for a group that waits, of all that stand.

All are counted at once, as there may be thousands; only of the few that came nearest is it said
in words what speaks against them.
"""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from habitats.placement.columns import Decision, Flags, Numbers
from habitats.placement.suiting import Asking, AskingKind, Suiting, kind_misses
from habitats.placement.values import Miss, MissReason, PlaceToLive

NEAREST = 3  # misses told of each group that waits
FREE, TAKEN, BY_ITSELF = 0, 1, 2  # what speaks against a place, the nearest first


def nearest_misses(suiting: Suiting, taken: Sequence[Decision]) -> dict[str, tuple[Miss, ...]]:
    nearest = _Nearest(suiting, taken)
    return {one.asking.refs[0]: nearest.to(one.asking) for one in taken if not one.suits}


class _Nearest:
    def __init__(self, suiting: Suiting, taken: Sequence[Decision]) -> None:
        self._suiting = suiting
        placed = [(one.place, one.asking) for one in taken if one.place is not None]
        self._living = {
            place.enclosure: asking.refs[0] for place, asking in placed if place.enclosure
        }
        self._kept_apart = {
            place.home for place, asking in placed if any(one.cohort for one in asking.groups)
        }
        case = suiting.case
        every = case.enclosures
        self._places = [suiting.standing(one.ref) for one in every]
        self._number = {one.ref: number for number, one in enumerate(every)}
        self._floors = np.array([one.floor_mm2 for one in every], dtype=np.int64)
        self._is_taken = np.array([one.ref in self._living for one in every], dtype=np.bool_)
        self._barred = self._numbers_by_group((bar.group, bar.enclosure) for bar in case.bars)
        self._forbidden = self._numbers_by_group(self._forbidden_pairs())
        self._against_kind: dict[AskingKind, Numbers] = {}

    def _numbers_by_group(self, pairs: Iterable[tuple[str, str]]) -> dict[str, set[int]]:
        found: dict[str, set[int]] = {}
        for group, enclosure in pairs:
            if enclosure in self._number:
                found.setdefault(group, set()).add(self._number[enclosure])
        return found

    def _forbidden_pairs(self) -> Iterator[tuple[str, str]]:
        """With every enclosure of a home that is forbidden."""
        for pin in self._suiting.case.forbidden:
            for one in self._suiting.case.enclosures:
                if (pin.enclosure and pin.enclosure == one.ref) or (
                    pin.home and pin.home == one.home
                ):
                    yield pin.group, one.ref

    def to(self, asking: Asking) -> tuple[Miss, ...]:
        found: list[Miss] = []
        is_told = False
        for number in self._nearest_first(asking):
            miss = self._of(asking, self._places[number])
            # One that is taken says enough of all that are.
            if miss.reason is not MissReason.TAKEN or not is_told:
                found.append(miss)
            is_told = is_told or miss.reason is MissReason.TAKEN
            if len(found) == NEAREST:
                break
        return tuple(found)

    def _nearest_first(self, asking: Asking) -> Iterator[int]:
        """A place that would do by itself first, and of these a free one."""
        lacking = np.maximum(0, asking.needs_mm2 - self._floors)
        against = self._of_kind(asking.kind) + (lacking > 0) + self._by_hand(asking)
        by_whom = np.where(against > 0, BY_ITSELF, np.where(self._is_taken, TAKEN, FREE))
        order = np.lexsort((lacking, by_whom, np.maximum(1, against)))
        return iter(order[self._is_other(asking)[order]].tolist())

    def _of_kind(self, asking: AskingKind) -> Numbers:
        if asking not in self._against_kind:
            kinds = (self._suiting.kind_of(place) for place in self._places)
            found = np.array([len(kind_misses(asking, one)) for one in kinds], dtype=np.int64)
            self._against_kind[asking] = found
        return self._against_kind[asking]

    def _by_hand(self, asking: Asking) -> Numbers:
        found = np.zeros(len(self._places), dtype=np.int64)
        (ref,) = asking.refs
        found[list(self._barred.get(ref, ()))] += 1
        found[list(self._forbidden.get(ref, ()))] += 1
        return found

    def _is_other(self, asking: Asking) -> Flags:
        """Enclosures of its species, but for the one where it lives."""
        there, every = asking.groups[0].lives_in, self._suiting.case.enclosures
        other = [one.ref != there and one.species is asking.species for one in every]
        return np.array(other, dtype=np.bool_)

    def _of(self, asking: Asking, place: PlaceToLive) -> Miss:
        """What others have to do with it only where the place would do by itself."""
        return next(self._suiting.misses(asking, place), None) or self._by_others(asking, place)

    def _by_others(self, asking: Asking, place: PlaceToLive) -> Miss:
        if place.enclosure in self._living:
            return Miss(place, MissReason.TAKEN, by=self._living[place.enclosure])
        if asking.groups[0].cohort or place.home in self._kept_apart:
            return Miss(place, MissReason.QUARANTINE)
        return Miss(place, MissReason.HOME_FULL, by=place.home or "")
