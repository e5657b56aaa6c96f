"""Where north is: one mark for every picture, an arrow in a ring that lies on the floor."""

from collections.abc import Callable
from math import cos, hypot, pi, sin

from habitats.drawing.pen import Pen, Point
from habitats.drawing.styles import Letter, Style

RADIUS = 12.0
LETTER_OFF = 8.0  # from the ring to the middle of its letter
REACH = RADIUS + 2.5 * LETTER_OFF  # from the middle to where nothing of it is any more
_RING_CORNERS = 24


def _from_above(point: Point) -> Point:
    return point


def north_mark(
    pen: Pen,
    at: Point,
    on_paper: Callable[[Point], Point] = _from_above,
    *,
    radius: float = RADIUS,
) -> None:
    """The mark with its middle at ``at``.

    ``on_paper`` turns a way on the floor, so far east and so far south, into the way on paper;
    without it the floor is seen from above, north at the top. The letter stands upright.
    """

    def spot(east: float, south: float) -> Point:
        x, y = on_paper((east * radius, south * radius))
        return at[0] + x, at[1] + y

    turns = (2 * pi * number / _RING_CORNERS for number in range(_RING_CORNERS))
    pen.area([[spot(sin(turn), -cos(turn)) for turn in turns]], Style.INSIDE)
    pen.area([[spot(0, -1), spot(0.42, 0.62), spot(0, 0.3), spot(-0.42, 0.62)]], Style.SOLID)
    tip = spot(0, -1)
    x, y = tip[0] - at[0], tip[1] - at[1]
    beyond = 1 + LETTER_OFF / hypot(x, y)
    pen.text(
        (at[0] + x * beyond, at[1] + y * beyond + 0.35 * Letter.FIGURE.size), "N", Letter.FIGURE
    )
