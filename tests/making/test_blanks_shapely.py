"""Blanks against shapely, a reference for plane geometry."""

import pytest
from hypothesis import given, settings
from shapely import LineString, MultiLineString, Polygon, box, unary_union

from builds.making.blank import Blank
from builds.making.blanks import make_blanks
from habitats.structure.design import TrayRule
from habitats.structure.structure import raise_structure
from habitats.structure.tray import Tray
from tests.support.designs import designs, make_design


def floor_of(tray: Tray) -> Polygon:
    outer, *holes = [[(wall.x1, wall.y1) for wall in ring] for ring in tray.rings]
    return Polygon(outer, holes)


def base_of(blank: Blank) -> Polygon:
    base = blank.base
    return box(base.x1, base.y1, base.x2, base.y2)


def placed(blank: Blank) -> Polygon:
    """The outline laid flat with its base in its place in the tray."""
    x, y = blank.base.x1 - blank.base.offset_x, blank.base.y1 - blank.base.offset_y
    return Polygon([(a + x, b + y) for a, b in blank.outline])


@settings(max_examples=20)
@given(designs())
def test_the_bases_of_a_trays_blanks_are_its_floor(design):
    structure = raise_structure(design)
    blanks = make_blanks(structure).blanks

    for tray in structure.trays:
        bases = [base_of(blank) for blank in blanks if blank.level == tray.level]
        assert unary_union(bases).equals(floor_of(tray))
        assert sum(base.area for base in bases) == tray.area_mm2


@settings(max_examples=20)
@given(designs())
def test_every_outline_is_a_valid_polygon_as_large_as_it_says(design):
    for blank in make_blanks(raise_structure(design)).blanks:
        outline = Polygon(blank.outline)
        assert outline.is_valid
        assert outline.bounds == (0, 0, blank.width_mm, blank.height_mm)


@settings(max_examples=20)
@given(designs())
def test_a_blank_stays_in_one_when_its_slits_are_cut(design):
    for blank in make_blanks(raise_structure(design)).blanks:
        outline = Polygon(blank.outline)
        slits = MultiLineString([line_of(slit) for slit in blank.slits])
        assert slits.is_empty or outline.covers(slits)
        assert (outline - slits.buffer(0.1, cap_style="flat")).geom_type == "Polygon"


@settings(max_examples=20)
@given(designs())
def test_scores_lie_on_the_blank_and_meet_slits_at_points_only(design):
    for blank in make_blanks(raise_structure(design)).blanks:
        slits = MultiLineString([line_of(slit) for slit in blank.slits])
        for score in map(line_of, blank.scores):
            assert Polygon(blank.outline).covers(score)
            assert score.intersection(slits).length == 0


@settings(max_examples=20)
@given(designs())
def test_beside_every_stretch_of_wall_lies_a_whole_wall_of_plastic(design):
    structure = raise_structure(design)
    blanks = make_blanks(structure).blanks

    for tray in structure.trays:
        flat = [(placed(b), base_of(b)) for b in blanks if b.level == tray.level]
        for ring in tray.rings:
            for wall in ring:
                edge = LineString([(wall.x1, wall.y1), (wall.x2, wall.y2)])
                # Floor lies on the right of a wall's walking direction, so its outside on the left.
                outside = edge.buffer(-tray.wall_mm, single_sided=True)
                assert walled_mm(edge, outside, flat) == pytest.approx(wall.length_mm)


def walled_mm(edge: LineString, outside: Polygon, flat: list[tuple[Polygon, Polygon]]) -> float:
    """Length of an edge beside which the blank whose base lies there has all of the wall."""
    length = 0.0
    for outline, base in flat:
        touching = edge.intersection(base)
        if touching.length:
            strip = touching.buffer(-1000, single_sided=True).intersection(outside)
            if strip.area and outline.covers(strip):
                length += touching.length
    return length


def test_the_plastic_of_a_simple_tray_is_floor_walls_and_corner_squares():
    structure = raise_structure(make_design(["##"] * 4, tray=TrayRule(150, 0, 1)))

    (blank,) = make_blanks(structure).blanks

    floor, walls, corners = 710 * 1420, 2 * (710 + 1420) * 150, 4 * 150 * 150
    assert Polygon(blank.outline).area == floor + walls + corners


def test_the_plastic_of_a_joined_tray_is_floor_walls_flaps_a_tab_and_two_laps():
    structure = raise_structure(make_design(["######"] * 3, tray=TrayRule(150, 0, 1)))

    blanks = make_blanks(structure).blanks

    floor, walls, corners = 2130 * 1065, 2 * (2130 + 1065) * 150, 4 * 150 * 150
    tab, laps = (2130 - 2 * 10) * 50, 2 * 50 * (150 - 10)
    plastic = sum(Polygon(blank.outline).area for blank in blanks)
    assert plastic == floor + walls + corners + tab + laps


def line_of(line: tuple[int, int, int, int]) -> LineString:
    return LineString([line[:2], line[2:]])
