"""A walk over every step of random designs, with text and picture side by side, as a builder goes.

The reader has the words, colours and sizes of the SVG and what the step says, and no more.
"""

from itertools import groupby

import pytest
from hypothesis import given, settings

from builds.drawing.steps import step_picture, step_views
from builds.making.part_names import CONNECTOR, DOORWAY_PANEL, PLAIN_PANEL, TIE
from builds.making.reckoning import plan_of
from habitats.measures import length
from tests.support.designs import designs, make_design
from tests.support.step_pictures import StepPicture

LEAST_PX = 12  # common practice, no source


def walked(design):
    """Each step with its picture as read, in order."""
    told = plan_of(design)
    views = step_views(told.structure, told.steps)
    for index, step in enumerate(told.steps):
        drawn = step_picture(
            told.structure, told.blanks, told.steps, index, lengths=length, views=views
        )
        yield step, StepPicture(drawn)


def assert_right(design):
    walk = list(walked(design))
    at_the_site = [(step, picture) for step, picture in walk if not step.bench]
    for step, picture in walk:
        assert picture.px_on_phone >= LEAST_PX - 0.01, f"letters of {step.id}"
    assert_one_corner_after_the_other([picture for _step, picture in at_the_site])
    for step, picture in at_the_site:
        assert picture.shows_new != picture.says_nothing_new, f"what is new in {step.id}"
        assert_parts_are_those_of(step, picture)


def assert_one_corner_after_the_other(pictures):
    """None that was left comes back, and each turn is told where it comes."""
    corners = [corner for corner, _group in groupby(one.corner for one in pictures)]

    assert len(corners) == len(set(corners))
    assert [one.corner for one in pictures if one.is_turned] == corners[1:]


def assert_parts_are_those_of(step, picture):
    taken = {added.what: added.count for added in step.adds}

    assert picture.new_panels == taken.get(PLAIN_PANEL, 0) + taken.get(DOORWAY_PANEL, 0), step.id
    assert picture.seats.total() == taken.get(CONNECTOR, 0), step.id
    if step.places:
        assert picture.ties == taken.get(TIE, 0), step.id


@settings(max_examples=12)
@given(designs())
def test_every_step_of_any_design_is_told_by_its_picture(design):
    assert_right(design)


@pytest.mark.nightly
@settings(max_examples=300)
@given(designs())
def test_every_step_of_three_hundred_designs_is_told_by_its_picture(design):
    assert_right(design)


def test_the_reader_finds_a_part_that_the_picture_does_not_have():
    step, picture = next((s, p) for s, p in walked(make_design()) if s.places)
    picture.words.remove("A")

    with pytest.raises(AssertionError):
        assert_parts_are_those_of(step, picture)
