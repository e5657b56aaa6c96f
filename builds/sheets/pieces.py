"""Blanks as pieces for the cutting engine.

The engine knows rectangles, not flutes. A stock sheet's flutes run along its height, so a blank
whose flutes must run along its width goes in turned, and one that may not turn is locked.
"""

from typing import NamedTuple

from builds.cutting import PiecePlacement
from builds.making.blank import Blank, Flute


class Shape(NamedTuple):
    """A rectangle to cut: width and height on the sheet, and whether it may be turned there.

    Of one that may be turned, the shorter side is the width, so that blanks of one size are one
    kind of piece, however they are drawn.
    """

    width_mm: int
    height_mm: int
    turnable: bool


def shape_of(blank: Blank) -> Shape:
    if blank.turnable:
        short, long = sorted((blank.width_mm, blank.height_mm))
        return Shape(short, long, True)
    if blank.flute is Flute.WIDTH:
        return Shape(blank.height_mm, blank.width_mm, False)
    return Shape(blank.width_mm, blank.height_mm, False)


def lies_turned(blank: Blank, placement: PiecePlacement) -> bool:
    """Whether the blank lies on the sheet turned by a quarter, from how it is drawn.

    A square one is turned by nobody but who marks it out: as it must be, or is wished.
    """
    if not blank.turnable or blank.width_mm == blank.height_mm:
        return blank.flute is Flute.WIDTH
    return (placement.width, placement.height) != (blank.width_mm, blank.height_mm)
