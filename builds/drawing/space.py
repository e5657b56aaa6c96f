"""Space seen from a raised corner: points, the four corners, and how they fall on paper.

The projection is a parallel one (axonometric), so that equal lengths along one direction stay
equal and can be compared. The viewer stands off a corner turned ``TURN`` degrees from straight
across and looks down at ``RISE`` degrees. Both are chosen so that nothing lies on top of something
else by chance: at 45 degrees across, and in the isometric view most of all, lattice points of
different depth fall on one point of the paper, and a cube reads as a hexagon. 33 degrees keeps
them apart. 32 degrees down shows more of the floor than of the walls in front of it, and is not the
slope of any usual ramp, which would be seen edge on.

Lattice units: x east, y south, z up, one panel each.
"""

from enum import Enum
from math import ceil, cos, radians, sin

from habitats.drawing.pen import Point
from habitats.wording import message

Vec = tuple[float, float, float]

TURN = 33.0
RISE = 32.0
_COS_TURN, _SIN_TURN = cos(radians(TURN)), sin(radians(TURN))
_COS_RISE, _SIN_RISE = cos(radians(RISE)), sin(radians(RISE))


class Corner(Enum):
    """The corner the viewer stands off, as signs of east and south."""

    SE = (1, 1)
    SW = (-1, 1)
    NE = (1, -1)
    NW = (-1, -1)

    @property
    def words(self) -> str:
        return {
            "SE": message("south-east"),
            "SW": message("south-west"),
            "NE": message("north-east"),
            "NW": message("north-west"),
        }[self.name]

    @property
    def toward(self) -> Vec:
        """The direction from anything toward the viewer."""
        x, y, _z = self.on_floor(_SIN_TURN * _COS_RISE, _COS_TURN * _COS_RISE)
        return x, y, _SIN_RISE

    def on_floor(self, right: float, near: float) -> Vec:
        """A way on the floor told as it is seen: along the side on the right, and toward it."""
        x, y = _unturned(self, right, near)
        return x, y, 0.0

    def nearness(self, doubled: tuple[int, int, int]) -> int:
        """How near the viewer a place of the lattice is; see ``painting.py``."""
        east, south = self.value
        x, y, z = doubled
        return east * x + south * y + z

    def passed(self, at: Vec) -> int:
        """How near a place is at least that lies beyond a point of the lattice."""
        x, y, z = at
        east, south = self.value
        # Along an axis a point on a lattice line is passed by panels up to half a unit nearer,
        # which is one in doubled coordinates; two axes can be so at once.
        return ceil(2 * (east * x + south * y + z)) + 2


def on_paper(point: Vec, corner: Corner) -> Point:
    """Where a point falls, in lattice units on paper, y downward."""
    u, v = _turned(corner, point[0], point[1])
    return (
        u * _COS_TURN - v * _SIN_TURN,
        (u * _SIN_TURN + v * _COS_TURN) * _SIN_RISE - point[2] * _COS_RISE,
    )


def _turned(corner: Corner, x: float, y: float) -> tuple[float, float]:
    """Level coordinates turned by quarters, so that both grow toward the viewer."""
    if corner is Corner.SE:
        return x, y
    if corner is Corner.SW:
        return y, -x
    if corner is Corner.NW:
        return -x, -y
    return -y, x


def _unturned(corner: Corner, u: float, v: float) -> tuple[float, float]:
    if corner is Corner.SE:
        return u, v
    if corner is Corner.SW:
        return -v, u
    if corner is Corner.NW:
        return -u, -v
    return v, -u


def plus(a: Vec, b: Vec, times: float = 1) -> Vec:
    return a[0] + b[0] * times, a[1] + b[1] * times, a[2] + b[2] * times


def minus(a: Vec, b: Vec) -> Vec:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )
