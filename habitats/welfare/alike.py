"""Animals as far as one rule set tells them apart: by its classes of weight and age.

Two groups whose animals are alike get the same verdict, so it is worked out once; and the verdict
of a group stays as it is for as long as none of its animals changes class.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from habitats.welfare.bands import Bands
from habitats.welfare.identity import ByIdentity
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room, Sex, Verdict

KEPT = 8192


def verdict_of(rules: RuleSet, room: Room, residents: Sequence[Resident]) -> Verdict:
    """As ``judged`` says of animals of the rule set's species, kept for all that are alike.

    Of those alike the first gets the larger part of the floor, where parts differ.
    """
    return _verdict(ByIdentity(rules), room, alike(rules, residents))


@lru_cache(maxsize=KEPT)
def _verdict(rules: ByIdentity[RuleSet], room: Room, residents: tuple[Resident, ...]) -> Verdict:
    return judged(rules.value, rules.value.species, room, residents)


def alike(rules: RuleSet, residents: Sequence[Resident]) -> tuple[Resident, ...]:
    """The animals, each with the least weight and age of its class, and no more than counts."""
    classes = _classes(ByIdentity(rules))
    # Whether a male may sire counts only where standards ask for the floor of a pair with litter.
    breeds = rules.floor.breeding is not None and any(one.with_litter for one in residents)
    return tuple(
        Resident(
            weight_g=_least(classes.weights, one.weight_g, unknown=classes.heaviest_g),
            age_days=_least(classes.ages, one.age_days, unknown=None) if classes.ages else None,
            sex=Sex.MALE if breeds and one.may_sire else None,
            with_litter=one.with_litter,
        )
        for one in residents
    )


class _Classes(NamedTuple):
    """The first weights and ages of each class but the lowest, rising."""

    weights: tuple[int, ...]
    ages: tuple[int, ...]

    @property
    def heaviest_g(self) -> int:
        return self.weights[-1] if self.weights else 0


def _least(starts: Sequence[int], measure: int | None, *, unknown: int | None) -> int | None:
    if measure is None:
        return unknown
    place = bisect_right(starts, measure)
    return starts[place - 1] if place else 0


@lru_cache(maxsize=64)
def _classes(rules: ByIdentity[RuleSet]) -> _Classes:
    return _Classes(_rising(_weight_starts(rules.value)), _rising(_age_starts(rules.value)))


def _rising(starts: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(starts)))


def _weight_starts(rules: RuleSet) -> Iterator[int]:
    floor = rules.floor
    by_weight: list[Bands | None] = [
        *(one.area_mm2 for one in floor.groups),
        *(one.area_mm2 for one in floor.further),
        floor.enclosure_mm2,
        floor.dam_mm2,
        floor.nest_mm2,
        rules.height.height_mm if rules.height else None,
        rules.most_animals,
        rules.raised.area_mm2 if rules.raised else None,
    ]
    for bands in by_weight:
        yield from _starts(bands)


def _age_starts(rules: RuleSet) -> Iterator[int]:
    """Of the young; the very day on which standards leave open what they are is its own class."""
    young = rules.floor.young
    if young is not None:
        yield from (young.under_days, young.under_days + 1)
        yield from _starts(young.each_mm2)


def _starts(bands: Bands | None) -> Iterator[int]:
    for one in bands.classes if bands else ():
        if one.bound is not None:
            yield one.bound + 1 if one.included else one.bound
