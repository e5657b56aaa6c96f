"""A drawing turned, mirrored and moved: made of the same parts, with the same floor."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.making.parts import count_panels
from habitats.structure import edit
from habitats.structure.design import Design, Level
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Cell, Side
from habitats.structure.read import design_from, document_of
from habitats.structure.space import floor_of
from habitats.structure.structure import raise_structure
from habitats.structure.whole import mirror, move_level, turn
from tests.support.designs import Divider, designs, make_design, ramp_from, replace

BALCONY = {"upper": ["..##", "...."], "ramps": (ramp_from(0, 2, Side.W),)}
cells = st.builds(Cell, st.integers(-2, 6), st.integers(-2, 6))


def parts_and_floor(design: Design) -> tuple[object, ...]:
    structure = raise_structure(design)
    return count_panels(structure), len(structure.joints), floor_of(structure)


def test_what_lay_north_lies_east_after_a_turn():
    turned = turn(make_design(["###", "#.."], **BALCONY | {"upper": ["..#", "..."]}))

    assert turned.ground.cells == {Cell(0, 0), Cell(0, 1), Cell(1, 1), Cell(2, 1)}
    assert (turned.ramps[0].cell, turned.ramps[0].side) == (Cell(2, 1), Side.N)


@settings(max_examples=25)
@given(designs())
def test_four_turns_leave_a_drawing_as_it_was(design):
    assert turn(turn(turn(turn(design)))) == design


@settings(max_examples=25)
@given(designs())
def test_mirrored_twice_a_drawing_is_as_it_was(design):
    assert mirror(mirror(design)) == design


@settings(max_examples=25)
@given(designs(), st.sampled_from([turn, mirror]))
def test_parts_and_floor_stay_the_same(design, change):
    """But for rounding: a tray's measures are counted from its north-west corner."""
    exact = replace(design, tray=replace(design.tray, round_mm=1))

    assert parts_and_floor(change(exact)) == parts_and_floor(exact)


@settings(max_examples=25)
@given(designs(), st.sampled_from([turn, mirror]))
def test_what_is_turned_or_mirrored_can_be_kept_and_read(design, change):
    assert design_from(document_of(change(design))) == change(design)


@settings(max_examples=25)
@given(designs(), cells, cells)
def test_a_rectangle_is_floor_or_clear_and_touches_nothing_else(design, corner, opposite):
    inside = edit.cells_between(corner, opposite)
    before = design.ground.cells

    after, rows, cols = edit.rectangle(design, 0, corner, opposite)
    ground = {Cell(row - rows, col - cols) for row, col in after.ground.cells}

    assert ground == (before - inside if inside <= before else before | inside)


def test_a_level_moves_with_what_stands_on_it():
    upper = make_design(["####", "####"], **BALCONY)
    divided = replace(upper, dividers=(Divider(1, 0, 2, Side.E), Divider(0, 1, 0, Side.E)))

    south, rows, cols = move_level(divided, 1, Side.S)

    assert (rows, cols) == (0, 0)
    assert south.levels[1].cells == {Cell(1, 2), Cell(1, 3)}
    assert south.ramps[0].cell == Cell(1, 2)
    assert {one.cell for one in south.dividers} == {Cell(1, 2), Cell(1, 0)}
    assert south.ground == divided.ground


@settings(max_examples=25)
@given(designs(), st.data())
def test_a_level_moved_and_moved_back_is_where_it_was(design, data):
    design = edit.trim(design).design
    index = data.draw(st.integers(0, len(design.levels) - 1))
    way = data.draw(st.sampled_from(Side))
    try:
        there = move_level(design, index, way).design
        back = move_level(there, index, way.opposite).design
    except BadDesign:
        return  # another level of the same height has a cell there

    assert back == design


def test_a_level_does_not_move_onto_one_of_the_same_height():
    pair = make_design(["####"], upper=["#..."])
    third = replace(pair, levels=(*pair.levels, Level(1, 1, frozenset({Cell(0, 1)}))))

    with pytest.raises(BadDesign, match="is already floor of level 1"):
        move_level(third, 2, Side.W)
