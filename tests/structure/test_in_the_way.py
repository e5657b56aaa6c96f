"""Walls through trays and panels across ramps: refused, and by shapely nothing else is."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Polygon, box, union_all

from habitats.structure.design import Design, Level, RampWish
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Cell, Face, PanelPlace, Side, outer_edges, wall_place
from habitats.structure.read import plan_cells
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, Guard, designs, footprints, make_design, replace

HAIR = 1e-6


def stacked(*levels: tuple[int, int, list[str]], **changes: object) -> Design:
    """A design of these levels: height, tiers, plan."""
    whole = tuple(Level(z, tiers, plan_cells(plan)) for z, tiers, plan in levels)
    return replace(make_design(levels[0][2]), levels=whole, **changes)


def faults_of(design: Design) -> dict[str, str]:
    try:
        raise_structure(design)
    except BadDesign as bad:
        return {fault.place: fault.message for fault in bad.faults}
    return {}


# --- Walls through upper trays ---

ROUND_A_CELL = stacked((0, 2, ["###", "###"]), (1, 2, ["#..", "..."]), (2, 1, ["##.", "..."]))


def test_a_wall_that_rises_through_an_upper_tray_is_refused_with_place_value_and_what_is_allowed():
    assert faults_of(ROUND_A_CELL) == {
        "levels[1].wall_panels": "2 tiers of wall from height 1 rise through the floor and tray of "
        "level 2, at height 2: side E of row 1, column 1. At most 1 can stand under it "
        "(wall_panels: 1); or let level 2 end at these walls."
    }


def test_who_draws_is_told_what_to_set_on_the_board():
    with pytest.raises(BadDesign) as refused:
        raise_structure(ROUND_A_CELL)
    said = refused.value.faults[0].on_screen

    assert "Its walls are 2 panels high" in said
    assert "Set “Walls, panels high” to 1" in said
    assert "wall_panels" not in said


def test_with_one_tier_less_it_stands():
    ground, one, two = ROUND_A_CELL.levels
    assert raise_structure(replace(ROUND_A_CELL, levels=(ground, replace(one, wall_panels=1), two)))


def test_every_wall_and_every_level_in_the_way_is_named():
    design = stacked((0, 2, ["###", "###"]), (1, 2, ["#.#", "..."]), (2, 1, ["###", "..."]))
    one, other = (replace(design.levels[1], cells=frozenset([Cell(0, col)])) for col in (0, 2))
    told = faults_of(replace(design, levels=(design.ground, one, other, design.levels[2])))

    assert "side E of row 1, column 1" in told["levels[1].wall_panels"]
    assert "side W of row 1, column 3" in told["levels[2].wall_panels"]


def test_a_wall_at_the_edge_of_the_upper_floor_is_none_in_its_way():
    assert raise_structure(stacked((0, 3, ["##"]), (1, 2, ["#."]), (2, 1, ["#."])))


@st.composite
def stacks(draw: st.DrawFn) -> Design:
    """Levels one over the other, each up to three tiers high, however their walls run."""
    ground = Level(0, draw(st.integers(1, 3)), draw(footprints()))
    levels = [ground]
    for _ in range(draw(st.integers(1, 3))):
        z = levels[-1].z + draw(st.integers(1, 2))
        cells = draw(footprints(within=ground.cells))
        levels.append(Level(z, draw(st.integers(1, 3)), cells))
    return replace(make_design(["#" * 5] * 5), levels=tuple(levels))


def line(place: PanelPlace) -> LineString:
    """The panel as seen from above, y southward."""
    end = (place.col + 1, place.row) if place.face is Face.EW else (place.col, place.row + 1)
    return LineString([(place.col, place.row), end])


def floor(level: Level) -> Polygon:
    squares = [box(cell.col, cell.row, cell.col + 1, cell.row + 1) for cell in level.cells]
    return union_all(squares).buffer(-HAIR)


def pierces(design: Design) -> set[int]:
    """Levels with a wall that is at the height of an upper floor, inside it."""
    return {
        index
        for index, level in enumerate(design.levels)
        for above in design.levels[index + 1 :]
        if level.z <= above.z < level.top
        for edge in outer_edges(level.cells)
        if line(wall_place(*edge, 0)).intersection(floor(above)).length > HAIR
    }


@given(stacks())
def test_just_the_walls_that_shapely_finds_inside_an_upper_floor_are_refused(design):
    told = faults_of(design)
    found = {int(place[7]) for place, said in told.items() if "rise through" in said}

    assert found == pierces(design)


# --- Guards ---


def test_a_guard_in_the_middle_of_an_upper_tray_is_refused():
    design = stacked(
        (0, 1, ["##"]),
        (1, 1, ["##"]),
        dividers=(Divider(0, 0, 0, Side.E),),
        guards=(Guard(0, 0, Side.E, 1),),
    )

    assert faults_of(design) == {
        "guards[0]": "A guard at row 1, column 1, side E, height 1 would stand in the middle of "
        "the floor and tray of level 1. Guards stand on walls round a floor; for a wall across it "
        "name a divider."
    }


# --- Across a ramp's lane ---

LOFT = stacked(
    (0, 3, ["#####", "#####"]),
    (1, 2, ["#####", "#####"]),
    (2, 1, ["#....", "....."]),
    ramps=(RampWish(2, 0, 0, Side.E),),
)


def test_a_divider_that_rises_across_a_ramps_lane_is_refused_where_it_stands():
    told = faults_of(replace(LOFT, dividers=(Divider(0, 0, 1, Side.E),)))

    assert told.keys() == {"ramps[0]"}
    assert "before the divider on side E of row 1, column 2" in told["ramps[0]"]
    assert "runs 748 mm" in told["ramps[0]"]
    assert "only 355 mm" in told["ramps[0]"]


@pytest.mark.parametrize("divider", [Divider(0, 0, 1, Side.S), Divider(0, 0, 3, Side.E)])
def test_one_beside_the_lane_or_beyond_the_foot_is_not(divider):
    assert raise_structure(replace(LOFT, dividers=(divider,)))


def crossed(design: Design, structure_panels: set[PanelPlace], ramps: tuple) -> bool:
    """Whether a panel stands across a ramp, by their lines on the plan; the doorway is where it
    begins."""
    return any(
        line(place).crosses(way(design, ramp))
        for ramp in ramps
        for place in structure_panels
        if place.is_upright
        and design.levels[ramp.landing].z <= place.z <= design.levels[ramp.level].z
    )


def way(design: Design, ramp) -> LineString:
    """The middle of a ramp on the plan, from just beyond its doorway to its foot."""
    down, right = ramp.side.step
    begin = ramp.cell.col + 0.5 + right / 2, ramp.cell.row + 0.5 + down / 2
    far = ramp.foot_mm / design.panel.size_mm
    ends = [(begin[0] + right * at, begin[1] + down * at) for at in (HAIR, far)]
    return LineString(ends)


@given(
    st.lists(
        st.builds(
            Divider,
            st.integers(0, 1),
            st.integers(0, 1),
            st.integers(0, 4),
            st.sampled_from([Side.E, Side.S]),
        ),
        max_size=4,
    ),
    st.integers(1, 3),
)
def test_a_ramp_that_stands_has_no_panel_across_it_by_shapely_and_one_that_is_refused_has(
    dividers, tiers
):
    ground, one, two = LOFT.levels
    levels = (replace(ground, wall_panels=tiers), one, two)
    design = replace(LOFT, levels=levels, dividers=tuple(dividers))
    ramps = raise_structure(LOFT).ramps
    told = faults_of(design)
    assume(not told.keys() - {"ramps[0]"})
    if not told:
        structure = raise_structure(design)
        assert not crossed(design, structure.places, structure.ramps)
    else:
        panels = {
            wall_place(one.cell, one.side, z)
            for one in dividers
            for z in range(one.z, design.levels[design.level_at(one.cell, one.z)].top)
        }
        assert crossed(design, panels, ramps)


@given(designs())
def test_no_guard_that_a_ramp_asks_for_stands_inside_an_upper_floor(design):
    for guard in raise_structure(design).guards:
        for level in design.levels[1:]:
            stands = line(wall_place(guard.cell, guard.side, 0))
            assert level.z != guard.z or stands.intersection(floor(level)).length < HAIR
