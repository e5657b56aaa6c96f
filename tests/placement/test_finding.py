"""Decisions found over all places at once, against asking about each place by itself."""

from dataclasses import replace

import numpy as np
import pytest

from habitats.placement.check import goal_values, places_suit
from habitats.placement.columns import aims_in, unevenness
from habitats.placement.finding import columns_of
from habitats.placement.suiting import Suiting
from habitats.placement.values import (
    DesignToBuild,
    GroupToPlace,
    HomeToFill,
    Placing,
    PlacingCase,
    Species,
)
from tests.benchmarks.placing import rescue
from tests.support.placements import random_case, stays_of

CASES = [*(random_case(seed) for seed in range(200)), rescue(3, 12, 20)]


def found(case):
    columns = columns_of(Suiting(case))
    return {columns.decision(one).stay: one for one in range(len(columns))}, columns


@pytest.mark.parametrize("part", range(4))
def test_there_is_a_column_for_each_stay_that_is_sound_by_itself(part):
    for case in CASES[part::4]:
        every, _ = found(replace(case, designs=()))
        refs = [(one.ref,) for one in case.groups] + [one.of for one in case.unions]
        stays = [stay for one in refs for stay in stays_of(replace(case, designs=()), one)]
        sound = {stay for stay in stays if is_sound(case, stay)}
        assert every.keys() == sound


def is_sound(case, stay):
    """As pinned, and with nothing against it; who does not suit stays where it is."""
    pinned = all(
        stay.place is not None
        and (stay.place.enclosure if pin.enclosure else stay.place.home)
        == (pin.enclosure or pin.home)
        for pin in case.pins
        if pin.group in stay.groups
    )
    return pinned and not list(places_suit(case, Placing((stay,), ())))


def test_a_column_costs_what_the_checker_says_of_its_stay():
    for case in CASES:
        every, columns = found(case)
        costs = {aim: columns.costs(aim) for aim in aims_in(case.order)}
        for stay, number in every.items():
            told = goal_values(case, Placing((stay,), ()))
            assert all(told.get(aim, 0) == costs[aim][number] for aim in costs), stay


def test_builds_that_another_beats_in_everything_are_left_out():
    pig = Species.GUINEA_PIG
    floors = {"dear": 900_000, "cheap": 900_000, "large": 950_000, "small": 890_000}
    cents = {"dear": 300, "cheap": 200, "large": 400, "small": 100}
    designs = tuple(
        DesignToBuild(ref, pig, floor, (1400, 700), cents=cents[ref])
        for ref, floor in floors.items()
    )
    group = GroupToPlace("A", pig, 2, 500_000, wishes_mm2=900_000)

    every, _ = found(PlacingCase((group,), (), (HomeToFill("h"),), designs))

    assert {stay.place.design for stay in every if stay.place} == {"cheap", "large", "small"}


def test_a_field_is_as_exact_as_a_cage():
    floors = np.array([10**9, 3 * 10**8])
    needs = np.array([10**9 - 1, 10**8])

    assert unevenness(needs, floors).tolist() == [999, 111]
