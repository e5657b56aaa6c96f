"""Floors that rule sets ask for, each as a square, all to one scale: space is seen, not read."""

from math import sqrt

from habitats.drawing.pen import Pen, Scaled
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.measures import METRIC, area_needed, length
from habitats.wording import message

UNITS_A_MM = 0.04  # of the finished picture: 1 : 94 on a screen of 96 dots an inch


def floor_square(area_mm2: int, name: str, *, is_binding: bool, units: str = METRIC) -> str:
    """The square of an area as SVG; dashed where nobody has to follow the space standard."""
    side = sqrt(area_mm2)
    ring = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]

    def draw(pen: Pen) -> None:
        scaled = Scaled(pen, UNITS_A_MM)
        if is_binding:
            scaled.area([ring], Style.UNDER)
        scaled.line([*ring, ring[0]], Style.INK if is_binding else Style.HIDDEN)

    description = message(
        "%(area)s as a square of %(side)s a side, to the scale of the other space standards on "
        "this page.",
        area=area_needed(area_mm2, units),
        side=length(round(side), units),
    )
    return finished(draw, name, description, kind="floor")
