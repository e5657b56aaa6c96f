"""How a panel is measured: five of them in a row, from the first wire's edge to the last one's."""

from habitats.drawing.pen import Pen, Point
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.measures import METRIC, length
from habitats.wording import message

PANELS = 5
SHOWN_MM = 355  # an example: common practice, no source
_SIDE, _SQUARES = 58.0, 9
_LINE, _BELOW, _TICK = 22.0, 52.0, 4.0  # of the dimension lines


def panels_in_a_row(units: str = METRIC) -> str:
    """Five joined panels as SVG, with what is measured and what is worked out from it."""

    def draw(pen: Pen) -> None:
        for number in range(PANELS):
            _panel(pen, number * _SIDE)
        for number in range(PANELS + 1):
            for y in (0.0, _SIDE):
                pen.circle((number * _SIDE, y), 3.2, Style.JOINT)
        _measured(pen, (0, _SIDE + _BELOW), PANELS * _SIDE, length(PANELS * SHOWN_MM, units))
        _measured(pen, (0, _SIDE + _LINE), _SIDE, length(SHOWN_MM, units))

    description = message(
        "Five panels joined in a straight row. Measured from the outer edge of the first wire to "
        "the outer edge of the last: %(row)s. Divided by five, one panel is %(panel)s.",
        row=length(PANELS * SHOWN_MM, units),
        panel=length(SHOWN_MM, units),
    )
    return finished(draw, message("Measuring a panel"), description, kind="panel-row")


def _panel(pen: Pen, left: float) -> None:
    step = _SIDE / _SQUARES
    for number in range(1, _SQUARES):
        at = number * step
        pen.line([(left + at, 0), (left + at, _SIDE)], Style.MESH)
        pen.line([(left, at), (left + _SIDE, at)], Style.MESH)
    pen.line(
        [(left, 0), (left + _SIDE, 0), (left + _SIDE, _SIDE), (left, _SIDE), (left, 0)], Style.INK
    )


def _measured(pen: Pen, start: Point, long: float, words: str) -> None:
    """A dimension below the row, its ends drawn as strokes."""
    x, y = start
    for end in (x, x + long):
        pen.line([(end, _SIDE + 2 * _TICK), (end, y + _TICK)], Style.DIMENSION)
        pen.line([(end - _TICK, y + _TICK), (end + _TICK, y - _TICK)], Style.THIN)
    pen.line([(x, y), (x + long, y)], Style.DIMENSION)
    pen.text((x + long / 2, y - 4), words, Letter.FIGURE)
