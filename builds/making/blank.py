"""A blank: a flat pattern cut from sheet, with its slits and scores.

Coordinates are whole millimetres from the blank's own north-west corner, x eastward, y
southward, seen from the side that becomes the inside of the tray.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Line(NamedTuple):
    """A straight slit (cuts through) or score (folds) between two points."""

    x1: int
    y1: int
    x2: int
    y2: int


class Hole(NamedTuple):
    """A round hole for a tie."""

    x: int
    y: int
    diameter: int


class Flute(StrEnum):
    """Along which side of the blank the sheet's flutes run."""

    WIDTH = "width"
    HEIGHT = "height"


@dataclass(frozen=True, slots=True)
class Base:
    """The part of a blank that lies flat as floor: a rectangle in the tray's coordinates.

    ``offset_x`` and ``offset_y`` are where its north-west corner lies on the blank.
    """

    x1: int
    y1: int
    x2: int
    y2: int
    offset_x: int
    offset_y: int


@dataclass(frozen=True, slots=True)
class Blank:
    """One piece to cut from sheet.

    ``outline`` is the cut edge as corners going round; ``width_mm`` by ``height_mm`` is the
    rectangle it is cut from. ``level`` is the index of the tray it belongs to, None for a ramp's
    strip; ``ramp`` is the index of that ramp, None for a tray. ``base`` is None for pieces
    without floor (strips of wall, ramp strips).
    """

    name: str
    width_mm: int
    height_mm: int
    flute: Flute
    outline: tuple[tuple[int, int], ...]
    slits: tuple[Line, ...] = ()
    scores: tuple[Line, ...] = ()
    holes: tuple[Hole, ...] = ()
    quantity: int = 1
    level: int | None = None
    ramp: int | None = None
    base: Base | None = None
