"""Blanks turned over: where each line lies then, and whether anything looks different."""

from dataclasses import replace

import pytest

from builds.making.blank import Blank, Flute, Hole, Line
from builds.making.lying import SideUp, is_same_turned, lying

# By hand: 400 wide and 300 high; a wall scored 50 from the west edge, a flap's score in the north.
WALL, FLAP, SLIT = Line(50, 0, 50, 300), Line(60, 80, 160, 80), Line(60, 0, 60, 80)


@pytest.fixture
def blank():
    return Blank(
        code="piece",
        width_mm=400,
        height_mm=300,
        flute=Flute.WIDTH,
        outline=((0, 0), (400, 0), (400, 300), (0, 300)),
        slits=(SLIT,),
        scores=(WALL, FLAP),
        flap_scores=(FLAP,),
        holes=(Hole(100, 200, 6),),
    )


def test_with_the_inside_up_walls_are_scored_on_the_far_side_and_flaps_on_the_near_one(blank):
    seen = lying(blank, SideUp.INSIDE)

    assert (seen.near_scores, seen.far_scores) == ((FLAP,), (WALL,))


def test_turned_over_left_and_right_change_and_the_scores_change_sides(blank):
    seen = lying(blank, SideUp.OUTSIDE)

    assert seen.near_scores == (Line(350, 0, 350, 300),)
    assert seen.far_scores == (Line(240, 80, 340, 80),)
    assert seen.slits == (Line(340, 0, 340, 80),)
    assert seen.holes == (Hole(300, 200, 6),)


def test_a_blank_with_one_scored_wall_looks_different_turned_over(blank):
    assert not is_same_turned(blank)


def test_a_blank_alike_from_left_and_right_looks_the_same(blank):
    both = (WALL, Line(350, 0, 350, 300))

    assert is_same_turned(replace(blank, slits=(), scores=both, flap_scores=()))


def test_a_flap_in_the_middle_is_not_to_be_scored_from_both_sides(blank):
    both, middle = (WALL, Line(350, 0, 350, 300)), Line(150, 80, 250, 80)

    assert not is_same_turned(
        replace(blank, slits=(), scores=(*both, middle), flap_scores=(middle,))
    )
