"""Every picture of a work, read as its reader sees it: what is new shows, and turns are told.

The reader here shares nothing with the program but the words and colours of the SVG: it paints the
marks one over the other and looks for strong colour that is left.
"""

from itertools import groupby

import pytest

from builds.drawing.altering import (
    alteration_step_picture,
    alteration_views,
    taking_step_picture,
    taking_views,
)
from builds.drawing.steps import step_picture, step_views
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.reckoning import plan_of
from habitats.measures import length
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, ramp_from
from tests.support.step_pictures import StepPicture


def assert_seen_right(pictures):
    read = [StepPicture(one) for one in pictures]
    corners = [corner for corner, _group in groupby(one.corner for one in read)]

    assert len(corners) == len(set(corners))
    assert [one.corner for one in read if one.is_turned] == corners[1:]
    for one in read:
        assert one.shows_new != one.says_nothing_new


def building(design):
    told = plan_of(design)
    views = step_views(told.structure, told.steps)
    for index in views:
        yield step_picture(
            told.structure, told.blanks, told.steps, index, lengths=length, views=views
        )


def test_the_usual_builds_are_seen_from_one_corner():
    for design in (
        make_design(["####", "####"]),
        make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),)),
    ):
        assert len({StepPicture(one).corner for one in building(design)}) == 1


@pytest.fixture(scope="module")
def change():
    loft = make_design(["####", "####"], upper=["...#", "...#"])
    ramped = make_design(
        ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
    )
    return alter(raise_structure(loft), raise_structure(ramped))


def test_an_alteration_is_seen_right(change):
    order = order_of_alteration(change)
    views = alteration_views(change, order)

    assert_seen_right(
        alteration_step_picture(change, order, index, lengths=length, views=views)
        for index in views
    )


def test_taking_down_is_seen_right(change):
    steps = retire(change.target).steps
    views = taking_views(change.target, steps)

    assert_seen_right(taking_step_picture(change.target, steps, index, views) for index in views)
