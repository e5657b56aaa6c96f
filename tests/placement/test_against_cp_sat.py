"""Placings of the size of a small rescue, against OR-Tools CP-SAT, goal by goal."""

import pytest

from habitats.placement.check import faults
from habitats.placement.proposing import propose
from habitats.placement.values import Contradiction
from tests.support.cp_sat import best_by_cp_sat
from tests.support.placements import random_case

# Reference: CP-SAT of OR-Tools, https://developers.google.com/optimization/cp/cp_solver.
CASES = 120


@pytest.mark.nightly
@pytest.mark.parametrize("part", range(6))
def test_another_solver_finds_no_placing_that_is_better_in_any_goal(part):
    for seed in range(part, CASES, 6):
        case = random_case(seed, groups=20, enclosures=30, homes=12)
        best = best_by_cp_sat(case)
        try:
            placing = propose(case)
        except Contradiction:
            assert best is None, seed
            continue
        assert faults(case, placing) == [], seed
        assert tuple(one.value for one in placing.reached) == best, seed
