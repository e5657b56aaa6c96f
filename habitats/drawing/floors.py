"""Floors that rule sets ask for, each as a square, all to one scale: space is seen, not read."""

from math import sqrt

from habitats.drawing.pen import Pen, Scaled
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.measures import METRIC, area_needed, length

UNITS_A_MM = 0.04  # of the finished picture: 1 : 94 on a screen of 96 dots an inch


def floor_square(area_mm2: int, name: str, *, is_binding: bool, units: str = METRIC) -> str:
    """The square of an area as SVG; dashed where nobody may answer to the rule set."""
    side = sqrt(area_mm2)
    ring = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]

    def draw(pen: Pen) -> None:
        scaled = Scaled(pen, UNITS_A_MM)
        if is_binding:
            scaled.area([ring], Style.UNDER)
        scaled.line([*ring, ring[0]], Style.INK if is_binding else Style.HIDDEN)

    description = (
        f"{area_needed(area_mm2, units)} as a square of {length(round(side), units)} a side, "
        "to the scale of the other rule sets on this page."
    )
    return finished(draw, name, description, kind="floor")
