"""Work at the bench in space: a tray half folded, a strip, a ramp being tied.

Here lengths are millimetres on the bench, not lattice units. Pieces never cross, so their planes
order them (``painting.by_planes``).
"""

from collections.abc import Sequence
from math import cos, radians, sin

from builds.drawing.corner import paint
from builds.drawing.facets import Facet, FacetKind, whole
from builds.drawing.painting import by_planes
from builds.drawing.space import Corner, Vec, on_paper
from builds.drawing.standing import open_stretches
from builds.making.blank import Join
from habitats.drawing.pen import Pen, Point, Scaled
from habitats.drawing.styles import Letter, Style
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.structure.tray import Tray, TrayWall

WIDTH = 292.0
LARGEST_SCALE = 0.45
HALF_FOLDED_DEG = 55
VIEW = Corner.SE


def draw_tray_folding(pen: Pen, tray: Tray, joins: Sequence[Join]) -> None:
    """Floor, seams, and the walls half way up; a doorway's flap stays down."""
    walls = [
        _flap(start, end, wall.side, tray.wall_mm, HALF_FOLDED_DEG)
        for ring in tray.rings
        for wall, (start, end) in _stretches(ring, tray)
    ]
    walls += [
        _flap((one.x1, one.y1), (one.x2, one.y2), one.side, tray.wall_mm, 0)
        for one in tray.doorways
    ]
    rings = [[(wall.x1, wall.y1) for wall in ring] for ring in tray.rings]
    flat: list[list[Vec]] = [[(float(x), float(y), 0.0) for x, y in ring] for ring in rings]
    mm = _fitted(pen, [point for ring in flat for point in ring])
    mm.area([[on_paper(point, VIEW) for point in ring] for ring in flat], Style.FLOOR)
    for join in joins:
        ends = [(float(join.x1), float(join.y1), 0.0), (float(join.x2), float(join.y2), 0.0)]
        mm.line([on_paper(end, VIEW) for end in ends], Style.HIDDEN)
    _paint_all(mm, walls)


def _stretches(ring: Sequence[TrayWall], tray: Tray) -> list[tuple[TrayWall, tuple[Point, Point]]]:
    return [
        (wall, stretch)
        for wall in ring
        for stretch in open_stretches(wall, (wall.x1, wall.y1), (wall.x2, wall.y2), tray)
    ]


def _flap(start: Point, end: Point, side: Side, height: float, angle_deg: float) -> Facet:
    """A wall hinged on its floor edge, turned up so far from flat."""
    rows, cols = side.step
    out, up = height * cos(radians(angle_deg)), height * sin(radians(angle_deg))
    low = [(float(x), float(y), 0.0) for x, y in (start, end)]
    high = [(x + cols * out, y + rows * out, up) for x, y, _z in reversed(low)]
    return whole(FacetKind.TRAY_WALL, [*low, *high], new=True)


def draw_strip_folding(pen: Pen, ramp: Ramp) -> None:
    """The strip with both long edges half way up, and the two holes at its upper end."""
    width, length = ramp.strip
    side = ramp.strip_side_mm
    middle = float(width - 2 * side)
    corners = [
        (0.0, 0.0, 0.0),
        (float(length), 0.0, 0.0),
        (float(length), middle, 0.0),
        (0.0, middle, 0.0),
    ]
    facets = [
        whole(FacetKind.CHANNEL, corners),
        _flap((0, 0), (length, 0), Side.N, side, HALF_FOLDED_DEG),
        _flap((0, middle), (length, middle), Side.S, side, HALF_FOLDED_DEG),
    ]
    mm = _fitted(pen, corners)
    _paint_all(mm, facets)
    for across in (0.2, 0.8):
        mm.circle(on_paper((20.0, middle * across, 0.0), VIEW), 3 / mm.scale, Style.TIE)


def draw_ramp_tying(pen: Pen, ramp: Ramp, panel: PanelSize) -> None:
    """The bent panels in a row, each over the next, and the ties at every overlap."""
    wide, high = (squares * panel.pitch_mm for squares in (ramp.channel_squares, ramp.bend_squares))
    step = (panel.squares - ramp.overlap_squares) * panel.pitch_mm
    facets = []
    for number in reversed(range(ramp.panels)):  # the upper one lies on top
        facets += _channel(number * step, panel.size_mm, wide, high, mesh=panel.squares)
    mm = _fitted(pen, [(x, y, 0.0) for x in (0.0, ramp.length_mm) for y in (0.0, wide)])
    # Alike but for their place along one line: far sides, then bottoms, then near sides.
    for facet in [*facets[1::3], *facets[::3], *facets[2::3]]:
        paint(mm, [facet], VIEW)
    overlap = ramp.overlap_squares * panel.pitch_mm
    for number in range(1, ramp.panels):
        x = number * step + overlap / 2
        for at in (
            (x, wide * 0.2, 0.0),
            (x, wide * 0.8, 0.0),
            (x, 0.0, high * 0.5),
            (x, wide, high * 0.5),
        ):
            mm.circle(on_paper(at, VIEW), 3.6 / mm.scale, Style.TIE)
    for number in range(ramp.panels):
        x, y = mm.at(on_paper((number * step + panel.size_mm / 2, wide, 0.0), VIEW))
        pen.text((x - 8, y + 16), f"{number + 1}", Letter.LABEL)


def _channel(start: float, length: float, wide: float, high: float, *, mesh: int) -> list[Facet]:
    """Bottom, far side and near side of one bent panel."""
    end = start + length
    bottom = [(start, 0.0, 0.0), (end, 0.0, 0.0), (end, wide, 0.0), (start, wide, 0.0)]
    sides = [
        [(start, y, 0.0), (end, y, 0.0), (end, y, high), (start, y, high)] for y in (0.0, wide)
    ]
    return [_meshed(ring, mesh) for ring in (bottom, *sides)]


def _meshed(ring: Sequence[Vec], squares: int) -> Facet:
    """A wire face with the wires across it."""
    a, b, c, d = ring
    cross_wires = tuple(
        (_between(a, b, number / squares), _between(d, c, number / squares))
        for number in range(1, squares)
    )
    return Facet(FacetKind.WIRE, tuple(ring), (True,) * 4, mesh=cross_wires)


def _between(a: Vec, b: Vec, part: float) -> Vec:
    return (a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part, a[2] + (b[2] - a[2]) * part)


def _fitted(pen: Pen, points: Sequence[Vec]) -> Scaled:
    across = [on_paper(point, VIEW)[0] for point in points]
    return Scaled(pen, min(LARGEST_SCALE, WIDTH / (max(across) - min(across))))


def _paint_all(mm: Scaled, facets: Sequence[Facet]) -> None:
    for facet in by_planes(facets, VIEW.toward):
        paint(mm, [facet], VIEW)
