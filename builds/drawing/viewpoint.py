"""Which corner shows best what is new: the largest area of it that is seen."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from builds.drawing.facets import Facet, FacetKind
from builds.drawing.painting import painted
from builds.drawing.space import Corner, Vec, on_paper
from habitats.drawing.pen import Point
from habitats.structure.lattice import Joint

# What is seen through one panel counts so much; what is behind sheet not at all.
THROUGH_WIRE = 0.5
MOST_SAMPLED = 24


def best_corner(facets: Sequence[Facet], joints: Iterable[Joint] = ()) -> Corner:
    """The corner with most of what is new or taken off in sight; of all floor if nothing is.

    With only joints new, the corner nearest to most of them. Ties go to the south-east.
    """
    news = [facet for facet in facets if facet.new or facet.taken]
    spots = sorted(joints)
    if not news and spots:
        return max(Corner, key=lambda corner: _nearness_of_all(spots, corner))
    subjects = news or [one for one in facets if one.kind in (FacetKind.FLOOR, FacetKind.CHANNEL)]
    chosen = frozenset(subjects[:: max(1, -(-len(subjects) // MOST_SAMPLED))])
    return max(Corner, key=lambda corner: round(_seen(facets, chosen, corner), 6))


def _nearness_of_all(joints: Sequence[Joint], corner: Corner) -> int:
    return sum(corner.nearness((joint.col, joint.row, joint.z)) for joint in joints)


def _seen(facets: Sequence[Facet], chosen: frozenset[Facet], corner: Corner) -> float:
    """Area on paper of the chosen pieces, each point weighed by what stands before it."""
    seen = 0.0
    before: list[_Screen] = []
    for facet in reversed(painted(facets, corner)):
        ring = [on_paper(point, corner) for point in facet.ring]
        if facet in chosen:
            points = [on_paper(point, corner) for point in samples(facet.ring)]
            seen += _area(ring) * sum(_clear(p, before) for p in points) / len(points)
        xs, ys = [x for x, _y in ring], [y for _x, y in ring]
        left_in = THROUGH_WIRE if facet.kind is FacetKind.WIRE else 0.0
        before.append(_Screen(min(xs), min(ys), max(xs), max(ys), ring, left_in))
    return seen


class _Screen(NamedTuple):
    """A piece on paper with the box around it, and the part of what is behind that it lets be."""

    left: float
    top: float
    right: float
    bottom: float
    ring: list[Point]
    lets_through: float


def _clear(point: Point, before: Iterable[_Screen]) -> float:
    """How much of a point is seen past all that stands before it."""
    x, y = point
    clear = 1.0
    for one in before:
        # The box first: it is all that is needed for most pieces.
        if one.left < x < one.right and one.top < y < one.bottom and contains(one.ring, point):
            clear *= one.lets_through
            if not clear:
                break
    return clear


def samples(ring: Sequence[Vec]) -> list[Vec]:
    """The middle of a piece and a point on the way to each corner."""
    count = len(ring)
    middle = tuple(sum(point[axis] for point in ring) / count for axis in range(3))
    toward = [tuple(0.3 * middle[axis] + 0.7 * point[axis] for axis in range(3)) for point in ring]
    return [(x, y, z) for x, y, z in [middle, *toward]]


def contains(ring: Sequence[Point], point: Point) -> bool:
    """Whether a point lies inside a ring, by the even-odd rule."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


def _area(ring: Sequence[Point]) -> float:
    following = [*ring[1:], ring[0]]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, following, strict=True))) / 2
