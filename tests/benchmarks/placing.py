"""How long placing takes, and how much better it is than taking the largest group first.

    python -m tests.benchmarks.placing [GROUPS ENCLOSURES [CASES]]

Rescues are generated: a third of the groups waits, some of the others have outgrown their floor.
"""

import resource
import sys
import time
from random import Random
from statistics import median

from habitats.placement.check import faults, goal_values
from habitats.placement.columns import aims_in
from habitats.placement.proposing import propose
from habitats.placement.values import (
    DesignToBuild,
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    Placing,
    PlacingCase,
    Species,
    WaitingUrgency,
)
from tests.support.placements import greedy

PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT
M2 = 1_000_000
MOST_BY_HAND = 120


def rescue(seed: int, groups: int, enclosures: int) -> PlacingCase:
    chance = Random(seed)
    homes = tuple(_home(chance, n) for n in range(max(1, enclosures * 2 // 5)))
    stand = tuple(_enclosure(chance, n, homes) for n in range(enclosures))
    free = [one.ref for one in stand]
    chance.shuffle(free)
    who = tuple(_group(chance, n, free) for n in range(groups))
    sides = [(1065, 710), (1420, 710), (1775, 710), (1420, 1065), (1775, 1065), (2130, 1065)]
    designs = tuple(
        DesignToBuild(f"d{n}", PIG, w * d * 9 // 10, (w, d), cents=chance.randint(0, 60) * 100)
        for n, (w, d) in enumerate(sides)
    )
    return PlacingCase(who, stand, homes, designs)


def _home(chance: Random, number: int) -> HomeToFill:
    return HomeToFill(
        f"h{number}",
        most_enclosures=chance.choice([1, 2, 3, 3, 4]),
        most_animals=chance.choice([None, 6, 8, 12]),
        isolation_places=chance.choice([0, 0, 1]),
        knows=chance.choice([None, None, frozenset({PIG})]),
        is_away=chance.random() < 0.05,
        sides_mm=chance.choice([None, (1800, 1000), (2200, 1100)]),
        other_pets=chance.random() < 0.2,
    )


def _enclosure(chance: Random, number: int, homes: tuple[HomeToFill, ...]) -> EnclosureToFill:
    return EnclosureToFill(
        f"e{number}",
        homes[number % len(homes)].ref if number < 2 * len(homes) else chance.choice(homes).ref,
        RABBIT if chance.random() < 0.15 else PIG,
        chance.randint(50, 220) * M2 // 100,
        has_ramp=chance.random() < 0.25,
        has_lid=chance.random() < 0.5,
        is_safe=chance.random() < 0.95,
    )


def _group(chance: Random, number: int, free: list[str]) -> GroupToPlace:
    animals = chance.choice([1, 2, 2, 2, 3, 3, 4, 5])
    needs = (50 + 20 * max(0, animals - 2)) * M2 // 100
    return GroupToPlace(
        f"g{number}",
        RABBIT if chance.random() < 0.15 else PIG,
        animals,
        needs,
        wishes_mm2=needs * 13 // 10,
        lives_in=free.pop() if free and chance.random() < 0.67 else None,
        may_move=chance.random() < 0.9,
        urgency=chance.choice(list(WaitingUrgency)),
        cohort=f"q{number // 4}" if chance.random() < 0.08 else None,
        climbs=chance.random() < 0.85,
    )


def main(groups: int = 60, enclosures: int = 100, cases: int = 10) -> None:
    """Placing by hand is only tried where it takes no minutes."""
    times, better, proved, placed = [], 0, 0, 0
    by_hand = groups <= MOST_BY_HAND
    for seed in range(cases):
        case = rescue(seed, groups, enclosures)
        start = time.process_time()
        placing = propose(case)
        times.append(time.process_time() - start)
        assert not faults(case, placing)
        proved += all(one.is_proved for one in placing.reached)
        placed += all(one.is_proved for one in placing.reached if one.goal is Goal.WAITING)
        ours = tuple(one.value for one in placing.reached)
        bounds = tuple(one.bound for one in placing.reached)
        print(f"{seed}: {times[-1]:.2f} s, {ours}, none below {bounds}", flush=True)
        if by_hand:
            theirs = _by_hand(case)
            better += ours < theirs
            print(f"   by hand {theirs}", flush=True)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"{groups} x {enclosures}: median {median(times):.2f} s, most {max(times):.2f} s")
    print(f"at most {memory} MB of memory; proved best {proved} of {cases}, in who waits {placed}")
    if by_hand:
        print(f"better than the largest first {better} of {cases}")


def _by_hand(case: PlacingCase) -> tuple[int, ...]:
    found = goal_values(case, Placing(greedy(case), ()))
    return tuple(found.get(aim, 0) for aim in aims_in(case.order))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
