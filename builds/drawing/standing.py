"""A structure, or as much of it as stands, as flat pieces in space."""

from collections.abc import Iterator
from itertools import pairwise
from math import cos, radians, sin

from builds.drawing.facets import Facet, FacetKind, beyond, in_cells, whole
from builds.drawing.kinds import KINDS
from builds.drawing.lanes import lane_of
from builds.drawing.space import Vec, plus
from builds.making.anchoring import anchors_of
from builds.making.facts import doorway_place
from builds.making.pup_set import pups_of
from builds.making.step import Parts
from habitats.structure.lattice import Face, PanelPlace, Side, floor_place
from habitats.structure.pups import PupPlace
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Panel, Structure
from habitats.structure.tray import Ring, Tray, TrayWall

# Tray walls are drawn so far inside their floor's edge that they never lie in the wire's plane.
NUDGE_MM = 5


def all_parts(structure: Structure) -> Parts:
    return Parts(
        structure.places,
        frozenset(structure.joints),
        frozenset(range(len(structure.trays))),
        frozenset(range(len(structure.ramps))),
        frozenset(anchors_of(structure)),
        frozenset(pups_of(structure)),
    )


def facets_of(
    structure: Structure,
    stand: Parts,
    new: Parts,
    *,
    squares: int,
    standing_squares: int | None = None,
    doubled_squares: int | None = None,
) -> list[Facet]:
    """Pieces for the parts that stand, those in ``new`` marked; ``squares`` of mesh a side.

    ``standing_squares`` is the same for panels that are not new, ``doubled_squares`` for those of
    them that a panel of the pup set stands over; None draws them as what is new.
    A floor panel under its tray is left out: the tray hides it wholly.
    """
    covered = {
        floor_place(cell, structure.design.levels[index].z)
        for index in stand.trays
        for cell in structure.design.levels[index].cells
    }
    fresh = new.places | doubled_by(new)
    mesh = dict.fromkeys(stand.places, standing_squares or squares)
    mesh |= dict.fromkeys(doubled_by(stand) & stand.places, doubled_squares or squares)
    mesh |= dict.fromkeys(fresh, squares)
    facets = [
        panel_facet(structure, panel, mesh[panel.place], new=panel.place in fresh)
        for panel in structure.panels
        if panel.place in mesh.keys() - covered
    ]
    for index in sorted(stand.trays):
        facets += tray_facets(structure, structure.trays[index], new=index in new.trays)
    for index in sorted(stand.ramps):
        facets += ramp_facets(structure, structure.ramps[index], new=index in new.ramps)
    facets += _feet(structure, stand, new)
    return facets


def doubled_by(parts: Parts) -> frozenset[PanelPlace]:
    """The walls that panels of the pup set among these parts stand over."""
    return frozenset(one.place for one in parts.pups if not one.at_foot)


def _feet(structure: Structure, stand: Parts, new: Parts) -> Iterator[Facet]:
    """Panels of the pup set across the feet of ramps."""
    for ramp in structure.ramps:
        closes = PupPlace(doorway_place(structure, ramp), at_foot=True)
        if closes in stand.pups:
            yield from _foot_facets(structure, ramp, new=closes in new.pups)


def _foot_facets(structure: Structure, ramp: Ramp, *, new: bool) -> Iterator[Facet]:
    """A panel that stands across the foot, as wide as the lane."""
    size = structure.design.panel.size_mm
    lane = lane_of(ramp, structure.design.panel)
    low = [
        (x / size, y / size, 0.0)
        for x, y in (lane.at(lane.foot, across) for across in (-size / 2, size / 2))
    ]
    high = [(x, y, 1.0) for x, y, _z in reversed(low)]
    return in_cells(whole(FacetKind.WIRE, [*low, *high], new=new))


def panel_facet(structure: Structure, panel: Panel, squares: int, *, new: bool) -> Facet:
    """A panel in its place, with its opening if it has one."""
    place = panel.place
    origin, right, up = _frame(place)
    opens = KINDS[panel.role].opening
    opening = opens(structure, panel) if opens else None
    outline = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
    if opening:
        left, top = opening
        outline[1:1] = [(left, 0), (left, top), (1 - left, top), (1 - left, 0)]

    def at(point: tuple[float, float]) -> Vec:
        return plus(plus(origin, right, point[0]), up, point[1])

    ring = tuple(at(point) for point in outline)
    mesh = tuple((at(start), at(end)) for start, end in _mesh(squares, opening))
    return Facet(FacetKind.WIRE, ring, (True,) * len(ring), _spot(place), new, mesh)


def _frame(place: PanelPlace) -> tuple[Vec, Vec, Vec]:
    """A panel's first corner and the unit directions of its two sides."""
    origin = (float(place.col), float(place.row), float(place.z))
    right = (0.0, 1.0, 0.0) if place.face is Face.NS else (1.0, 0.0, 0.0)
    up = (0.0, 1.0, 0.0) if place.face is Face.FLAT else (0.0, 0.0, 1.0)
    return origin, right, up


def _spot(place: PanelPlace) -> tuple[int, int, int]:
    """Twice the centre of the place."""
    return (
        2 * place.col + (place.face is not Face.NS),
        2 * place.row + (place.face is not Face.EW),
        2 * place.z + place.is_upright,
    )


_Line = tuple[tuple[float, float], tuple[float, float]]


def _mesh(squares: int, opening: tuple[float, float] | None) -> Iterator[_Line]:
    """Wires between the edges, in parts of the panel, left out where a doorway is open."""
    left, top = opening or (0.5, 0.0)
    for number in range(1, squares):
        at = number / squares
        in_opening = left - 1e-6 < at < 1 - left + 1e-6
        yield (at, top if in_opening else 0.0), (at, 1.0)
        if at < top:
            yield (0.0, at), (left, at)
            yield (1 - left, at), (1.0, at)
        else:
            yield (0.0, at), (1.0, at)


def tray_facets(structure: Structure, tray: Tray, *, new: bool) -> list[Facet]:
    """Floor and walls of a tray, open where a wall folds down for a doorway."""
    design = structure.design
    level, size = design.levels[tray.level], design.panel.size_mm
    facets = [
        Facet(
            FacetKind.FLOOR,
            tuple(
                (cell.col + dx, cell.row + dy, float(level.z))
                for dx, dy in ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
            ),
            (False,) * 4,
            (2 * cell.col + 1, 2 * cell.row + 1, 2 * level.z + 1),
            new,
        )
        for cell in sorted(level.cells)
    ]
    height = level.z + tray.wall_mm / size
    for ring in tray.rings:
        for stretch in _wall_lines(ring, tray):
            low = [(x / size, y / size, float(level.z)) for x, y in stretch]
            high = [(x, y, height) for x, y, _z in reversed(low)]
            facets += in_cells(whole(FacetKind.TRAY_WALL, [*low, *high], new=new))
    return facets


_Flat = tuple[float, float]


def _wall_lines(ring: Ring, tray: Tray) -> Iterator[tuple[_Flat, _Flat]]:
    """Each wall's floor edge, moved inward, without its doorways."""
    inward = [_inward(wall) for wall in ring]
    corners = []
    for i, wall in enumerate(ring):
        (ax, ay), (bx, by) = inward[i - 1], inward[i]
        corners.append((wall.x1 + ax + bx, wall.y1 + ay + by))
    for wall, (start, end) in zip(ring, pairwise([*corners, corners[0]]), strict=True):
        yield from open_stretches(wall, start, end, tray)


def _inward(wall: TrayWall) -> _Flat:
    rows, cols = wall.side.step
    return -cols * NUDGE_MM, -rows * NUDGE_MM


def open_stretches(
    wall: TrayWall, start: _Flat, end: _Flat, tray: Tray
) -> Iterator[tuple[_Flat, _Flat]]:
    """A wall's line from ``start`` to ``end`` without its doorways."""
    axis = 0 if wall.side in (Side.N, Side.S) else 1
    gaps = [
        sorted(((one.x1, one.y1)[axis], (one.x2, one.y2)[axis]))
        for one in tray.doorways
        if one.side is wall.side and one.cell in wall.cells
    ]
    low, high = sorted((start[axis], end[axis]))
    stops = [low, *(stop for gap in sorted(gaps) for stop in gap), high]
    for first, last in zip(stops[::2], stops[1::2], strict=True):
        if axis == 0:
            yield (first, start[1]), (last, start[1])
        else:
            yield (start[0], first), (start[0], last)


def _bent_up(edge: tuple[Vec, Vec], upright: Vec) -> list[Vec]:
    head, foot = edge
    return [head, foot, plus(foot, upright), plus(head, upright)]


def ramp_facets(structure: Structure, ramp: Ramp, *, new: bool) -> list[Facet]:
    """The channel: its bottom and its two sides, at right angles to the bottom."""
    design = structure.design
    size = design.panel.size_mm
    lane = lane_of(ramp, design.panel)
    slope = radians(ramp.slope_deg)
    head_z = float(design.levels[ramp.level].z)
    foot_z = float(design.levels[ramp.landing].z)
    bend = ramp.bend_squares * design.panel.pitch_mm / size
    dx, dy = lane.along
    upright = (dx * sin(slope) * bend, dy * sin(slope) * bend, cos(slope) * bend)

    def at(along_mm: float, across_mm: float, z: float) -> Vec:
        x, y = lane.at(along_mm, across_mm)
        return x / size, y / size, z

    left, right = (
        (at(lane.head, across, head_z), at(lane.foot, across, foot_z))
        for across in (-lane.half_width, lane.half_width)
    )
    bottom = [*left, *reversed(right)]
    faces = [bottom, _bent_up(left, upright), _bent_up(right, upright)]
    # Where the foot comes close to a wall the sides are cut back: they lean over the foot.
    axis, sign = (0, dx) if dx else (1, dy)
    end = at(lane.foot + ramp.landing_mm, 0, foot_z)[axis] - sign * NUDGE_MM / size
    trimmed = [
        beyond(whole(FacetKind.CHANNEL, face, new=new), axis, end, int(-sign)) for face in faces
    ]
    return [piece for face in trimmed for piece in in_cells(face)]
