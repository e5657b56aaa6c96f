"""How a panel is drawn on a plan: signs told apart by more than their place."""

from collections.abc import Callable

from builds.drawing.marks import Outline, bar, gable, lozenge, wedge
from builds.making.ties import hung_panels
from habitats.drawing.pen import Point, Scaled
from habitats.drawing.styles import Style
from habitats.structure.furniture import FurnitureKind, FurniturePlace
from habitats.structure.lattice import Cell, Face, PanelPlace
from habitats.structure.structure import Panel, Structure

DOUBLE_OFF = 2.2  # units from the edge to each of its two lines
STROKE = 3.5  # units to either side of the line
STROKE_INSET = 0.12  # of a panel, from each end
AJAR = 9  # units from the wall to the free end of a door, short of the first dimensions
ANCHOR_RADIUS = 5.5  # units
FURNITURE_RADIUS = 6.0  # units
LAYER_STROKE = 2.5  # units to either side of a doubled wall
LAYER_SHARES = tuple(number / 10 for number in range(1, 10))
BAR_OFF = 5.5  # units from a wall to the bar outside it
BAR_INSET = 0.08  # of a panel, at both ends of the bar

# Outlines of what stands on the floor, as pictures of steps have them.
FURNITURE: dict[FurnitureKind, Outline] = {
    FurnitureKind.HIDE: gable,
    FurnitureKind.WATER: wedge,
    FurnitureKind.HAY: bar,
}

Sign = Callable[[Scaled, Structure, Panel], None]


def heavy_line(mm: Scaled, structure: Structure, panel: Panel) -> None:
    mm.line(_edge(structure, panel.place), Style.HEAVY)


def double_line(mm: Scaled, structure: Structure, panel: Panel) -> None:
    (x1, y1), (x2, y2) = _edge(structure, panel.place)
    by = DOUBLE_OFF / mm.scale
    dx, dy = (by, 0.0) if panel.place.face is Face.NS else (0.0, by)
    for sign in (1, -1):
        shifted = [(x1 + sign * dx, y1 + sign * dy), (x2 + sign * dx, y2 + sign * dy)]
        mm.line(shifted, Style.INK)


def crossed_line(mm: Scaled, structure: Structure, panel: Panel) -> None:
    """A line with a short stroke across its middle and both ends: it carries what is above."""
    (x1, y1), (x2, y2) = _edge(structure, panel.place)
    mm.line([(x1, y1), (x2, y2)], Style.INK)
    by = STROKE / mm.scale
    dx, dy = (by, 0.0) if panel.place.face is Face.NS else (0.0, by)
    for share in (STROKE_INSET, 0.5, 1 - STROKE_INSET):
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        mm.line([(x - dx, y - dy), (x + dx, y + dy)], Style.INK)


def swung_open(mm: Scaled, structure: Structure, panel: Panel) -> None:
    """A gap in the wall, and the door ajar, outward from its hinge."""
    start, end = _edge(structure, panel.place)
    hinge = next(one.hinge for one in hung_panels(structure) if one.panel == panel)
    size = structure.design.panel.size_mm
    if hinge and (hinge[0].col * size, hinge[0].row * size) == end:
        start, end = end, start
    inward = _side_with_floor(panel.place, structure.design.levels[panel.level].cells)
    out = -inward * AJAR / mm.scale
    x, y = end
    tip = (x + out, y) if panel.place.face is Face.NS else (x, y + out)
    mm.line([start, end], Style.GAP)
    mm.line([start, tip], Style.HEAVY)


def bar_outside(mm: Scaled, structure: Structure, panel: Panel) -> None:
    """A bar outside the wall it stands on."""
    size = structure.design.panel.size_mm
    place = panel.place
    inward = _side_with_floor(place, structure.design.levels[panel.level].cells)
    by = -inward * BAR_OFF / mm.scale
    x, y = place.col * size, place.row * size
    inset = size * BAR_INSET
    if place.face is Face.NS:
        bar = [(x + by, y + inset), (x + by, y + size - inset)]
    else:
        bar = [(x + inset, y + by), (x + size - inset, y + by)]
    mm.line(bar, Style.GUARD)


def anchor_sign(mm: Scaled, structure: Structure, place: PanelPlace) -> None:
    """A lozenge in the middle of the wall that a wall anchor grips."""
    (x1, y1), (x2, y2) = _edge(structure, place)
    middle = ((x1 + x2) / 2, (y1 + y2) / 2)
    mm.area([lozenge(middle, ANCHOR_RADIUS / mm.scale)], Style.SOLID)


def doubled_sign(mm: Scaled, structure: Structure, place: PanelPlace) -> None:
    """Short strokes on the wall, one beside the other: a second layer of wire."""
    (x1, y1), (x2, y2) = _edge(structure, place)
    by = LAYER_STROKE / mm.scale
    dx, dy = (by, 0.0) if place.face is Face.NS else (0.0, by)
    for share in LAYER_SHARES:
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        mm.line([(x - dx, y - dy), (x + dx, y + dy)], Style.THIN)


def furniture_sign(mm: Scaled, structure: Structure, place: FurniturePlace) -> None:
    """A hide, a place for water or for hay on the floor."""
    size = structure.design.panel.size_mm
    x, y = (along * size for along in place.middle)
    outline = FURNITURE[place.piece]
    mm.area([outline((x, y), FURNITURE_RADIUS / mm.scale)], Style.SHEET_PIECE)


def _edge(structure: Structure, place: PanelPlace) -> list[Point]:
    """The line of an upright place, from west to east or north to south."""
    size = structure.design.panel.size_mm
    x, y = float(place.col * size), float(place.row * size)
    return [(x, y), (x, y + size)] if place.face is Face.NS else [(x, y), (x + size, y)]


def _side_with_floor(place: PanelPlace, cells: frozenset[Cell]) -> int:
    """+1 if the floor lies south or east of an upright place, -1 if north or west."""
    return 1 if Cell(place.row, place.col) in cells else -1
