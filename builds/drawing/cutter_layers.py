"""The layers of files for a cutter, once for DXF and SVG: name, colour, and what is done there.

Names are the same in every language, since a cutter's program is set up by them. Colours are
ours, dark enough to be read on white, and differ in lightness as well as in hue; the legend in
each file says what they mean. A legend is words only, in its own colour: a program that goes by
colour and not by layer would cut a sample line, or words in the colour of a cut.
"""

from collections.abc import Iterator
from enum import Enum

from builds.drawing.blanks import flute_way
from builds.making.blank import Blank, Line
from builds.making.lying import LyingBlank, SideUp
from builds.making.part_names import numbered_part
from habitats.wording import message

LETTERS_MM = 8  # height of all words
MARK_INSET_MM = 12

Rgb = tuple[int, int, int]


class Layer(Enum):
    """Name, colour, a DXF index of its own near to it for plain readers, what the colour is called,
    and what is done there.
    """

    CUT = (
        "CUT",
        (0x26, 0x21, 0x1B),
        49,
        message("near black"),
        message("cut through along the outline"),
    )
    SLIT = ("SLIT", (0xA6, 0x5F, 0x00), 32, message("ochre"), message("slit, cut through"))
    SCORE_THIS_SIDE = (
        "SCORE-THIS-SIDE",
        (0x00, 0x5F, 0x56),
        129,
        message("dark green"),
        message("score one skin on the side that is up; it folds down, away from the score"),
    )
    SCORE_OTHER_SIDE = (
        "SCORE-OTHER-SIDE",
        (0x9C, 0x5F, 0xB5),
        203,
        message("violet"),
        message("score one skin on the side below: turn the piece over first; it folds up"),
    )
    HOLES = ("HOLES", (0x7A, 0x1F, 0x3D), 234, message("dark red"), message("hole, cut through"))
    MARKS = (
        "MARKS",
        (0x7A, 0x6D, 0x58),
        33,
        message("grey brown"),
        message("words and marks, not cut; the next piece ends at a marked line"),
    )
    SHEET = (
        "SHEET",
        (0xB5, 0xA9, 0x93),
        9,
        message("light grey"),
        message("edge of the sheet; not cut"),
    )
    OFFCUT = ("OFFCUT", (0x6E, 0x7B, 0x52), 75, message("olive"), message("left over; not cut"))
    KNIFE = (
        "KNIFE",
        (0x1B, 0x4D, 0xB3),
        162,
        message("blue"),
        message("straight cuts in order, for a knife"),
    )
    LEGEND = (
        "LEGEND",
        (0x5C, 0x52, 0x43),
        25,
        message("dark brown"),
        message("this legend; not cut"),
    )

    @property
    def label(self) -> str:
        return self.value[0]

    @property
    def rgb(self) -> Rgb:
        return self.value[1]

    @property
    def hex(self) -> str:
        red, green, blue = self.rgb
        return f"#{red:02x}{green:02x}{blue:02x}"

    @property
    def index(self) -> int:
        return self.value[2]

    @property
    def words(self) -> str:
        """The layer's line of the legend."""
        _label, _rgb, _index, colour, what = self.value
        return message(
            "%(layer)s, %(colour)s: %(what)s", layer=self.label, colour=colour, what=what
        )


OF_A_BLANK = (
    Layer.CUT,
    Layer.SLIT,
    Layer.SCORE_THIS_SIDE,
    Layer.SCORE_OTHER_SIDE,
    Layer.HOLES,
    Layer.MARKS,
    Layer.LEGEND,
)

UP_WORDS = {
    SideUp.INSIDE: message("inside up"),
    SideUp.OUTSIDE: message("outside up"),
}
UP_SENTENCES = {
    SideUp.INSIDE: message("Drawn with the inside up: the side that you see becomes the inside."),
    SideUp.OUTSIDE: message(
        "Drawn turned over, as in a mirror: the side that you see becomes the outside."
    ),
}


def knife_lines(
    seen: LyingBlank, *, turned_over: bool = False
) -> tuple[tuple[Layer, tuple[Line, ...]], ...]:
    """Slits and scores by their layers. ``turned_over``: the other side is up in the file."""
    near, far = Layer.SCORE_THIS_SIDE, Layer.SCORE_OTHER_SIDE
    if turned_over:
        near, far = far, near
    return ((Layer.SLIT, seen.slits), (near, seen.near_scores), (far, seen.far_scores))


def layers_used(seen: LyingBlank) -> Iterator[Layer]:
    """Layers on which such a piece has something to do."""
    yield Layer.CUT
    yield from (layer for layer, lines in knife_lines(seen) if lines)
    if seen.holes:
        yield Layer.HOLES
    yield Layer.MARKS


def title_of(blank: Blank, number: int) -> str:
    """What a piece's file begins with: what it is, and how the flutes run where that is settled."""
    way, name = flute_way(blank), numbered_part(number, blank.code)
    return message("%(name)s, flutes %(way)s", name=name, way=way) if way else name


def mark_spot(seen: LyingBlank) -> tuple[int, int]:
    """Top left corner of the words on the piece: on its floor, or between a strip's scores."""
    blank = seen.blank
    if base := blank.base:
        wide = base.x2 - base.x1
        left = base.offset_x if seen.up is SideUp.INSIDE else blank.width_mm - base.offset_x - wide
        return left + MARK_INSET_MM, base.offset_y + MARK_INSET_MM
    upright = [line.x1 for line in (*seen.near_scores, *seen.far_scores) if line.x1 == line.x2]
    return min(upright, default=0) + MARK_INSET_MM // 2, 4 * MARK_INSET_MM
