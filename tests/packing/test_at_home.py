"""What is left of a kit at home. That sheet and wire are cut before a box is packed is common
practice, without a source; the order is checked by the checker of the order of work.
"""

import pytest

from builds.making.check_order import faulty_needs
from builds.making.reckoning import plan_of
from builds.making.step import Task
from builds.packing.at_home import Doing, left_at_home, steps_at_home
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from

BENCH_TOOLS = {"knife", "straightedge", "mat", "file", "board"}


@pytest.fixture(scope="module")
def steps():
    """Of two levels and a ramp."""
    shape = make_design(
        ["####", "####"], upper=["#...", "#..."], ramps=(ramp_from(0, 0, Side.E, panels=3),)
    )
    return plan_of(shape).steps


def test_nothing_at_home_takes_a_tool_of_the_bench(steps):
    tools = {tool.code for step in steps_at_home(steps) for tool in step.tools}

    assert not tools & BENCH_TOOLS
    assert tools & BENCH_TOOLS != {tool.code for step in steps for tool in step.tools} & BENCH_TOOLS


def test_whatever_is_put_up_is_put_up_at_home(steps):
    home = steps_at_home(steps)

    for what in ("places", "joints", "trays", "ramps"):
        assert [getattr(one, what) for one in home if getattr(one, what)] == [
            getattr(one, what) for one in steps if getattr(one, what)
        ]


def test_each_step_at_home_can_be_begun(steps):
    assert list(faulty_needs(steps)) == []
    assert list(faulty_needs(steps_at_home(steps))) == []


def test_what_needs_a_piece_that_is_cut_needs_what_cutting_it_needed():
    work = [
        Doing("sort", (), Task.SORT),
        Doing("measure", ("sort",), Task.MEASURE),
        Doing("cut", ("measure",), Task.CUT_BLANK),
        Doing("fold", ("cut", "measure"), Task.FOLD_TRAY),
    ]

    assert left_at_home(work) == {"sort": (), "fold": ("sort",)}


def test_a_step_without_facts_stays_at_home():
    assert left_at_home([Doing("old", (), "")]) == {"old": ()}
