"""Hatching as lines: an area's filling worked out here, not left to the renderer's patterns.

Patterns need ids that must not meet in one page, and printers of SVG draw them unevenly. Lines
do not, and a test can look at them.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, cos, floor, radians, sin

from habitats.drawing.pen import Point, Ring


def hatch_lines(
    rings: Sequence[Ring], angle_deg: float, spacing: float
) -> list[tuple[Point, Point]]:
    """Lines at an angle, ``spacing`` apart, clipped to the rings by the even-odd rule.

    Lines lie on one grid through the origin, so that hatching runs on from area to area.
    """
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    # Turned so that the hatch lines are level: u along them, v across.
    turned = [[(x * c + y * s, y * c - x * s) for x, y in ring] for ring in rings]
    heights = [v for ring in turned for _u, v in ring]
    lines = []
    for number in range(floor(min(heights) / spacing) + 1, ceil(max(heights) / spacing)):
        v = number * spacing
        for u1, u2 in _inside(turned, v):
            lines.append(((u1 * c - v * s, u1 * s + v * c), (u2 * c - v * s, u2 * s + v * c)))
    return lines


def _inside(rings: Sequence[Ring], v: float) -> list[tuple[float, float]]:
    """Stretches of the level line at ``v`` that lie inside the rings."""
    crossings = []
    for ring in rings:
        for (u1, v1), (u2, v2) in pairwise([*ring, ring[0]]):
            if (v1 <= v) != (v2 <= v):
                crossings.append(u1 + (v - v1) / (v2 - v1) * (u2 - u1))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=True))
