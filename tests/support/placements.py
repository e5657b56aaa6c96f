"""Cases of placing, and all placings of a small one."""

from collections.abc import Iterator
from itertools import product
from random import Random

from habitats.placement.check import faults, goal_values, places_suit
from habitats.placement.columns import aims_in
from habitats.placement.values import (
    DesignToBuild,
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    Pin,
    PlaceToLive,
    Placing,
    PlacingCase,
    ProposedStay,
    RuledOut,
    Species,
    Union,
    WaitingUrgency,
)

PIG, RABBIT = Species.GUINEA_PIG, Species.RABBIT


def random_case(seed: int, groups: int = 4, enclosures: int = 4, homes: int = 3) -> PlacingCase:
    """A small rescue in which every kind of limit comes up now and then."""
    chance = Random(seed)
    all_homes = tuple(_home(chance, f"h{one}") for one in range(chance.randint(1, homes)))
    stand = tuple(
        _enclosure(chance, f"e{one}", all_homes) for one in range(chance.randint(0, enclosures))
    )
    free = [one.ref for one in stand]
    chance.shuffle(free)
    who = tuple(
        _group(chance, f"g{one}", free.pop() if free and chance.random() < 0.5 else None)
        for one in range(chance.randint(1, groups))
    )
    return PlacingCase(
        who,
        stand,
        all_homes,
        tuple(_design(chance, f"d{one}") for one in range(chance.randint(0, 2))),
        _unions(chance, who),
        tuple(
            RuledOut(one.ref, e.ref, "x") for one in who for e in stand if chance.random() < 0.08
        ),
        _pins(chance, who, stand, all_homes),
        tuple(Pin(one.ref, home=h.ref) for one in who for h in all_homes if chance.random() < 0.05),
    )


def _home(chance: Random, ref: str) -> HomeToFill:
    return HomeToFill(
        ref,
        most_enclosures=chance.choice([None, 1, 2, 3]),
        most_animals=chance.choice([None, None, 3, 5, 8]),
        isolation_places=chance.choice([0, 0, 1]),
        knows=chance.choice([None, None, None, frozenset({PIG})]),
        is_away=chance.random() < 0.1,
        sides_mm=chance.choice([None, (1500, 700)]),
        other_pets=chance.random() < 0.2,
    )


def _enclosure(chance: Random, ref: str, homes: tuple[HomeToFill, ...]) -> EnclosureToFill:
    return EnclosureToFill(
        ref,
        None if chance.random() < 0.1 else chance.choice(homes).ref,
        RABBIT if chance.random() < 0.1 else PIG,
        chance.randint(4, 20) * 100_000,
        has_ramp=chance.random() < 0.2,
        has_lid=chance.random() < 0.5,
        is_safe=chance.random() < 0.9,
    )


def _group(chance: Random, ref: str, lives_in: str | None) -> GroupToPlace:
    needs = chance.randint(3, 14) * 100_000
    return GroupToPlace(
        ref,
        RABBIT if chance.random() < 0.1 else PIG,
        chance.randint(1, 4),
        needs,
        wishes_mm2=needs + chance.choice([0, 0, 300_000]),
        lives_in=lives_in,
        may_move=chance.random() < 0.9,
        urgency=chance.choice(list(WaitingUrgency)),
        cohort=chance.choice([None, None, None, "May", "June"]),
        climbs=chance.random() < 0.8,
    )


def _design(chance: Random, ref: str) -> DesignToBuild:
    sides = chance.choice([(1400, 700), (710, 1065), (2130, 710)])
    return DesignToBuild(
        ref,
        PIG,
        sides[0] * sides[1] - 100_000,
        sides,
        cents=chance.randint(0, 40) * 100,
        has_ramp=chance.random() < 0.3,
        has_lid=chance.random() < 0.4,
    )


def _unions(chance: Random, who: tuple[GroupToPlace, ...]) -> tuple[Union, ...]:
    pairs = [(a, b) for n, a in enumerate(who) for b in who[n + 1 :] if a.species is b.species]
    return tuple(
        Union((a.ref, b.ref), a.needs_mm2 + b.needs_mm2 - 200_000)
        for a, b in pairs
        if a.cohort == b.cohort and chance.random() < 0.15
    )


def _pins(
    chance: Random,
    who: tuple[GroupToPlace, ...],
    stand: tuple[EnclosureToFill, ...],
    homes: tuple[HomeToFill, ...],
) -> tuple[Pin, ...]:
    if chance.random() < 0.7:
        return ()
    group = chance.choice(who).ref
    if stand and chance.random() < 0.5:
        return (Pin(group, enclosure=chance.choice(stand).ref),)
    return (Pin(group, home=chance.choice(homes).ref),)


def best_of_all(case: PlacingCase) -> tuple[int, ...] | None:
    """The values of the best placing, found by looking at each; None: there is none."""
    aims = aims_in(case.order)
    found = None
    for stays in _all_stays(case):
        placing = Placing(stays, ())
        values = goal_values(case, placing)
        vector = tuple(values.get(aim, 0) for aim in aims)
        if (found is None or vector < found) and not faults(case, placing):
            found = vector
    return found


def _all_stays(case: PlacingCase) -> Iterator[tuple[ProposedStay, ...]]:
    """Those that are sound one by one."""
    for together in _partitions(case):
        sound = [
            [one for one in stays_of(case, refs) if not [*places_suit(case, Placing((one,), ()))]]
            for refs in together
        ]
        yield from product(*sound)


def _partitions(case: PlacingCase) -> Iterator[list[tuple[str, ...]]]:
    refs = [one.ref for one in case.groups]
    for taken in product([False, True], repeat=len(case.unions)):
        unions = [one.of for one, is_in in zip(case.unions, taken, strict=True) if is_in]
        joined = [ref for of in unions for ref in of]
        if len(joined) == len(set(joined)):
            yield [*unions, *((ref,) for ref in refs if ref not in joined)]


def stays_of(case: PlacingCase, refs: tuple[str, ...]) -> Iterator[ProposedStay]:
    lives_in = next(one.lives_in for one in case.groups if one.ref == refs[0])
    homes = {one.ref: one.home for one in case.enclosures}
    if len(refs) == 1:
        here = None if lives_in is None else PlaceToLive(lives_in, home=homes[lives_in])
        yield ProposedStay(refs, here, suits=False)
    for ref, home in homes.items():
        yield ProposedStay(refs, PlaceToLive(ref, home=home), suits=True)
    for design in case.designs:
        for home_ in case.homes:
            yield ProposedStay(refs, PlaceToLive(design=design.ref, home=home_.ref), suits=True)


def greedy(case: PlacingCase) -> tuple[ProposedStay, ...]:
    """By hand: who waits, the largest first, each in the tightest free place that is allowed."""
    homes = {one.ref: one.home for one in case.enclosures}
    floors = {one.ref: one.floor_mm2 for one in case.enclosures}
    stays = {one.ref: _as_it_is(case, one, homes) for one in case.groups}
    waiting = [one for one in case.groups if not stays[one.ref].suits and one.may_move]
    for group in sorted(waiting, key=lambda one: -one.needs_mm2):
        taken = {stay.place.enclosure for stay in stays.values() if stay.place}
        for ref in sorted(set(floors) - taken, key=lambda one: (floors[one], one)):
            stay = ProposedStay((group.ref,), PlaceToLive(ref, home=homes[ref]), suits=True)
            tried = {**stays, group.ref: stay}
            if not faults(case, Placing(tuple(tried.values()), ())):
                stays = tried
                break
    return tuple(stays.values())


def _as_it_is(case: PlacingCase, group: GroupToPlace, homes: dict[str, str | None]) -> ProposedStay:
    if group.lives_in is None:
        return ProposedStay((group.ref,), None, suits=False)
    place = PlaceToLive(group.lives_in, home=homes[group.lives_in])
    suits = not list(
        places_suit(case, Placing((ProposedStay((group.ref,), place, suits=True),), ()))
    )
    return ProposedStay((group.ref,), place, suits)
