"""The same work at the bench is told once; each step keeps its key, its tick and what differs."""

import pytest

from builds.making.reckoning import plan_of
from builds.making.repeats import ToldStep, repeats_in
from builds.making.step import Task
from builds.making.step_keys import coded
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from


@pytest.fixture(scope="module")
def steps():
    """A horseshoe above, with a ramp of three panels from each of its ends toward the middle."""
    ramps = (ramp_from(0, 0, Side.E, panels=3), ramp_from(1, 6, Side.W, panels=3))
    design = make_design(["#######"] * 3, upper=[*["#.....#"] * 2, "#######"], ramps=ramps)
    return plan_of(design).steps


def told_in(steps):
    return repeats_in([ToldStep(one.facts, one.instructions) for one in steps])


def numbers(steps, task):
    return [number for number, one in enumerate(steps, start=1) if one.facts[0] == task]


@pytest.mark.parametrize(
    "task", [Task.CUT_DOORWAY, Task.FILE_DOORWAY, Task.BEND_RAMP, Task.TIE_RAMP, Task.FOLD_STRIP]
)
def test_the_second_ramp_refers_to_the_first(steps, task):
    first, second = numbers(steps, task)
    repeats = told_in(steps)

    assert f"here and in step {second}" in repeats.told(first, steps[first - 1].instructions)[0]
    told = repeats.told(second, steps[second - 1].instructions)
    assert told[0] == f"Do the same as in step {first}."


def test_with_the_step_referred_to_nothing_is_left_unsaid(steps):
    repeats = told_in(steps)
    for number, again in repeats.again.items():
        said = {*steps[again.first - 1].instructions, *again.instructions}

        assert said.issuperset(steps[number - 1].instructions)
        assert again.first < number
        assert again.first not in repeats.again


def test_what_differs_is_told_with_the_repeat(steps):
    _first, second = numbers(steps, Task.CUT_DOORWAY)

    (label,) = told_in(steps).again[second].instructions

    assert "Label the panel" in label
    assert "east side" in label or "west side" in label


def test_ramps_that_differ_are_each_told_in_full():
    ramps = (ramp_from(0, 0, Side.E, panels=3), ramp_from(1, 7, Side.W, panels=4))
    unlike = plan_of(
        make_design(["########"] * 3, upper=[*["#......#"] * 2, "########"], ramps=ramps)
    ).steps
    ties = numbers(unlike, Task.TIE_RAMP)

    assert len(ties) == 2
    assert not told_in(unlike).again.keys() & {*ties}


def test_facts_tell_the_same_as_they_are_stored(steps):
    stored = repeats_in([ToldStep(coded(one.facts), one.instructions) for one in steps])

    assert stored == told_in(steps)


def test_a_plan_that_repeats_nothing_refers_to_nothing():
    repeats = told_in(plan_of(make_design()).steps)

    assert not repeats.again
    assert not repeats.later
