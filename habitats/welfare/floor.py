"""The floor a rule set asks for, and each animal's part of it.

All standards we know are made of the same few pieces, and a rule set is which of them it has:
a total for the first so many animals, an area for each further one, a smallest enclosure, and
what litters and young animals add. Which standard it is, the code below never asks.

Grown animals are placed heaviest first, so that an area that is smaller for a light animal is
given to the lightest. Every piece only adds: one animal more never makes the floor smaller.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from habitats.welfare.bands import Bands
from habitats.welfare.values import Resident

Parts = list[int]  # mm² by animal, in the order in which the animals were given


class GroupFloor(NamedTuple):
    """Floor for up to this many animals together, by the heaviest of them."""

    animals: int
    area_mm2: Bands


class Further(NamedTuple):
    """Floor for each animal after the groups, up to the `up_to`th of all (None: for every one).

    By its own weight, or by the heaviest animal's where `by_heaviest`.
    """

    area_mm2: Bands
    up_to: int | None = None
    by_heaviest: bool = False


class Breeding(NamedTuple):
    """Floor for a pair with litter, and for each further female with one."""

    pair_mm2: int
    further_mm2: int


@dataclass(frozen=True, slots=True)
class Young:
    """What animals under an age are owed in place of the rest; `each_mm2` goes by age in days.

    `enclosure_mm2` is the least for any enclosure with one of them. Who has a litter is grown.
    """

    under_days: int
    each_mm2: Bands
    enclosure_mm2: int
    height_mm: int

    def includes(self, resident: Resident) -> bool:
        age_days = resident.age_days
        return age_days is not None and age_days < self.under_days and not resident.with_litter

    def is_open(self, resident: Resident) -> bool:
        """Whether it may be either: its age is not known, or the day that standards leave open."""
        return resident.age_days in (None, self.under_days) and not resident.with_litter


@dataclass(frozen=True, slots=True)
class FloorRule:
    """The pieces of one rule set's floor.

    `repeats_after`: with the next animal after so many, the groups begin anew.
    `enclosure_mm2`: the least for any enclosure, by its heaviest animal.
    `dam_mm2`: floor of a female with litter where that is more than her own.
    `nest_mm2`: what a litter's nest box adds to its mother's floor.
    `covers_litters` False: the standard has figures for litters which we do not have.
    """

    groups: tuple[GroupFloor, ...] = ()
    further: tuple[Further, ...] = ()
    repeats_after: int | None = None
    enclosure_mm2: Bands | None = None
    dam_mm2: Bands | None = None
    nest_mm2: Bands | None = None
    breeding: Breeding | None = None
    young: Young | None = None
    covers_litters: bool = True

    def grown(self, residents: Sequence[Resident]) -> list[int]:
        """Places of those who are not known to be young, the heaviest first."""
        places = [
            place
            for place, one in enumerate(residents)
            if self.young is None or not self.young.includes(one)
        ]
        return sorted(places, key=lambda place: (-_weight(residents[place]), place))

    def heaviest_g(self, residents: Sequence[Resident]) -> int | None:
        """Weight of the heaviest grown animal (of all, if none is grown); None: not known."""
        order = self.grown(residents)
        return residents[order[0] if order else 0].weight_g

    def covers(self, residents: Sequence[Resident]) -> bool:
        """Whether there is a figure for these animals. Without one, the floor is a lower bound."""
        if not self.covers_litters and any(one.with_litter for one in residents):
            return False
        if self.further and self.further[-1].up_to is None:
            return True
        last = self.further[-1].up_to if self.further else self.groups[-1].animals
        return last is not None and len(self.grown(residents)) <= last

    def parts_mm2(self, residents: Sequence[Resident]) -> tuple[int, ...]:
        """Each animal's part of the floor asked for, in mm²; together they are all of it.

        Where there is no figure for one of them, they share alike what is asked for at least.
        """
        parts = max((self._parts_of_aged(aged) for aged in self._ages(residents)), key=sum)
        return parts if all(parts) else tuple(_shared_out(sum(parts), len(parts)))

    def _ages(self, residents: Sequence[Resident]) -> Iterator[Sequence[Resident]]:
        """The residents with those who may be either called grown or young, from all grown down.

        Floor for grown animals goes by the heaviest and by how many there are. So for each number
        the heaviest are called grown, and no other choice of as many asks for more.
        """
        yield residents
        if self.young is None:
            return
        either = [place for place in self.grown(residents) if self.young.is_open(residents[place])]
        for number in range(len(either)):
            aged = list(residents)
            for place in either[number:]:
                aged[place] = replace(aged[place], age_days=self.young.under_days - 1)
            yield aged

    def _parts_of_aged(self, residents: Sequence[Resident]) -> tuple[int, ...]:
        parts = self._parts(residents)
        if self.breeding is not None and any(one.with_litter for one in residents):
            parts = max(parts, self._breeding_parts(residents, parts, self.breeding), key=sum)
        return tuple(_topped_up(parts, self._least_mm2(residents)))

    def _least_mm2(self, residents: Sequence[Resident]) -> int:
        least = 0
        if self.enclosure_mm2 is not None and self.grown(residents):
            least = self.enclosure_mm2.of(self.heaviest_g(residents))
        if self.young is not None and any(map(self.young.includes, residents)):
            least = max(least, self.young.enclosure_mm2)
        return least

    def _parts(self, residents: Sequence[Resident]) -> Parts:
        parts = [self._apart_mm2(one) for one in residents]
        order = self.grown(residents)
        weights = [residents[place].weight_g for place in order]
        block = self.repeats_after or max(1, len(order))
        for start in range(0, len(order), block):
            areas = self._placed(weights[start : start + block], weights[0])
            for place, area in zip(order[start : start + block], areas, strict=True):
                parts[place] += self._with_litter(residents[place], area)
        return parts

    def _apart_mm2(self, resident: Resident) -> int:
        """What an animal adds whatever its place among the others."""
        if self.young is not None and self.young.includes(resident):
            return self.young.each_mm2.of(resident.age_days)
        if self.nest_mm2 is not None and resident.with_litter:
            return self.nest_mm2.of(resident.weight_g)
        return 0

    def _with_litter(self, resident: Resident, area_mm2: int) -> int:
        if self.dam_mm2 is None or not resident.with_litter:
            return area_mm2
        return max(area_mm2, self.dam_mm2.of(resident.weight_g))

    def _placed(self, weights: list[int | None], heaviest_g: int | None) -> Iterator[int]:
        """The floor of each of these animals, the heaviest first."""
        together = 0
        if self.groups:
            group = next(
                (one for one in self.groups if one.animals >= len(weights)), self.groups[-1]
            )
            together = min(group.animals, len(weights))
            yield from _shared_out(group.area_mm2.of(heaviest_g), together)
        for number, weight_g in enumerate(weights[together:], start=together + 1):
            yield self._further_mm2(number, weight_g, heaviest_g)

    def _further_mm2(self, number: int, weight_g: int | None, heaviest_g: int | None) -> int:
        for one in self.further:
            if one.up_to is None or number <= one.up_to:
                return one.area_mm2.of(heaviest_g if one.by_heaviest else weight_g)
        return 0  # no figure: `covers` says so

    def _breeding_parts(
        self, residents: Sequence[Resident], parts: Parts, breeding: Breeding
    ) -> Parts:
        """The same where females have litters: the first of them shares the pair's floor."""
        dams = [place for place, one in enumerate(residents) if one.with_litter]
        sires = [place for place in self.grown(residents) if residents[place].may_sire]
        pair = [dams[0], *sires[:1]]
        changed = dict(zip(pair, _shared_out(breeding.pair_mm2, len(pair)), strict=True))
        changed |= dict.fromkeys(dams[1:], breeding.further_mm2)
        return [changed.get(place, part) for place, part in enumerate(parts)]


def _weight(resident: Resident) -> float:
    return math.inf if resident.weight_g is None else resident.weight_g


def _shared_out(area_mm2: int, animals: int) -> list[int]:
    """An area in parts as even as whole mm² can be, the larger ones first."""
    each, rest = divmod(area_mm2, animals)
    return [each + (place < rest) for place in range(animals)]


def _topped_up(parts: Parts, least_mm2: int) -> Parts:
    """The parts, each raised alike until they make up the least."""
    lack = max(0, least_mm2 - sum(parts))
    return [part + more for part, more in zip(parts, _shared_out(lack, len(parts)), strict=True)]
