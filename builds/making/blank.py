"""A blank: a flat pattern cut from sheet, with its slits and scores.

Coordinates are whole millimetres from the blank's own north-west corner, x eastward, y
southward, seen from the side that becomes the inside of the tray.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from builds.making.part_names import part_name
from builds.making.unmade import Unmade


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
    """One piece to cut from sheet: ``code`` as ``part_names`` has it.

    ``outline`` is the cut edge as corners going round; ``width_mm`` by ``height_mm`` is the
    rectangle it is cut from. ``level`` is the index of the tray it belongs to, None for a ramp's
    strip; ``ramp`` is the index of that ramp, None for a tray. ``base`` is None for pieces
    without floor (ramp strips).

    Scores are cut into the far skin, on the other side than the one shown, and fold toward the
    viewer. ``flap_scores`` are those among ``scores`` that are cut on the side shown, since a
    doorway's flap folds the other way.

    ``flute`` is a wish while ``turnable``: the piece may be turned on the sheet where that saves
    sheet. Where it is not, the flutes must run as it says. ``cut_flute`` is how they run in the
    piece as a sheet plan has it cut, None as long as there is no such plan.
    """

    code: str
    width_mm: int
    height_mm: int
    flute: Flute
    outline: tuple[tuple[int, int], ...]
    slits: tuple[Line, ...] = ()
    scores: tuple[Line, ...] = ()
    flap_scores: tuple[Line, ...] = ()
    holes: tuple[Hole, ...] = ()
    quantity: int = 1
    level: int | None = None
    ramp: int | None = None
    base: Base | None = None
    turnable: bool = True
    cut_flute: Flute | None = None

    @property
    def name(self) -> str:
        """What people call it, and write on it."""
        return part_name(self.code)

    @property
    def settled_flute(self) -> Flute | None:
        """How its flutes run for certain: as it is cut, or must be; None while it may be turned."""
        return self.cut_flute or (None if self.turnable else self.flute)


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A stock sheet; its flutes run along its height."""

    width_mm: int
    height_mm: int

    def takes(self, width_mm: int, height_mm: int, flute: Flute) -> bool:
        """Whether such a piece can be cut with its flutes as named."""
        along, across = (width_mm, height_mm) if flute is Flute.WIDTH else (height_mm, width_mm)
        return along <= self.height_mm and across <= self.width_mm


# Metric trade size of a 4 x 8 ft sheet, flutes along the long side. From memory, not checked.
STOCK_SHEET = SheetSize(1220, 2440)


@dataclass(frozen=True, slots=True)
class Join:
    """Where two pieces are taped together, named by the codes of their blanks.

    ``(x1, y1)`` to ``(x2, y2)`` is the seam in the tray's coordinates; for a ramp's strip it is
    in the strip's own. ``carrier`` is the piece whose tab, ``tab_mm`` long, lies under the other
    and whose walls lap the other's on the outside; a seam too short for a tab (0) is only taped.
    ``tape_mm`` is without allowance: both sides of the seam, and of the laps at its ends.
    """

    pieces: tuple[str, str]
    carrier: str
    tab_mm: int
    x1: int
    y1: int
    x2: int
    y2: int
    tape_mm: int
    level: int | None = None
    ramp: int | None = None

    @property
    def length_mm(self) -> int:
        return abs(self.x2 - self.x1) + abs(self.y2 - self.y1)


@dataclass(frozen=True, slots=True)
class BlankSet:
    """All that is cut from sheet for a structure, and how it goes together.

    ``tape_mm`` is for corners and joins, allowance included. ``unmade`` holds the trays and
    strips that cannot be made from the sheet, which have no blanks then.
    """

    blanks: tuple[Blank, ...]
    joins: tuple[Join, ...]
    tape_mm: int
    unmade: tuple[Unmade, ...] = ()
