"""The inside of trays: worked values, shapes of every kind, and areas against shapely."""

from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from habitats.structure.design import Design, Level, PanelSize, Species, TrayRule
from habitats.structure.lattice import Cell, Side
from habitats.structure.tray import inside_mm, lay_tray


def design_of(cells, panel, rule):
    rows = max(cell.row for cell in cells) + 1
    cols = max(cell.col for cell in cells) + 1
    return Design("Test", Species.GUINEA_PIG, panel, rows, cols, (Level(0, 1, cells),), tray=rule)


def shapely_polygon(tray):
    outer, *holes = [[(wall.x1, wall.y1) for wall in ring] for ring in tray.rings]
    return Polygon(outer, holes)


@st.composite
def footprints(draw, most=5):
    """Any connected set of cells, grown one neighbour at a time from a corner."""
    cells = {Cell(0, 0)}
    for _ in range(draw(st.integers(0, 14))):
        edge = sorted(
            near
            for cell in cells
            for side in Side
            if (near := cell.beyond(side)) not in cells and min(near) >= 0 and max(near) < most
        )
        if edge:
            cells.add(draw(st.sampled_from(edge)))
    return frozenset(cells)


panels = st.integers(150, 500).map(PanelSize)
rules = st.builds(TrayRule, st.just(150), st.integers(0, 20), st.sampled_from([1, 5, 10, 25]))


def test_two_by_four_panels_of_355_give_710_by_1420_inside(make_design):
    # Arithmetic: 2 x 355 = 710, 4 x 355 = 1420.
    tray = lay_tray(make_design(["##"] * 4), 0)

    assert tray.bounds == (0, 0, 710, 1420)


def test_clearance_of_seven_turns_a_2_by_4_of_350_into_9508_cm2(make_design):
    # Worked value: 700 - 14 = 686, 1400 - 14 = 1386; 686 x 1386 mm = 9 508 cm2 = 10.23 ft2, which
    # fails 10.5 ft2 although the footprint of 700 x 1400 mm is 10.55 ft2.
    rule = {"wall_mm": 150, "clearance_mm": 7, "round_mm": 1}

    tray = lay_tray(make_design(["##"] * 4, size_mm=350, tray=rule), 0)

    assert tray.area_mm2 == 686 * 1386
    assert tray.area_mm2 / 92_903.04 < 10.5 < 700 * 1400 / 92_903.04


def test_inside_is_rounded_down_to_the_step():
    assert inside_mm(3, PanelSize(355), TrayRule(150, 0, 10)) == 1060


def test_inner_corner_of_an_l_keeps_its_walls_at_one_position(make_design):
    tray = lay_tray(make_design(["####", "##..", "##.."]), 0)

    corners = [(wall.x1, wall.y1) for wall in tray.rings[0]]
    assert corners == [(0, 0), (1420, 0), (1420, 350), (710, 350), (710, 1060), (0, 1060)]


def test_a_ring_has_an_inner_ring_of_walls_round_its_hole(make_design):
    tray = lay_tray(make_design(["###", "#.#", "###"]), 0)

    assert [len(ring) for ring in tray.rings] == [4, 4]


def test_cells_that_touch_at_a_corner_only_keep_their_walls_apart(make_design):
    tray = lay_tray(make_design(["##.", "#.#", "###"]), 0)

    assert len(tray.rings) == 1
    assert shapely_polygon(tray).is_valid


@given(footprints(), panels, rules)
def test_area_agrees_with_shapely(cells, panel, rule):
    tray = lay_tray(design_of(cells, panel, rule), 0)

    assert tray.area_mm2 == shapely_polygon(tray).area


@given(footprints(), panels, rules)
def test_no_wall_comes_nearer_to_the_wire_than_the_clearance(cells, panel, rule):
    tray = lay_tray(design_of(cells, panel, rule), 0)

    footprint = _squares(cells, panel.size_mm)
    assert footprint.buffer(-rule.clearance_mm, join_style="mitre").covers(shapely_polygon(tray))


@given(footprints(), panels, rules)
def test_every_outer_edge_of_every_cell_has_one_wall(cells, panel, rule):
    tray = lay_tray(design_of(cells, panel, rule), 0)

    walled = [(cell, wall.side) for ring in tray.rings for wall in ring for cell in wall.cells]
    outer = [(cell, side) for cell in cells for side in Side if cell.beyond(side) not in cells]
    assert sorted(walled) == sorted(outer)


@given(st.integers(1, 5), st.integers(1, 5), panels, rules)
def test_a_rectangle_is_as_long_inside_as_its_line_of_cells_allows(rows, cols, panel, rule):
    cells = frozenset(Cell(row, col) for row in range(rows) for col in range(cols))

    tray = lay_tray(design_of(cells, panel, rule), 0)

    across, down = inside_mm(cols, panel, rule), inside_mm(rows, panel, rule)
    assert [wall.length_mm for wall in tray.rings[0]] == [across, down, across, down]


def _squares(cells, size):
    from shapely.geometry import box
    from shapely.ops import unary_union

    return unary_union([box(c * size, r * size, (c + 1) * size, (r + 1) * size) for r, c in cells])
