"""What a step's picture says of itself: that it is turned, and that nothing in it is new."""

from builds.drawing.space import Corner
from builds.drawing.viewpoint import View
from habitats.drawing.pen import Anchor, Pen, Point
from habitats.drawing.styles import Letter
from habitats.wording import message

LINE = 18.0
NOTHING_NEW = message("Nothing new in this picture")
_TURNED = {
    Corner.SE: message("Turned: view from the south-east"),
    Corner.SW: message("Turned: view from the south-west"),
    Corner.NE: message("Turned: view from the north-east"),
    Corner.NW: message("Turned: view from the north-west"),
}


def captions(pen: Pen, at: Point, view: View) -> float:
    """Lines of words, the first on a base line through ``at``; returns the depth used."""
    x, y = at
    used = 0.0
    if view.is_turned:
        pen.text((x, y), _TURNED[view.corner], Letter.NAME, Anchor.START)
        used += LINE
    if not view.shows:
        pen.text((x, y + used), NOTHING_NEW, Letter.LABEL, Anchor.START)
        used += LINE
    return used
