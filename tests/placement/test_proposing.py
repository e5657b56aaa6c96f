"""The best placing: against a look at every one there is, and against a worked case."""

from dataclasses import replace
from itertools import product
from random import Random

import networkx
import pytest

from habitats.placement import program, relaxed
from habitats.placement.check import faults
from habitats.placement.moves import moves_of
from habitats.placement.proposing import propose, second_best
from habitats.placement.values import (
    Contradiction,
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    MissReason,
    Pin,
    PlacingCase,
    Species,
    Union,
)
from tests.benchmarks.placing import rescue
from tests.support.placements import best_of_all, random_case

PIG = Species.GUINEA_PIG


@pytest.mark.parametrize("part", range(6))
def test_no_placing_of_a_small_case_is_better(part):
    for seed in range(part * 100, part * 100 + 100):
        case = random_case(seed)
        best = best_of_all(case)
        try:
            placing = propose(case)
        except Contradiction:
            assert best is None, seed
            continue
        assert faults(case, placing) == [], seed
        assert tuple(one.value for one in placing.reached) == best, seed
        assert all(one.is_proved for one in placing.reached), seed


def enclosure(ref, cm2, home="h"):
    return EnclosureToFill(ref, home, PIG, cm2 * 100)


def test_the_worked_case_moves_one_settled_group_and_no_other_placing_needs_as_few():
    # Worked by hand: A fits in e0 alone, where B lives; B fits in e2; C fills e1.
    case = PlacingCase(
        (
            GroupToPlace("A", PIG, 5, 12_000_00),
            GroupToPlace("B", PIG, 2, 5_000_00, lives_in="e0"),
            GroupToPlace("C", PIG, 3, 8_000_00, lives_in="e1"),
        ),
        (enclosure("e0", 18_000), enclosure("e1", 12_000), enclosure("e2", 7_000)),
        (HomeToFill("h"),),
    )

    placing = propose(case)

    assert {stay.groups[0]: stay.place.enclosure for stay in placing.stays} == {
        "A": "e0",
        "B": "e2",
        "C": "e1",
    }
    assert next(one for one in placing.reached if one.goal is Goal.MOVES) == (
        Goal.MOVES,
        1,
        1,
        None,
    )
    assert [move.group for move in moves_of(case, placing)] == ["B", "A"]
    # Any other: C to e2 is too small for it, so A could only have e1 with C elsewhere.
    assert propose(replace(case, forbidden=(Pin("B", enclosure="e2"),))).misses.keys() == {"A"}


@pytest.mark.parametrize("seed", range(3))
def test_one_group_an_enclosure_is_an_assignment(seed):
    # Reference: networkx's matching of most weight, by the primal-dual method of Galil,
    # ACM Computing Surveys 18 (1986) 23-38.
    chance = Random(seed)
    groups = [GroupToPlace(f"g{n}", PIG, 2, chance.randint(30, 200) * 10_000) for n in range(40)]
    stand = [
        EnclosureToFill(f"e{n}", "h", PIG, chance.randint(30, 200) * 10_000) for n in range(35)
    ]
    graph = networkx.Graph()
    for one, place in product(groups, stand):
        if place.floor_mm2 >= one.needs_mm2:
            share = 1000 * one.needs_mm2**2 // place.floor_mm2**2
            graph.add_edge(one.ref, place.ref, weight=100_000 - share)
    matching = networkx.max_weight_matching(graph, maxcardinality=True)

    placing = propose(PlacingCase(tuple(groups), tuple(stand), (HomeToFill("h"),)))

    weight = sum(graph[a][b]["weight"] for a, b in matching)
    assert sum(stay.suits for stay in placing.stays) == len(matching)
    assert placing.reached[-1].value == 100_000 * len(matching) - weight


@pytest.mark.parametrize(("groups", "enclosures"), [(30, 50), (120, 180)])
def test_the_same_case_gets_the_same_placing(groups, enclosures):
    case = rescue(7, groups, enclosures)

    assert propose(case) == propose(case)


def test_what_was_not_looked_for_to_the_end_has_an_honest_bound(monkeypatch):
    monkeypatch.setattr(program, "MOST_WHOLE", 0)
    for seed in range(200):
        its_bounds_are_honest(seed, nodes=0)


def test_what_is_bettered_in_parts_has_an_honest_bound(monkeypatch):
    """As of a very large rescue."""
    monkeypatch.setattr(program, "MOST_WHOLE", 0)
    monkeypatch.setattr(program, "MOST_AT_ONCE", 5)
    monkeypatch.setattr(relaxed, "LARGE", 0)
    for seed in range(100):
        its_bounds_are_honest(seed, nodes=0)


def its_bounds_are_honest(seed, nodes):
    case = random_case(seed)
    try:
        placing = propose(case, nodes)
    except Contradiction:
        return
    best = best_of_all(case)
    assert faults(case, placing) == [], seed
    assert tuple(one.value for one in placing.reached) >= best, seed
    both = zip(placing.reached, best, strict=True)
    worse = next((one for one, least in both if one.value != least), None)
    if worse is not None:
        least = best[placing.reached.index(worse)]
        assert worse.bound <= least < worse.value, seed


def test_what_is_bettered_in_parts_is_nearly_as_good(monkeypatch):
    case = rescue(3, 60, 100)
    best = propose(case)
    monkeypatch.setattr(program, "MOST_AT_ONCE", 300)
    monkeypatch.setattr(relaxed, "LARGE", 0)

    in_parts = propose(case)

    assert faults(case, in_parts) == []
    assert in_parts == propose(case)
    for one, least in zip(in_parts.reached[:-2], best.reached[:-2], strict=True):
        assert one.value == least.value
    assert in_parts.reached[-1].value <= best.reached[-1].value * 1.02


def test_whatever_a_larger_rescue_is_proposed_keeps_what_was_asked():
    case = rescue(3, 120, 180)

    placing = propose(case)

    assert faults(case, placing) == []
    assert all(one.is_proved for one in placing.reached[:5])


def test_a_limit_that_is_broken_already_only_gets_better():
    home = HomeToFill("h", most_animals=3)
    two = (GroupToPlace("A", PIG, 3, 1, lives_in="e0"), GroupToPlace("B", PIG, 3, 1, lives_in="e1"))
    stand = (enclosure("e0", 5_000), enclosure("e1", 5_000), enclosure("e2", 5_000))

    placing = propose(PlacingCase((*two, GroupToPlace("C", PIG, 1, 1)), stand, (home,)))

    assert [stay.suits for stay in placing.stays] == [True, True, False]
    assert placing.misses["C"][0].reason is MissReason.HOME_FULL


def test_who_waits_is_told_what_came_nearest():
    groups = (GroupToPlace("A", PIG, 2, 8_000_00), GroupToPlace("B", PIG, 2, 8_000_00))
    stand = (enclosure("e0", 9_000), enclosure("e1", 7_500), enclosure("e2", 5_000))

    placing = propose(PlacingCase(groups, stand, (HomeToFill("h"),)))

    (waits,) = placing.misses
    taken, small, smaller = placing.misses[waits]
    assert (taken.reason, taken.by) == (MissReason.TAKEN, "A" if waits == "B" else "B")
    assert (small.place.enclosure, small.lacking_mm2) == ("e1", 50_000)
    assert (smaller.place.enclosure, smaller.lacking_mm2) == ("e2", 300_000)


def test_pins_that_cannot_hold_together_are_named_and_no_others():
    groups = tuple(GroupToPlace(one, PIG, 2, 1) for one in "ABC")
    stand = (enclosure("e0", 5_000), enclosure("e1", 5_000))
    pins = (Pin("A", enclosure="e0"), Pin("B", enclosure="e0"), Pin("C", enclosure="e1"))

    with pytest.raises(Contradiction) as clash:
        propose(PlacingCase(groups, stand, (HomeToFill("h"),), pins=pins))

    assert clash.value.pins == pins[:2]


def test_a_pin_that_cannot_be_says_why():
    case = PlacingCase(
        (GroupToPlace("A", PIG, 2, 8_000_00),), (enclosure("e0", 5_000),), (HomeToFill("h"),)
    )

    with pytest.raises(Contradiction) as clash:
        propose(replace(case, pins=(Pin("A", enclosure="e0"),)))

    assert [one.reason for one in clash.value.misses] == [MissReason.TOO_SMALL]


def test_the_order_of_goals_can_be_turned():
    groups = (GroupToPlace("A", PIG, 2, 5_000_00, wishes_mm2=9_000_00, lives_in="e0"),)
    stand = (enclosure("e0", 6_000), enclosure("e1", 9_000))
    case = PlacingCase(groups, stand, (HomeToFill("h"),))

    assert propose(case).stays[0].place.enclosure == "e0"
    wished = (Goal.WAITING, Goal.WISHES, Goal.MOVES, Goal.BUILDS, Goal.COST, Goal.SPARE)
    assert propose(replace(case, order=wished)).stays[0].place.enclosure == "e1"


def test_the_second_best_says_whether_it_is_as_good():
    groups = (GroupToPlace("A", PIG, 2, 5_000_00),)
    alike = PlacingCase(
        groups, (enclosure("e0", 6_000), enclosure("e1", 6_000)), (HomeToFill("h"),)
    )
    worse = replace(alike, enclosures=(enclosure("e0", 6_000), enclosure("e1", 5_000)))

    for case, is_as_good in ((alike, True), (worse, False)):
        best = propose(case)
        other = second_best(case, best, "A")
        assert other.stays != best.stays
        assert (other.reached == best.reached) is is_as_good


def test_two_that_may_live_together_share_the_last_enclosure():
    groups = (GroupToPlace("A", PIG, 1, 5_000_00), GroupToPlace("B", PIG, 1, 5_000_00))
    case = PlacingCase(groups, (enclosure("e0", 6_000),), (HomeToFill("h"),))

    assert sum(stay.suits for stay in propose(case).stays) == 1
    joined = propose(replace(case, unions=(Union(("A", "B"), 6_000_00),)))
    assert [stay.groups for stay in joined.stays] == [("A", "B")]
