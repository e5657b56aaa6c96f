"""Which corner shows best what is new: the largest area of it that is seen.

The pictures of one work are seen from one corner as long as that shows what is new. A person turns
the sheet in mind at each other corner, so there are as few of them as can be, and none comes back.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from builds.drawing.facets import Facet, FacetKind
from builds.drawing.painting import layers, painted
from builds.drawing.space import Corner, Vec, on_paper
from habitats.drawing.pen import Point

# What is seen through one panel counts so much; what is behind sheet not at all.
THROUGH_WIRE = 0.5
MOST_SAMPLED = 24
# A corner shows what is new if so much of it is seen as from the best one.
ENOUGH = 0.3

# From left and top to right and bottom, on paper.
Box = tuple[float, float, float, float]
# How much of what is new is seen from each corner, in parts of what the best shows.
Sight = Mapping[Corner, float]


class View(NamedTuple):
    """How one of a row of pictures is seen.

    ``is_turned``: from another corner than the picture before; ``shows``: something new.
    """

    corner: Corner
    is_turned: bool = False
    shows: bool = True


def best_corner(facets: Sequence[Facet], points: Iterable[Vec] = ()) -> Corner:
    """The corner that shows most of what is new; of all floor if nothing is new.

    Ties go to the south-east.
    """
    sight = sight_of(facets, points)
    if sight is None:
        floors = [one for one in facets if one.kind in (FacetKind.FLOOR, FacetKind.CHANNEL)]
        sight = _shares({corner: _seen(facets, _some(floors), corner) for corner in Corner})
    return max(sight, key=lambda corner: sight[corner]) if sight else Corner.SE


def sight_of(facets: Sequence[Facet], points: Iterable[Vec] = ()) -> Sight | None:
    """How well what is new or taken off is seen: pieces, else connectors at these points.

    None where nothing of it is seen from anywhere.
    """
    news = [facet for facet in facets if facet.new or facet.taken]
    if news:
        return _shares({corner: _seen(facets, _some(news), corner) for corner in Corner})
    spots = sorted(points)
    return _shares({corner: _points_seen(facets, spots, corner) for corner in Corner})


def views_of(sights: Sequence[Sight | None]) -> list[View]:
    """How each of a row of pictures is seen; None for one that shows nothing new."""
    corners = corners_of(sights)
    return [
        View(
            corner,
            is_turned=bool(number) and corner is not corners[number - 1],
            shows=sight is not None and sight[corner] > 0,
        )
        for number, (corner, sight) in enumerate(zip(corners, sights, strict=True))
    ]


# What speaks against a row of corners, the worst first: pictures that show nothing of what is new,
# those that show too little, turns, and how much less is seen than could be (in millionths).
_Cost = tuple[int, int, int, int]
_ORDER = {corner: number for number, corner in enumerate(Corner)}


def corners_of(sights: Sequence[Sight | None]) -> list[Corner]:
    """A corner for each: none that was left comes back, and turns stand where something is new.

    A sight of None: the picture shows nothing new, so any corner does and none is turned to for it.
    """
    # By the corners used so far, and which is now: the least cost, and the corners that have it.
    rows: dict[tuple[frozenset[Corner], Corner], tuple[_Cost, tuple[int, ...]]] = {
        (frozenset([corner]), corner): ((0, 0, 0, 0), ()) for corner in Corner
    }
    for number, sight in enumerate(sights):
        reached = dict(rows)
        if number and sight is not None:
            for (used, _now), (cost, way) in rows.items():
                for corner in Corner:
                    if corner not in used:
                        key = (used | {corner}, corner)
                        turned = ((cost[0], cost[1], cost[2] + 1, cost[3]), way)
                        reached[key] = min(turned, reached.get(key, turned))
        rows = {
            (used, now): (_with(cost, sight, now), (*way, _ORDER[now]))
            for (used, now), (cost, way) in reached.items()
        }
    _cost, best = min(rows.values())
    corners = list(Corner)
    return [corners[number] for number in best]


def _with(cost: _Cost, sight: Sight | None, corner: Corner) -> _Cost:
    if sight is None:
        return cost
    seen = sight[corner]
    hidden, faint, turns, less = cost
    return hidden + (seen <= 0), faint + (seen < ENOUGH), turns, less + round(1e6 * (1 - seen))


def _shares(seen: Mapping[Corner, float]) -> Sight | None:
    most = max(seen.values())
    return {corner: round(one / most, 6) for corner, one in seen.items()} if most > 0 else None


def _some(facets: Sequence[Facet]) -> frozenset[Facet]:
    return frozenset(facets[:: max(1, -(-len(facets) // MOST_SAMPLED))])


def _points_seen(facets: Sequence[Facet], points: Sequence[Vec], corner: Corner) -> float:
    """Of connectors, each weighed by what is painted after it."""
    if not points:
        return 0.0
    screens = [
        (near, _screen(facet, corner)) for near, layer in layers(facets, corner) for facet in layer
    ]
    return sum(
        _clear(
            on_paper(point, corner), [one for near, one in screens if near >= corner.passed(point)]
        )
        for point in points
    )


def _seen(facets: Sequence[Facet], chosen: frozenset[Facet], corner: Corner) -> float:
    """Area on paper of the chosen pieces, each point weighed by what stands before it."""
    seen = 0.0
    before: list[_Screen] = []
    about = _about(facets, chosen, corner)
    left = sum(facet in chosen for facet in about)
    for facet in reversed(painted(about, corner)):
        if facet in chosen:
            ring = [on_paper(point, corner) for point in facet.ring]
            points = [on_paper(point, corner) for point in samples(facet.ring)]
            seen += _area(ring) * sum(_clear(p, before) for p in points) / len(points)
            left -= 1
            if not left:
                break
        before.append(_screen(facet, corner))
    return seen


def _about(facets: Sequence[Facet], chosen: frozenset[Facet], corner: Corner) -> list[Facet]:
    """Pieces in whose places something is drawn over what is chosen: no other hides any of it."""
    if not chosen:
        return []
    boxes = [(facet, _box([on_paper(point, corner) for point in facet.ring])) for facet in facets]
    left, top, right, bottom = zip(*(box for facet, box in boxes if facet in chosen), strict=True)
    box = min(left), min(top), max(right), max(bottom)
    places = {facet.spot for facet, one in boxes if _meet(one, box)}
    return [facet for facet in facets if facet.spot in places]


def _meet(one: Box, other: Box) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def _box(ring: Sequence[Point]) -> Box:
    xs, ys = [x for x, _y in ring], [y for _x, y in ring]
    return min(xs), min(ys), max(xs), max(ys)


class _Screen(NamedTuple):
    """A piece on paper with the box around it, and the part of what is behind that it lets be."""

    left: float
    top: float
    right: float
    bottom: float
    ring: list[Point]
    lets_through: float


def _screen(facet: Facet, corner: Corner) -> _Screen:
    ring = [on_paper(point, corner) for point in facet.ring]
    lets_through = THROUGH_WIRE if facet.kind is FacetKind.WIRE else 0.0
    return _Screen(*_box(ring), ring, lets_through)


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
