"""The usual wishes for what stands: each one stands by itself, or says why it cannot be."""

import pytest

from habitats.structure.design import Limits
from habitats.structure.lattice import Cell, Side
from habitats.structure.reach import out_of_reach
from habitats.structure.structure import raise_structure
from habitats.structure.wishes import wishes_for
from tests.support.designs import make_design, replace

LIMITS = Limits()


def wish(design, code):
    return next(one for one in wishes_for(design, LIMITS) if one.code == code)


def after(design, code):
    found = wish(design, code)
    assert found.moved is not None, found.why
    return found.moved


SHAPES = [
    ("####", "####"),
    ("##", "##", "##", "##"),
    ("####", "####", "##.."),
    ("##.##", "#####"),
    ("#####", ".###.", ".###."),
]


@pytest.mark.parametrize("plan", SHAPES)
def test_each_wish_stands_or_says_why_it_cannot_be(plan):
    for one in wishes_for(make_design(plan), LIMITS):
        if one.moved is None:
            assert one.why
        else:
            raise_structure(one.moved.design, LIMITS)


def test_those_that_can_be_come_first():
    able = [one.moved is not None for one in wishes_for(make_design(SHAPES[0]), LIMITS)]

    assert able == sorted(able, reverse=True)


def test_an_upper_level_lies_over_the_short_end_with_its_ramp_inward():
    design = after(make_design(("####", "####")), "upper-E").design
    (ramp,) = design.ramps

    assert design.levels[1].cells == {Cell(0, 3), Cell(1, 3)}
    assert ramp.side is Side.W
    assert design.guards is None


def test_the_ends_are_those_of_the_longer_way():
    codes = {one.code for one in wishes_for(make_design(("##", "##", "##")), LIMITS)}

    assert {"upper-N", "upper-S", "longer-N", "longer-S"} <= codes
    assert "upper-E" not in codes


def test_on_an_end_of_one_cell_the_level_takes_the_row_before_it_too():
    design = after(make_design(("#####", ".###.", ".###.")), "upper-W").design

    assert len(design.levels[1].cells) >= 2


def test_a_row_beyond_the_west_end_moves_all_cells_by_one():
    moved = after(make_design(("####", "####")), "longer-W")

    assert (moved.rows, moved.cols) == (0, 1)
    assert moved.design.cols == 5


def test_a_second_level_at_one_end_is_refused():
    design = after(make_design(("######", "######")), "upper-E").design

    assert "upper level at this end already" in wish(design, "upper-E").why


@pytest.mark.parametrize(
    ("changes", "code", "why"),
    [
        ({}, "guards", "There is no ramp"),
        ({}, "supports", "There is no upper level"),
        ({"lid": True}, "lid", "There is a lid already"),
    ],
)
def test_what_is_there_or_not_needed_is_refused_with_the_reason(changes, code, why):
    assert why in wish(replace(make_design(("####", "####")), **changes), code).why


def test_supports_and_guards_are_worked_out_again_where_they_were_left_out():
    design = after(make_design(("####", "####", "####")), "upper-E").design
    bare = replace(design, guards=(), supports=())

    assert after(bare, "guards").design.guards is None
    assert after(bare, "supports").design.supports is None


def test_front_doors_stand_where_floor_under_an_upper_level_is_out_of_reach():
    """Common practice, no source: a hand reaches 700 mm; under a floor only through a door."""
    design = after(make_design(("####", "####")), "upper-E").design
    with_door = after(design, "door").design
    structure = raise_structure(with_door, LIMITS)

    assert with_door.of_kind("door")
    assert not out_of_reach(structure.design, 0).covered
    assert "reaches all floor" in wish(with_door, "door").why


def test_where_walls_of_the_room_stand_all_round_no_door_is_placed():
    design = after(make_design(("####", "####")), "upper-E").design
    walled = replace(design, room_walls=frozenset(Side))

    assert "No open wall" in wish(walled, "door").why


def test_a_wish_past_the_largest_lattice_is_refused_in_words():
    wide = make_design(("#" * 24, "#" * 24))

    assert "24" in wish(wide, "longer-E").why
