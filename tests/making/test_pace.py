"""Times that are learnt. The rule and its three figures are common practice, without a source; the
median is held against that of the standard library's own example, and worked by hand here.
"""

import pytest

from builds.making.pace import (
    AS_THE_TABLE,
    KIND_OF,
    LEAST_STEPS,
    TimedStep,
    WorkKind,
    WorkPace,
    learn,
    pace_of,
)
from builds.making.reckoning import plan_of
from builds.making.step import Task
from tests.support.designs import make_design


def cuts(*used, table=20):
    return [TimedStep(Task.CUT_BLANK, table, minutes) for minutes in used]


def the_percent(timed):
    (found,) = learn(timed)
    return found.percent


def test_the_middle_one_counts_so_that_a_forgotten_start_spoils_nothing():
    # Of 20 minutes each: 24, 26, 28, 30 and five hours; the median is 28, which is 140 %.
    assert the_percent(cuts(24, 26, 28, 30, 300)) == 140


def test_nothing_is_learnt_from_a_handful_of_steps_less_one():
    assert the_percent(cuts(*[30] * (LEAST_STEPS - 1))) is None
    assert the_percent(cuts(*[30] * LEAST_STEPS)) == 150


@pytest.mark.parametrize(("used", "percent"), [(1, 50), (400, 300)])
def test_what_is_beyond_all_bounds_is_taken_as_the_bound(used, percent):
    assert the_percent(cuts(*[used] * LEAST_STEPS)) == percent


def test_kinds_of_work_learn_apart():
    timed = [*cuts(*[40] * 5), *(TimedStep(Task.WALL, 10, 8) for _ in range(5))]

    pace = pace_of(learn(timed))

    assert pace.percents == {"sheet": 200, "raising": 80}
    assert pace.minutes(Task.CUT_BLANK, 20) == 40
    assert pace.minutes(Task.FOLD_TRAY, 7) == 14
    assert pace.minutes(Task.WALL, 14) == 12  # 11.2, rounded up as the table is
    assert pace.minutes(Task.MEASURE, 10) == 10
    assert pace.minutes("a task of tomorrow", 10) == 10


def test_work_with_animals_is_never_hurried():
    assert not {Task.ANIMALS_OUT, Task.ANIMALS_BACK, Task.KEEP_AWAY} & set(KIND_OF)


def test_nothing_learnt_changes_nothing():
    steps = plan_of(make_design()).steps

    assert AS_THE_TABLE.steps(steps) == steps
    slower = WorkPace({kind.value: 200 for kind in WorkKind}).steps(steps)
    assert [one.minutes for one in slower] == [2 * one.minutes for one in steps]
    assert [one.facts for one in slower] == [one.facts for one in steps]
