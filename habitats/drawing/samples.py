"""A short piece of a line, or a small area, as drawings have it: for lists of words."""

from habitats.drawing.pen import Pen, Point
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.wording import message

SAMPLE = 30.0
AREAS = frozenset(style for style in Style if style.look.fill or style.look.hatch)


def draw_sample(pen: Pen, at: Point, style: Style) -> None:
    x, y = at
    if style in AREAS:
        pen.area([[(x, y - 6), (x + SAMPLE, y - 6), (x + SAMPLE, y + 6), (x, y + 6)]], style)
    else:
        pen.line([(x, y), (x + SAMPLE, y)], style)


def sample(name: str, words: str) -> str:
    """The style of this name as a picture of its own, called ``words``; empty for no name."""
    if not name:
        return ""
    style = Style[name]
    return finished(
        lambda pen: draw_sample(pen, (0, 0), style),
        message("%(term)s, as drawn", term=words),
        message("A sample of the line."),
        kind="sample",
    )
