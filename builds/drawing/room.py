"""How large a step's picture is, so that its figures are read on a phone and on paper.

A phone of 360 px has 326 px for it, the packet 92 mm by 84 mm. With these rooms, letters of 12
units are 12 px there or more, and figures 2 mm high on paper (common practice, no source).
"""

from typing import NamedTuple

from habitats.drawing.svg import MARGIN


class PictureRoom(NamedTuple):
    """Units that a thing takes at most, without words and measures around it."""

    width: float
    height: float


PHONE_WIDTH = 326.0
WORDS_WIDTH = PHONE_WIDTH - 2 * MARGIN
# Beside the enclosure lie the north mark and letters, and below it captions and details.
STEP_SCENE = PictureRoom(266.0, 142.0)
# A blank has its measures on two sides, and a legend of up to four lines; a phone shows its step's
# words beside it. On paper there is more room: it is measured from there.
STEP_BLANK = PictureRoom(200.0, 124.0)
PRINTED_BLANK = PictureRoom(214.0, 230.0)
