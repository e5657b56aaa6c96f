"""The largest design that is planned, and the first that is refused."""

import time

import pytest

from builds.making.reckoning import plan_of
from habitats.structure.faults import BadDesign
from habitats.structure.structure import MOST_PANELS, raise_structure
from tests.support.designs import make_design

MOST_SECONDS = 2


def of_two_full_levels(side):
    return make_design(["#" * side] * side, upper=["#" * side] * side)


def test_the_largest_design_is_planned_in_two_seconds():
    began = time.process_time()

    planned = plan_of(of_two_full_levels(16))

    assert time.process_time() - began < MOST_SECONDS
    assert MOST_PANELS * 0.9 < planned.parts.panels.total <= MOST_PANELS


def test_a_larger_one_is_refused_with_the_bound_before_anything_is_worked_out():
    began = time.process_time()

    with pytest.raises(BadDesign, match=f"at most {MOST_PANELS} can be planned"):
        raise_structure(of_two_full_levels(24))

    assert time.process_time() - began < MOST_SECONDS


def test_what_stands_is_told_however_large_it_is():
    standing = raise_structure(of_two_full_levels(24), of_any_size=True)

    assert len(standing.panels) > MOST_PANELS
