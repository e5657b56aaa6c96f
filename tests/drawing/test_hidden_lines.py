"""Hidden lines, held to rays: what is painted last over a spot is what a ray from there hits first.

The rays are shot here with shapely and plain vectors; nothing is shared with the painter but the
pieces themselves and the projection, which has a test of its own.
"""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from builds.drawing.facets import Facet, FacetKind
from builds.drawing.painting import painted
from builds.drawing.space import Corner, on_paper
from builds.drawing.standing import all_parts, facets_of
from habitats.structure.structure import raise_structure
from tests.support.designs import designs

painted_right = painted
CLEAR_OF_EDGES = 1e-3  # lattice units: a third of a millimetre


def normal_of(ring):
    """Newell's normal: right for a ring with corners turning inward, such as a doorway panel."""
    nx = ny = nz = 0.0
    for (x1, y1, z1), (x2, y2, z2) in zip(ring, [*ring[1:], ring[0]], strict=True):
        nx += (y1 - y2) * (z1 + z2)
        ny += (z1 - z2) * (x1 + x2)
        nz += (x1 - x2) * (y1 + y2)
    return nx, ny, nz


def dot(a, b):
    return sum(one * other for one, other in zip(a, b, strict=True))


def hit(facet, origin, toward):
    """How far along the ray it meets the piece; None past it, nan too near its edge to tell."""
    normal = normal_of(facet.ring)
    slant = dot(normal, toward)
    if abs(slant) < 1e-9:
        return None
    away = [a - b for a, b in zip(facet.ring[0], origin, strict=True)]
    distance = dot(normal, away) / slant
    point = [o + distance * d for o, d in zip(origin, toward, strict=True)]
    if not near_its_box(point, facet.ring):
        return None
    dropped = max(range(3), key=lambda axis: abs(normal[axis]))
    flat = Polygon([[c for axis, c in enumerate(p) if axis != dropped] for p in facet.ring])
    at = Point([c for axis, c in enumerate(point) if axis != dropped])
    if flat.exterior.distance(at) < CLEAR_OF_EDGES:
        return math.nan
    return distance if flat.contains(at) else None


def near_its_box(point, ring):
    """Spares most pieces the long way round."""
    return all(
        min(p[axis] for p in ring) - 0.01 < point[axis] < max(p[axis] for p in ring) + 0.01
        for axis in range(3)
    )


def last_painted(ordered, shapes, spot):
    at = Point(spot)
    for facet, shape in zip(reversed(ordered), reversed(shapes), strict=True):
        if shape.contains(at):
            return facet
    return None


def inner_point(facet, chance):
    """A random point of the piece, anywhere between three of its corners."""
    corners = chance.sample(list(facet.ring), 3)
    weights = [chance.random() + 0.05 for _ in corners]
    total = sum(weights)
    return tuple(
        sum(w * corner[axis] for w, corner in zip(weights, corners, strict=True)) / total
        for axis in range(3)
    )


def assert_painted_right(facets, corner, chance, *, rays):
    ordered = painted(facets, corner)
    assert sorted(map(repr, ordered)) == sorted(map(repr, facets))
    shapes = [Polygon([on_paper(point, corner) for point in one.ring]) for one in ordered]
    for _ in range(rays):
        origin = inner_point(chance.choice(facets), chance)
        hits = [(hit(facet, origin, corner.toward), facet) for facet in facets]
        met = [(distance, facet) for distance, facet in hits if distance is not None]
        if not met or any(math.isnan(distance) for distance, _facet in met):
            continue
        nearest = max(distance for distance, _facet in met)
        firsts = [facet for distance, facet in met if distance > nearest - 1e-6]
        assert last_painted(ordered, shapes, on_paper(origin, corner)) in firsts


@settings(max_examples=25)
@given(designs(), st.sampled_from(Corner), st.integers(0, 10**6))
def test_the_last_face_painted_over_a_spot_is_the_nearest_along_the_ray(design, corner, seed):
    structure = raise_structure(design)
    parts = all_parts(structure)
    facets = facets_of(structure, parts, parts, squares=1)

    assert_painted_right(facets, corner, random.Random(seed), rays=12)


@pytest.mark.parametrize("corner", Corner)
def test_a_ramp_through_its_doorway_is_painted_right_from_every_corner(balcony, corner):
    parts = all_parts(balcony)
    facets = facets_of(balcony, parts, parts, squares=1)
    about_the_ramp = [facet for facet in facets if facet.kind is not FacetKind.WIRE]

    assert_painted_right(facets, corner, random.Random(5), rays=120)
    assert_painted_right(about_the_ramp, corner, random.Random(6), rays=60)


def test_the_ray_test_refuses_the_order_turned_round(balcony, monkeypatch):
    parts = all_parts(balcony)
    facets = facets_of(balcony, parts, parts, squares=1)
    monkeypatch.setitem(
        globals(), "painted", lambda some, corner: painted_right(some, corner)[::-1]
    )

    with pytest.raises(AssertionError):
        assert_painted_right(facets, Corner.SE, random.Random(1), rays=20)


@pytest.mark.parametrize("corner", Corner)
def test_a_point_and_one_nearer_the_viewer_fall_on_one_spot(corner):
    here = (1.3, 0.4, 0.9)
    nearer = tuple(a + 2.5 * b for a, b in zip(here, corner.toward, strict=True))

    assert on_paper(nearer, corner) == pytest.approx(on_paper(here, corner))


@pytest.mark.parametrize("corner", Corner)
def test_the_viewer_is_above_and_off_the_named_corner(corner):
    east, south, up = corner.toward

    assert ("E" in corner.name) == (east > 0)
    assert ("S" in corner.name) == (south > 0)
    assert up > 0


def test_east_is_right_of_west_for_a_viewer_in_the_south():
    for corner in (Corner.SE, Corner.SW):
        assert on_paper((1, 0, 0), corner)[0] > on_paper((0, 0, 0), corner)[0]


def test_what_is_higher_falls_higher():
    assert all(on_paper((0, 0, 1), one)[1] < on_paper((0, 0, 0), one)[1] for one in Corner)


def test_facets_stay_inside_their_places(balcony):
    parts = all_parts(balcony)

    for facet in facets_of(balcony, parts, parts, squares=1):
        assert_inside_its_place(facet)


def assert_inside_its_place(facet: Facet):
    for axis, doubled in enumerate(facet.spot):
        low, high = (doubled - 1) / 2, (doubled + 1) / 2
        if doubled % 2 == 0:
            low = high = doubled / 2
        for point in facet.ring:
            assert low - 1e-9 <= point[axis] <= high + 1e-9
