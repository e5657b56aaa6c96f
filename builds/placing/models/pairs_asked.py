"""How many pairs that are not here yet could be taken: the case that is asked about."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.models.rooms import NO_ROOM, not_enough
from habitats.placement.values import GroupToPlace, PlacingCase, RuledOut, WaitingUrgency
from habitats.welfare.alike import verdict_of
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident, Species

GROWN_PAIR = (Resident(), Resident())  # of whom nothing more is known
MOST_PAIRS = 60


def case_with_pairs(
    rescue: RescueToday, by_hand: ByHand, species: Species
) -> tuple[PlacingCase, tuple[GroupToPlace, ...]] | None:
    """What stands today, and pairs of grown animals, one for each enclosure that is free.

    None: no standard says what floor they need.
    """
    rules = rescue.rules[species]
    if rules is None:
        return None
    needs = verdict_of(rules, NO_ROOM, GROWN_PAIR).required_mm2
    free = [
        code
        for code in rescue.offered
        if code in rescue.readings and not rescue.readings[code].group
    ]
    pairs = tuple(
        GroupToPlace(f"pair-{number}", species, 2, needs, urgency=WaitingUrgency.CAN_WAIT)
        for number in range(1, min(len(free), MOST_PAIRS) + 1)
    )
    case = rescue.case(by_hand)
    standing = tuple(one for one in case.enclosures if one.ref not in rescue.to_come)
    bars = (*case.bars, *_bars(rescue, rules, needs, pairs))
    # Nobody can be held to what does not stand.
    pins = tuple(one for one in case.pins if one.enclosure not in rescue.to_come)
    return replace(case, enclosures=standing, designs=(), bars=bars, pins=pins), pairs


def _bars(
    rescue: RescueToday, rules: RuleSet, needs: int, pairs: Sequence[GroupToPlace]
) -> Iterator[RuledOut]:
    for code, structure in rescue.structures.items():
        if rescue.floor_mm2(code) < needs:
            continue
        if why := not_enough([verdict_of(rules, room_of(structure), GROWN_PAIR)]):
            yield from (RuledOut(one.ref, code, why) for one in pairs)
