"""Flat pieces in space that the view from a corner is made of, each inside one lattice place.

A place is named by twice the coordinates of its centre, so that all are whole numbers: a cell of
space has three odd ones, a panel's place one even one. Whatever is not a panel is cut at the
lattice planes until each piece lies inside one cell; that is what makes an exact painter's order
possible (``painting.py``). Seams of such cuts are no edges and are not drawn.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum
from math import floor

from builds.drawing.space import Vec, plus

EPSILON = 1e-9


class FacetKind(Enum):
    """What a piece shows."""

    WIRE = "wire"
    FLOOR = "floor"
    TRAY_WALL = "tray wall"
    CHANNEL = "channel"


Spot = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Facet:
    """A flat piece: ``ring`` in lattice units, ``edges[i]`` whether to draw from corner i on.

    ``spot`` is the doubled centre of the place it lies in; ``mesh`` are lines drawn on it.
    ``taken`` marks what a step takes off.
    """

    kind: FacetKind
    ring: tuple[Vec, ...]
    edges: tuple[bool, ...]
    spot: Spot = (0, 0, 0)
    new: bool = False
    mesh: tuple[tuple[Vec, Vec], ...] = ()
    taken: bool = False


def whole(kind: FacetKind, corners: Iterable[Vec], *, new: bool = False) -> Facet:
    """A piece with every edge drawn, its place not yet known."""
    ring = tuple(corners)
    return Facet(kind, ring, (True,) * len(ring), new=new)


def in_cells(facet: Facet) -> Iterator[Facet]:
    """The piece cut at the lattice planes, each part with the cell it lies in."""
    parts = [facet]
    for axis in range(3):
        parts = [slab for part in parts for slab in _slabs(part, axis)]
    for part in parts:
        yield replace(part, spot=_cell_of(part))


def _slabs(facet: Facet, axis: int) -> Iterator[Facet]:
    low = floor(min(p[axis] for p in facet.ring) + EPSILON)
    high = max(p[axis] for p in facet.ring) - EPSILON
    for start in range(low, floor(high) + 1):
        part = beyond(beyond(facet, axis, start, 1), axis, start + 1, -1)
        if len(part.ring) > 2:
            yield part


def beyond(facet: Facet, axis: int, limit: float, sign: int) -> Facet:
    """The part on the greater (+1) or lesser (-1) side of a level or upright plane.

    Clipped as by Sutherland and Hodgman (1974); the edge along the cut is not to be drawn.
    """
    ring: list[Vec] = []
    edges: list[bool] = []
    count = len(facet.ring)
    for i, point in enumerate(facet.ring):
        following = facet.ring[(i + 1) % count]
        here, there = (sign * (p[axis] - limit) for p in (point, following))
        if here >= 0:
            ring.append(point)
            edges.append(facet.edges[i])
        if (here >= 0) != (there >= 0):
            ring.append(plus(point, _difference(following, point), here / (here - there)))
            # Leaving, the new edge runs along the cut; coming back, the old edge goes on.
            edges.append(facet.edges[i] if there >= 0 else False)
    return replace(facet, ring=tuple(ring), edges=tuple(edges))


def _difference(a: Vec, b: Vec) -> Vec:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _cell_of(facet: Facet) -> Spot:
    count = len(facet.ring)
    x, y, z = (floor(sum(p[axis] for p in facet.ring) / count) for axis in range(3))
    return 2 * x + 1, 2 * y + 1, 2 * z + 1
