"""Who could live together: single animals and pairs with nothing recorded against it."""

from collections.abc import Iterator
from itertools import combinations, islice

from builds.placing.models.case_today import RescueToday
from builds.placing.models.rooms import not_enough
from habitats.placement.values import Union, WaitingUrgency
from habitats.welfare.alike import verdict_of
from habitats.welfare.company import OF_ONE_ALONE, between, company
from habitats.welfare.litters import litter_span, unweaned, with_litter
from habitats.welfare.rooms import room_of

LARGEST = 2  # animals of each of the two: larger groups are settled. Common practice, no source.
MOST_UNIONS = 300


def unions_of(rescue: RescueToday) -> tuple[Union, ...]:
    """Two and two, of whom one at least waits; single animals first."""
    units = [code for code in rescue.companions if _may_be_joined(rescue, code)]
    units.sort(key=lambda code: (len(rescue.companions[code]), code))
    return tuple(islice(_unions(rescue, units), MOST_UNIONS))


def alone_words(rescue: RescueToday, ref: str) -> list[str]:
    """What is said of one that lives alone."""
    rules = rescue.judging(ref)
    found = company(
        rescue.companions[ref],
        rescue.today,
        never_singly=rules.never_singly if rules else None,
        limits=rescue.limits,
    )
    return [one.sentence for one in found if one.code in OF_ONE_ALONE]


def _unions(rescue: RescueToday, units: list[str]) -> Iterator[Union]:
    for pair in combinations(units, 2):
        one, other = pair
        if rescue.judging(one) != rescue.judging(other):
            continue
        if all(rescue.urgency(code) is WaitingUrgency.CAN_WAIT for code in pair):
            continue
        animals = (rescue.companions[one], rescue.companions[other])
        if between(*animals, rescue.today, rescue.limits):
            continue
        needs = rescue.needs_mm2(*pair)
        if not _is_refused(rescue, pair, needs):
            yield Union(tuple(sorted(pair)), needs)


def _may_be_joined(rescue: RescueToday, code: str) -> bool:
    """Not in quarantine, nor with a litter that is there or may come."""
    animals = rescue.companions[code]
    return (
        len(animals) <= LARGEST
        and code in rescue.movable
        and rescue.judging(code) is not None
        and rescue.cohort(code, animals) is None
        and not any(litter_span(one, rescue.today) for one in animals)
        and not any(unweaned(one, rescue.today) for one in animals)
        and not any(with_litter(one, animals, rescue.today) for one in animals)
    )


def _is_refused(rescue: RescueToday, pair: tuple[str, str], needs: int) -> bool:
    """Whether some floor is large enough for both and yet no place for them: then none is told."""
    rules = rescue.judging(pair[0])
    if rules is None:
        return True
    residents = rescue.residents(*pair)
    return any(
        floor >= needs
        and structure.design.species is rules.species
        and bool(not_enough(verdict_of(rules, room_of(structure), one) for one in residents))
        for floor, structure in rescue.floors
    )
