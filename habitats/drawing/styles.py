"""What each kind of line means, once: its weight, dash, colour and filling.

Pictures name a ``Style``; how it looks stands in one table here, and a legend is drawn from the
same table. Kinds that must be told apart differ in dash, weight or hatching as well as in colour,
so a picture is safe in black and white. Colours name a token of ``static/css/tokens.css``; the
fallback is for print and for files that stand alone.
"""

from dataclasses import dataclass
from enum import Enum


class Ink(Enum):
    """A colour: its token, and what is drawn where no style sheet reaches."""

    INK = ("ink", "#26211b")
    SOFT = ("ink-soft", "#5c5243")
    HATCH = ("hatch", "#8f8069")
    PAPER = ("paper-raised", "#ffffff")
    SUNK = ("paper-sunk", "#eee8dc")
    NEW = ("new", "#1b4db3")
    NEW_WASH = ("new-wash", "#dbe2ef")
    WARN = ("warn", "#98300f")

    @property
    def token(self) -> str:
        return self.value[0]

    @property
    def fallback(self) -> str:
        return self.value[1]


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines inside an area, ``spacing`` apart, at ``angles`` in degrees."""

    spacing: float
    angles: tuple[int, ...]
    ink: Ink = Ink.HATCH
    weight: float = 0.5


@dataclass(frozen=True, slots=True)
class Look:
    """How a style is drawn. Weights and dashes are in units of the finished picture.

    ``ink`` None draws no line; ``fill`` None leaves an area open; ``veil`` is the fill's opacity.
    """

    weight: float = 1.0
    ink: Ink | None = Ink.INK
    dash: tuple[float, ...] = ()
    fill: Ink | None = None
    veil: float = 1.0
    hatch: Hatch | None = None


class Style(Enum):
    """Kinds of lines and areas."""

    # Lines
    THIN = Look(0.6, Ink.SOFT)
    MESH = Look(0.35, Ink.HATCH)
    INK = Look(1.3)
    HEAVY = Look(2.6)
    NEW = Look(2.4, Ink.NEW)
    NEW_MESH = Look(0.5, Ink.NEW)
    HIDDEN = Look(0.7, Ink.SOFT, (2, 2))
    DIMENSION = Look(0.5, Ink.SOFT)
    CUT = Look(1.8)
    SLIT = Look(2.2, Ink.INK, (9, 3))
    SCORE = Look(0.9, Ink.INK, (7, 2.5, 1.5, 2.5))
    FLAP_SCORE = Look(1.6, Ink.INK, (1.6, 2.6))
    BEND = Look(1.1, Ink.NEW, (7, 2.5, 1.5, 2.5))
    GUARD = Look(2.6, Ink.INK, (2, 2.5))
    GAP = Look(4.4, Ink.PAPER)
    TOWEL = Look(2.2, Ink.SOFT, (1, 3))
    SHEET_EDGE = Look(1.8, Ink.HATCH)
    WIRE_LINE = Look(0.8, Ink.HATCH)
    KNIFE = Look(1.6, Ink.NEW, (6, 2))
    ALARM = Look(2.0, Ink.WARN)

    # Areas
    GROUND = Look(0, None, fill=Ink.SUNK)
    PAPER = Look(0, None, fill=Ink.PAPER)
    INSIDE = Look(0.7, Ink.SOFT, fill=Ink.PAPER)
    SOLID = Look(0.5, Ink.INK, fill=Ink.INK)
    NEW_SOLID = Look(0.5, Ink.NEW, fill=Ink.NEW)
    RIB = Look(1.1, Ink.NEW, fill=Ink.PAPER)
    OVERLAP = Look(0, None, hatch=Hatch(5, (0,)))
    OFFCUT = Look(0.6, Ink.SOFT, (3, 2), hatch=Hatch(9, (-45,)))
    UNDER = Look(0, None, hatch=Hatch(12, (45,)))
    GONE = Look(1.0, Ink.WARN, (3, 2), hatch=Hatch(4, (45, -45), Ink.WARN, 0.6))
    PIECE = Look(1.8, Ink.INK, fill=Ink.PAPER)
    SHEET_PIECE = Look(1.2, Ink.INK, fill=Ink.SUNK)
    TIE = Look(1.6, Ink.NEW, fill=Ink.PAPER)
    JOINT = Look(0.9, Ink.INK, fill=Ink.PAPER)

    # Floor that animals need: neighbours differ in their hatch; and floor that is not there.
    SHARE_1 = Look(0, None, fill=Ink.SUNK, hatch=Hatch(6.5, (45,), weight=0.8))
    SHARE_2 = Look(0, None, fill=Ink.SUNK, hatch=Hatch(6.5, (-45,), weight=0.8))
    SHARE_3 = Look(0, None, fill=Ink.SUNK, hatch=Hatch(5, (0,), weight=0.8))
    SHARE_4 = Look(0, None, fill=Ink.SUNK, hatch=Hatch(5, (90,), weight=0.8))
    LACKING = Look(1.4, Ink.WARN, (4, 2), hatch=Hatch(6, (45, -45), Ink.WARN, 0.8))

    # Linens on their way round; what is clean is PAPER.
    LAID = Look(0, None, fill=Ink.SUNK, hatch=Hatch(7, (45,), weight=0.8))
    SOILED = Look(0, None, fill=Ink.SUNK, hatch=Hatch(5, (45, -45), weight=0.8))
    WASHED = Look(0, None, fill=Ink.PAPER, hatch=Hatch(4, (0,), weight=0.8))
    HUNG = Look(0, None, fill=Ink.PAPER, hatch=Hatch(7, (-45,), weight=0.8))
    SET_APART = Look(1.4, Ink.WARN, fill=Ink.PAPER, hatch=Hatch(4, (0, 90), Ink.WARN, 0.8))

    # Faces of the standing enclosure; their edges are lines of their own, FRAME or NEW.
    # Wire is a veil: what stands behind shows fainter.
    FRAME = Look(0.9)
    WIRE = Look(0, None, fill=Ink.PAPER, veil=0.5)
    NEW_WIRE = Look(0, None, fill=Ink.NEW_WASH, veil=0.6)
    FLOOR = Look(0, None, fill=Ink.SUNK, veil=0.95)
    NEW_FLOOR = Look(0, None, fill=Ink.NEW_WASH, veil=0.95)
    TRAY_WALL = Look(0, None, fill=Ink.PAPER, veil=0.8, hatch=Hatch(6, (90,), weight=0.4))
    NEW_TRAY_WALL = Look(0, None, fill=Ink.NEW_WASH, veil=0.8, hatch=Hatch(6, (90,), Ink.NEW, 0.5))
    CHANNEL = Look(0, None, fill=Ink.PAPER, veil=0.95, hatch=Hatch(6, (0,), weight=0.5))
    NEW_CHANNEL = Look(0, None, fill=Ink.NEW_WASH, veil=0.95, hatch=Hatch(6, (0,), Ink.NEW, 0.5))
    # What is taken off: seen through like wire, so that what stays behind it is seen too.
    TAKEN_EDGE = Look(1.7, Ink.INK, (5, 3.5))
    TAKEN_FACE = Look(0, None, fill=Ink.PAPER, veil=0.35)
    TAKEN_JOINT = Look(1.2, Ink.INK, (2, 2), fill=Ink.PAPER)
    TURNED = Look(2.2, Ink.NEW, fill=Ink.PAPER)

    @property
    def look(self) -> Look:
        # Enum members with equal values would be aliases; the table has none.
        look: Look = self.value
        return look


class Letter(Enum):
    """Kinds of lettering: size, colour, and whether bold."""

    NAME = (14.0, Ink.INK, True)
    LABEL = (13.0, Ink.INK, False)
    FIGURE = (12.0, Ink.INK, False)
    NOTE = (12.0, Ink.SOFT, False)
    SEAT = (12.0, Ink.NEW, True)
    ALARM = (13.0, Ink.WARN, True)

    @property
    def size(self) -> float:
        return self.value[0]

    @property
    def ink(self) -> Ink:
        return self.value[1]

    @property
    def bold(self) -> bool:
        return self.value[2]
