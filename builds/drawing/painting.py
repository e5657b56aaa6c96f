"""Painter's order: what is farther is painted first, exactly.

Why it is exact. Let every coordinate of the lattice grow toward the viewer. If some point of piece
B hides some point of piece A, it lies beyond it in all three coordinates. Each piece lies inside
one lattice place, and along each axis a place is either a lattice line or the open unit between
two. So twice the centre of B's place is no less than A's along any axis, and along an axis where
one of the two is a line it is more. Two places that share all three coordinates are the same
place. Hence the sum of the three, one whole number, rises from A to B: sorting by it is enough,
and places of equal sum never hide one another.

Pieces inside one cell (tray, ramp) are ordered among themselves by their planes: B goes after A if
all of B is on the viewer's side of A's plane, or all of A on the far side of B's.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, zip_longest

from builds.drawing.facets import Facet, FacetKind
from builds.drawing.space import Corner, Vec, cross, dot, minus

ALMOST = 1e-7

_ORDER = {kind: number for number, kind in enumerate(FacetKind)}

Layer = tuple[int, list[Facet]]


def layers(facets: Iterable[Facet], corner: Corner) -> Iterator[Layer]:
    """Pieces that do not hide one another, farthest first, with how near they are.

    In a layer are pieces of equally near places: of every place the first one to paint, then of
    every place the second, and so on.
    """

    def nearness(facet: Facet) -> int:
        return corner.nearness(facet.spot)

    ordered = sorted(facets, key=lambda facet: (nearness(facet), facet.spot))
    for near, group in groupby(ordered, key=nearness):
        places = [
            by_planes(list(inside), corner.toward)
            for _spot, inside in groupby(group, key=lambda facet: facet.spot)
        ]
        for layer in zip_longest(*places):
            yield near, [facet for facet in layer if facet]


def painted(facets: Iterable[Facet], corner: Corner) -> list[Facet]:
    """The pieces in painter's order."""
    return [facet for _near, layer in layers(facets, corner) for facet in layer]


def by_planes(facets: Sequence[Facet], toward: Vec) -> list[Facet]:
    """Pieces that do not cross, farthest first: again and again one that hides none of the rest."""
    if len(facets) < 2:
        return list(facets)
    # In one place (a wall that is doubled) what stands comes before what is new or taken off.
    left = sorted(facets, key=lambda one: (_ORDER[one.kind], one.ring, one.new, one.taken))
    ordered = []
    while left:
        farthest = next(
            (
                one
                for one in left
                if not any(_hides(one, other, toward) for other in left if other is not one)
            ),
            left[0],
        )
        left.remove(farthest)
        ordered.append(farthest)
    return ordered


def _hides(near: Facet, far: Facet, toward: Vec) -> bool:
    """Whether ``near`` must be painted after ``far``, by their planes."""
    return _is_before(near, far, toward) and not _is_before(far, near, toward)


def _is_before(near: Facet, far: Facet, toward: Vec) -> bool:
    beyond_far = all(side >= -ALMOST for side in _sides(near, far, toward))
    behind_near = all(side <= ALMOST for side in _sides(far, near, toward))
    return beyond_far or behind_near


def _sides(points_of: Facet, plane_of: Facet, toward: Vec) -> list[float]:
    """How far the corners of one piece lie on the viewer's side of another's plane."""
    a, b, c = plane_of.ring[:3]
    normal = cross(minus(b, a), minus(c, a))
    sign = 1 if dot(normal, toward) >= 0 else -1
    return [sign * dot(normal, minus(point, a)) for point in points_of.ring]
