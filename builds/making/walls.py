"""The walls that stand on the sides of a piece, and the flaps at its corners."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from builds.making.pattern import NOTCH_MM
from builds.making.piece import PieceWall, Rect, Stretch
from habitats.structure.lattice import Side
from habitats.structure.tray import Tray, TrayDoorway, TrayWall

# A corner flap shorter than this holds no tape; the corner is then taped only. Common practice.
SHORTEST_FLAP_MM = 30


@dataclass(frozen=True, slots=True)
class TrayEdge:
    """Walls and doorways of a tray by the line they lie on: (side, the coordinate that stays)."""

    walls: Mapping[tuple[Side, int], tuple[Stretch, ...]]
    doorways: Mapping[tuple[Side, int], tuple[Stretch, ...]]


def edge_of(tray: Tray) -> TrayEdge:
    """The whole edge of a tray's floor."""
    return TrayEdge(
        walls=_by_line(wall for ring in tray.rings for wall in ring),
        doorways=_by_line(tray.doorways),
    )


def walls_of(floor: Rect, edge: TrayEdge) -> tuple[PieceWall, ...]:
    """Walls on every part of a rectangle's sides that is the tray's edge; no flaps or laps yet."""
    found = [
        (side, Stretch(max(part.start, whole.start), min(part.end, whole.end)), whole)
        for side in Side
        for part in [floor.along(side)]
        for whole in edge.walls.get((side, floor.at(side)), ())
        if part.start < whole.end and whole.start < part.end
    ]
    ends = {(side, end) for side, along, _whole in found for end in along}
    return tuple(_piece_wall(floor, edge, *one, ends) for one in found)


def stretch_of(one: TrayWall | TrayDoorway) -> Stretch:
    """Where along its side a wall or doorway of the tray lies."""
    if one.side in (Side.N, Side.S):
        return Stretch(min(one.x1, one.x2), max(one.x1, one.x2))
    return Stretch(min(one.y1, one.y2), max(one.y1, one.y2))


def with_flaps(walls: tuple[PieceWall, ...], wall_mm: int, lap_mm: int) -> tuple[PieceWall, ...]:
    """The same walls with a flap at each corner, on the longer of the two walls that meet there.

    As in a simple tray, where the corners stay on the long walls and are taped outside the short
    ones. A flap ends before a doorway, a neighbour's lap and the next fold; where that leaves too
    little, the flap is on the other wall, and where that has no room either there is none.
    """
    flaps = {wall: [0, 0] for wall in walls}
    for wall in walls:
        for end, meets in enumerate((wall.starts_at_corner, wall.ends_at_corner)):
            if meets and wall.side in (Side.N, Side.S):
                other = _met(walls, wall, end)
                for carrier, over in _carriers(wall, other):
                    corner_end = _end_at(carrier, over)
                    length = min(wall_mm, room_on(over, _end_at(over, carrier), lap_mm))
                    if length >= min(SHORTEST_FLAP_MM, wall_mm):
                        flaps[carrier][corner_end] = length
                        break
    return tuple(replace(wall, flaps=(flaps[wall][0], flaps[wall][1])) for wall in walls)


def room_on(wall: PieceWall, end: int, lap_mm: int) -> int:
    """How much of a wall's outside a flap or lap may cover, from its start (0) or end (1)."""
    start, stop = wall.along
    far_seam = wall.ends_at_seam if end == 0 else wall.starts_at_seam
    room = wall.along.length_mm - NOTCH_MM - (lap_mm if far_seam else 0)
    to_doorways = [
        (doorway.start - start if end == 0 else stop - doorway.end) - NOTCH_MM
        for doorway in wall.doorways
    ]
    return max(0, min([room, *to_doorways]))


def _at(one: TrayWall | TrayDoorway) -> int:
    return one.y1 if one.side in (Side.N, Side.S) else one.x1


def _by_line(
    ones: Iterable[TrayWall | TrayDoorway],
) -> dict[tuple[Side, int], tuple[Stretch, ...]]:
    lines: dict[tuple[Side, int], list[Stretch]] = {}
    for one in ones:
        lines.setdefault((one.side, _at(one)), []).append(stretch_of(one))
    return {line: tuple(sorted(stretches)) for line, stretches in lines.items()}


def _piece_wall(
    floor: Rect,
    edge: TrayEdge,
    side: Side,
    along: Stretch,
    whole: Stretch,
    ends: set[tuple[Side, int]],
) -> PieceWall:
    before, after = side.beside
    at = floor.at(side)
    return PieceWall(
        side=side,
        along=along,
        starts_at_corner=along.start == floor.along(side).start and (before, at) in ends,
        ends_at_corner=along.end == floor.along(side).end and (after, at) in ends,
        starts_at_seam=along.start > whole.start,
        ends_at_seam=along.end < whole.end,
        doorways=tuple(
            doorway
            for doorway in edge.doorways.get((side, at), ())
            if along.start < doorway.end and doorway.start < along.end
        ),
    )


def _met(walls: tuple[PieceWall, ...], wall: PieceWall, end: int) -> PieceWall:
    """The wall at right angles at one end of a wall along the north or south."""
    side = wall.side.beside[end]
    at_end = "starts_at_corner" if wall.side is Side.N else "ends_at_corner"
    return next(one for one in walls if one.side is side and getattr(one, at_end))


def _carriers(level: PieceWall, upright: PieceWall) -> list[tuple[PieceWall, PieceWall]]:
    """(wall that has the flap, wall it lies over), the better first."""
    pairs = [(upright, level), (level, upright)]
    return sorted(pairs, key=lambda pair: -pair[0].along.length_mm)


def _end_at(wall: PieceWall, other: PieceWall) -> int:
    """Which end of a wall (0 start, 1 end) is the corner with the other."""
    return wall.side.beside.index(other.side)
