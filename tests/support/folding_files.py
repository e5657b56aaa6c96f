"""A DXF of a blank folded up in space by what it says alone: its lines and the layers they lie on.

The one rule is the trade's (common practice, no source): plastic folds away from the skin that is
scored. So a score on the side that is up folds down, one on the other side folds up. Geometry is
shapely's; nothing is shared with what makes or draws blanks.
"""

import io
from typing import NamedTuple

import ezdxf
import numpy as np
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import polygonize, unary_union


class Folded(NamedTuple):
    """Corners of each panel in space: x and y as on the sheet, z up from the side that was up."""

    panels: list[np.ndarray]


class _Pose(NamedTuple):
    """Where a panel lies: its origin, its two directions, and what was up."""

    origin: np.ndarray
    east: np.ndarray
    south: np.ndarray
    up: np.ndarray

    def at(self, point):
        return self.origin + point[0] * self.east + point[1] * self.south


def fold_file(data, floor_point, *, mirrored_width=None):
    """The panels of the file, y down from the top; the one with ``floor_point`` stays flat.

    ``mirrored_width`` of a file with the outside up: what was folded is turned over by hand, about
    an upright line, so that the inside is up as in the other file.
    """
    space = ezdxf.read(io.StringIO(data.decode())).modelspace()
    (cut,) = space.query('LWPOLYLINE[layer=="CUT"]')
    corners = [(x, y) for x, y, *_rest in cut]
    height = max(y for _x, y in corners)
    outline = Polygon([(x, height - y) for x, y in corners])
    scores = [
        (line, up)
        for layer, up in (("SCORE-THIS-SIDE", -1), ("SCORE-OTHER-SIDE", 1))
        for line in _lines(space, layer, height)
    ]
    slits = _lines(space, "SLIT", height)
    edges = unary_union([outline.exterior, *slits, *(line for line, _up in scores)])
    parts = list(polygonize(edges))
    poses = _poses(parts, scores, floor_point)
    panels = [
        np.array([pose.at(corner) for corner in part.exterior.coords[:-1]])
        for part, pose in zip(parts, poses, strict=True)
    ]
    if mirrored_width is not None:
        turn = np.array([-1, 1, -1])
        panels = [panel * turn + [mirrored_width, 0, 0] for panel in panels]
    return Folded(panels)


def _lines(space, layer, height):
    return [
        LineString(
            [(one.dxf.start.x, height - one.dxf.start.y), (one.dxf.end.x, height - one.dxf.end.y)]
        )
        for one in space.query(f'LINE[layer=="{layer}"]')
    ]


def _poses(parts, scores, floor_point):
    """Of each part, from the floor over the scores outward; every part is reached."""
    flat = _Pose(np.zeros(3), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), np.array([0, 0, 1.0]))
    start = next(at for at, part in enumerate(parts) if part.contains(Point(floor_point)))
    found = {start: flat}
    waiting = [start]
    while waiting:
        here = waiting.pop()
        for there, part in enumerate(parts):
            if there in found:
                continue
            for line, up in scores:
                shared = line.intersection(parts[here].exterior.intersection(part.exterior))
                if shared.length:
                    found[there] = _folded(found[here], shared, part, up)
                    waiting.append(there)
                    break
    assert len(found) == len(parts), "a part hangs on nothing"
    return [found[at] for at in range(len(parts))]


def _folded(pose, line, part, up):
    """The pose beyond a level or upright score, a right angle up or down."""
    west, north, east, _south = line.bounds
    middle = part.representative_point()
    if west == east:
        way = np.sign(middle.x - west)
        out, beyond = pose.east * way, pose.up * up
        turned = pose._replace(east=beyond * way, up=-out * up)
    else:
        way = np.sign(middle.y - north)
        out, beyond = pose.south * way, pose.up * up
        turned = pose._replace(south=beyond * way, up=-out * up)
    hinge = (west, north)
    return turned._replace(origin=turned.origin + pose.at(hinge) - turned.at(hinge))


def footprint(panels, *, up):
    """Where panels stand or hang, seen from above; only those that reach up, or only down."""
    lines = []
    for panel in panels:
        low, high = panel[:, 2].min(), panel[:, 2].max()
        if (high > 0.5) if up else (low < -0.5):
            lines.append(LineString(sorted({(round(x), round(y)) for x, y, _z in panel})))
    return unary_union(lines)
