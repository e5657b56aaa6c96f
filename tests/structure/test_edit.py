"""Edits: what each does to a design, and that whatever they leave can be kept and read again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.structure import edit
from habitats.structure.design import PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.kinds import Role
from habitats.structure.lattice import Cell, Side
from habitats.structure.read import design_from, document_of
from tests.support.designs import Guard, designs

RAMP = {"level": 1, "row": 0, "col": 2, "side": "W"}


@pytest.fixture
def balcony(make_design):
    """A 2 x 4 ground, two cells up in its east, a ramp to the west and a divider."""
    return make_design(
        ["####", "####"],
        ["..##", "...."],
        ramps=[RAMP],
        dividers=[{"z": 0, "row": 1, "col": 0, "side": "E"}],
    )


def test_a_cell_is_toggled_to_floor_and_back(make_design):
    square = make_design(["##", "##"])

    longer = edit.toggle_cell(square, 0, Cell(0, 2)).design

    assert longer.cols == 3
    assert Cell(0, 2) in longer.ground.cells
    assert edit.toggle_cell(longer, 0, Cell(0, 2)) == (square, 0, 0)


def test_a_cell_north_west_of_the_lattice_moves_everything_by_one(balcony):
    moved = edit.paint(balcony, 0, [Cell(-1, -1), Cell(-1, 0)], floor=True)

    assert (moved.rows, moved.cols) == (1, 1)
    assert moved.design.ramps[0].cell == Cell(1, 3)
    assert moved.design.dividers[0].cell == Cell(2, 1)
    assert moved.design.levels[1].cells == {Cell(1, 3), Cell(1, 4)}


def test_guards_move_with_the_lattice(make_design):
    guarded = make_design(["##"], guards=[{"row": 0, "col": 0, "side": "N", "z": 1}])

    moved = edit.paint(guarded, 0, [Cell(0, -1)], floor=True)

    assert moved.design.guards == (Guard(0, 1, Side.N, 1),)


def test_what_stands_on_a_cell_goes_with_it(balcony):
    without_ramp = edit.paint(balcony, 1, [Cell(0, 2)], floor=False).design
    without_divider = edit.paint(balcony, 0, [Cell(1, 1)], floor=False).design

    assert without_ramp.ramps == ()
    assert without_divider.dividers == ()
    assert without_divider.ramps == balcony.ramps


def test_the_last_cell_may_go_and_leaves_a_lattice_of_one(make_design):
    empty = edit.toggle_cell(make_design(["#"]), 0, Cell(0, 0)).design

    assert (empty.rows, empty.cols, empty.ground.cells) == (1, 1, frozenset())


def test_no_drawing_grows_past_24_cells(make_design):
    longest = make_design(["#" * 24])

    with pytest.raises(BadDesign, match="25 cells; the most is 24"):
        edit.toggle_cell(longest, 0, Cell(0, 24))


def test_a_level_is_added_over_the_highest_and_may_copy_a_footprint(balcony):
    empty = edit.add_level(balcony)
    copied = edit.add_level(balcony, like=1)

    assert (empty.levels[2].z, empty.levels[2].cells) == (2, frozenset())
    assert copied.levels[2].cells == balcony.levels[1].cells


def test_a_fifth_level_is_refused(balcony):
    tower = edit.add_level(edit.add_level(balcony))

    with pytest.raises(BadDesign, match="at most 4 levels"):
        edit.add_level(tower)


def test_a_level_goes_with_its_ramps_and_the_others_are_counted_anew(make_design):
    tower = make_design(["####", "####"], ["..##", "...."], ramps=[RAMP])
    tower = edit.add_level(tower, like=1)
    tower = edit.toggle_ramp(tower, 2, Cell(0, 2), Side.W)

    lower = edit.remove_level(tower, 1).design

    assert [level.z for level in lower.levels] == [0, 2]
    assert [ramp.level for ramp in lower.ramps] == [1]


def test_the_ground_cannot_be_taken_away(balcony):
    with pytest.raises(BadDesign, match="ground cannot be removed"):
        edit.remove_level(balcony, 0)


def test_a_lifted_level_takes_its_dividers_along_and_keeps_its_order(make_design):
    design = make_design(
        ["###"], ["##."], dividers=[{"z": 1, "row": 0, "col": 0, "side": "E"}], ramps=[RAMP]
    )
    design = edit.add_level(design, like=1)

    lifted = edit.set_height(design, 1, 3)

    assert [level.z for level in lifted.levels] == [0, 2, 3]
    assert lifted.dividers[0].z == 3
    assert lifted.ramps[0].level == 2


def test_two_levels_of_one_height_may_not_share_a_cell(make_design):
    design = edit.add_level(make_design(["##"], ["##"]), like=1)

    with pytest.raises(BadDesign, match="is already floor of level 1"):
        edit.set_height(design, 2, 1)


def test_a_divider_named_from_either_cell_is_the_same(make_design):
    pair = make_design(["##"])

    divided = edit.toggle_fitting(pair, Role.DIVIDER, 0, Cell(0, 0), Side.E)

    assert edit.toggle_fitting(divided, Role.DIVIDER, 0, Cell(0, 1), Side.W) == pair


def test_a_divider_needs_two_cells(make_design):
    with pytest.raises(BadDesign, match="between two cells"):
        edit.toggle_fitting(make_design(["##"]), Role.DIVIDER, 0, Cell(0, 0), Side.N)


def test_a_ramp_is_toggled_by_its_edge(balcony):
    gone = edit.toggle_ramp(balcony, 1, Cell(0, 2), Side.W)
    back = edit.toggle_ramp(gone, 1, Cell(0, 2), Side.W)

    assert gone.ramps == ()
    assert back.ramps == balcony.ramps


@pytest.mark.parametrize(
    ("level", "cell", "side"),
    [
        (0, Cell(0, 0), Side.W),
        (1, Cell(0, 2), Side.E),
        (1, Cell(1, 0), Side.W),
    ],
)
def test_a_ramp_needs_an_outer_edge_of_an_upper_level(balcony, level, cell, side):
    with pytest.raises(BadDesign, match="outer edges"):
        edit.toggle_ramp(balcony, level, cell, side)


def test_ramps_keep_to_the_squares_of_new_panels(balcony):
    coarse = edit.set_panel(balcony, PanelSize(300, 3))

    assert coarse.ramps[0].overlap_squares == 2
    assert coarse.ramps[0].bend_squares == 1
    assert design_from(document_of(coarse)) == coarse


@given(designs(), st.data())
def test_any_stroke_leaves_a_design_that_can_be_kept_and_read(design, data):
    level = data.draw(st.integers(0, len(design.levels) - 1))
    spots = st.builds(Cell, st.integers(-1, design.rows), st.integers(-1, design.cols))
    cells = data.draw(st.lists(spots, min_size=1, max_size=4))
    try:
        painted = edit.paint(design, level, cells, floor=data.draw(st.booleans())).design
    except BadDesign:
        return  # another level of the same height has the cell

    assert design_from(document_of(painted)) == painted


@given(designs())
def test_a_ring_cell_drawn_and_taken_away_leaves_the_trimmed_design(design):
    trimmed = edit.trim(design).design

    grown = edit.toggle_cell(trimmed, 0, Cell(-1, -1))
    back = edit.toggle_cell(grown.design, 0, Cell(0, 0))

    assert back.design == trimmed
    assert (grown.rows + back.rows, grown.cols + back.cols) == (0, 0)
