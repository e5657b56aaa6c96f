"""Hatching against shapely: the same lines, clipped to the same area."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from habitats.drawing.hatch import hatch_lines

SQUARE = [(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)]


def test_level_hatching_crosses_a_square_from_side_to_side():
    assert hatch_lines([SQUARE], 0, 10) == [
        ((0, 10), (40, 10)),
        ((0, 20), (40, 20)),
        ((0, 30), (40, 30)),
    ]


def test_a_hole_stays_free():
    hole = [(10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0)]

    for start, end in hatch_lines([SQUARE, hole], 45, 4):
        middle = Point((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        assert not Polygon(hole).contains(middle)


@given(
    st.lists(st.integers(5, 60), min_size=5, max_size=9),
    st.integers(-90, 90),
    st.integers(3, 15),
)
def test_lines_cover_what_an_outside_reference_says(radii, angle, spacing):
    count = len(radii)
    star = [
        (r * math.cos(math.tau * i / count), r * math.sin(math.tau * i / count))
        for i, r in enumerate(radii)
    ]
    shape = Polygon(star)
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    expected = 0.0
    for number in range(-200, 201):
        v = number * spacing
        far = LineString([(-500 * c - v * s, -500 * s + v * c), (500 * c - v * s, 500 * s + v * c)])
        expected += shape.intersection(far).length

    drawn = sum(math.dist(start, end) for start, end in hatch_lines([star], angle, spacing))

    # A line that only touches a corner may fall either way; none is longer than the shape.
    assert drawn == pytest.approx(expected, abs=1e-6)
