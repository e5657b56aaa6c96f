"""Squares of floor: true to scale, and told apart without colour."""

import re
from xml.etree import ElementTree

import pytest
from shapely import Polygon

from habitats.drawing.floors import UNITS_A_MM, floor_square


def outline(svg: str) -> Polygon:
    """The last line drawn, which is the square's."""
    data = re.findall(r' d="(M[^"]*)"', svg)[-1]
    steps = [
        tuple(float(one) for one in re.findall(r"-?[0-9.]+", step))
        for step in re.findall(r"[Ml]([^Ml]*)", data)
    ]
    points, (x, y) = [], (0.0, 0.0)
    for dx, dy in steps:
        x, y = x + dx, y + dy
        points.append((x, y))
    return Polygon(points)


@pytest.mark.parametrize("area_mm2", [38_710, 500_000, 2_000_000, 6_000_000])
def test_a_square_has_the_area_that_is_asked_for(area_mm2):
    drawn = outline(floor_square(area_mm2, "Floor", is_binding=True))

    assert drawn.area / UNITS_A_MM**2 == pytest.approx(area_mm2, rel=0.03)


def test_a_floor_that_nobody_may_answer_to_is_dashed_and_not_hatched():
    binding = floor_square(500_000, "Floor", is_binding=True)
    shown = floor_square(500_000, "Floor", is_binding=False)

    assert "s-hatch" in binding
    assert "stroke-dasharray" not in binding
    assert "s-hatch" not in shown
    assert "stroke-dasharray" in shown


def test_a_square_is_told_in_words():
    svg = floor_square(500_000, "Swiss <law>", is_binding=True)

    root = ElementTree.fromstring(svg)
    assert root.get("aria-label") == "Swiss <law>"
    assert "0.50\xa0m² as a square of 707\xa0mm a side" in svg
