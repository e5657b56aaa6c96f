"""The flat pattern of a piece: its outline, slits and scores.

All that belongs to a piece is a set of rectangles that touch but do not overlap, so its outline
is the edge of their union. Floor, wall, lap and tab of one piece go on into each other; a score
lies wherever the plastic folds, a slit wherever it must come apart.
"""

from collections.abc import Iterable, Iterator

from builds.making.blank import Line
from builds.making.piece import Piece, PieceWall, Rect, Stretch

# Tabs and laps end this far before a fold line, so that only one thickness is ever folded.
# Common practice, no source.
NOTCH_MM = 10

Corner = tuple[int, int]


def rectangles(piece: Piece, wall_mm: int) -> Iterator[Rect]:
    """All plastic of a piece, flat."""
    floor = piece.floor
    yield floor
    for tab in piece.tabs:
        yield floor.beside(tab.side, tab.along, 0, tab.depth_mm)
    for wall in piece.walls:
        yield floor.beside(wall.side, wall.along, 0, wall_mm)
        for past, low in ((wall.flaps, 0), (wall.laps, NOTCH_MM)):
            for beyond in _beyond(wall, past):
                yield floor.beside(wall.side, beyond, low, wall_mm)


def slits(piece: Piece, wall_mm: int) -> tuple[Line, ...]:
    """Between each corner flap and the wall it will lie on, and beside each doorway flap."""
    floor = piece.floor
    lines = []
    for wall in piece.walls:
        lines += [floor.edge(wall.side, flap) for flap in _beyond(wall, wall.flaps)]
        lines += [
            floor.across(wall.side, end, wall_mm) for doorway in wall.doorways for end in doorway
        ]
    return tuple(sorted(lines))


def scores(piece: Piece, wall_mm: int) -> tuple[Line, ...]:
    """Every fold. Folds in one line are one score, but a doorway's flap folds the other way."""
    floor = piece.floor
    inward = []
    for wall in piece.walls:
        inward += [floor.edge(wall.side, part) for part in _between_doorways(wall)]
        for length, end in zip(wall.flaps, wall.along, strict=True):
            if length:
                inward.append(floor.across(wall.side, end, wall_mm))
    return tuple(sorted([*_in_one(inward), *flap_scores(piece)]))


def flap_scores(piece: Piece) -> tuple[Line, ...]:
    """The folds of doorways' flaps, which go the other way than all others."""
    return tuple(
        sorted(
            piece.floor.edge(wall.side, doorway)
            for wall in piece.walls
            for doorway in wall.doorways
        )
    )


def outline(parts: Iterable[Rect]) -> tuple[Corner, ...]:
    """The corners of the union's edge, clockwise from the northernmost of the westernmost."""
    edges = _edges_of_union(list(parts))
    start = min(edges)
    corners, here = [start], edges[start]
    while here != start:
        corners.append(here)
        here = edges[here]
    return tuple(
        corner
        for before, corner, after in zip(
            [corners[-1], *corners[:-1]], corners, [*corners[1:], corners[0]], strict=True
        )
        if not (before[0] == corner[0] == after[0] or before[1] == corner[1] == after[1])
    )


def _edges_of_union(parts: list[Rect]) -> dict[Corner, Corner]:
    """From each point of the edge to the next, with the plastic on the right."""
    xs = sorted({x for part in parts for x in (part.x1, part.x2)})
    ys = sorted({y for part in parts for y in (part.y1, part.y2)})
    filled = {
        (column, row)
        for part in parts
        for column in range(xs.index(part.x1), xs.index(part.x2))
        for row in range(ys.index(part.y1), ys.index(part.y2))
    }
    edges = {}
    for column, row in filled:
        west, east, north, south = xs[column], xs[column + 1], ys[row], ys[row + 1]
        if (column, row - 1) not in filled:
            edges[west, north] = east, north
        if (column + 1, row) not in filled:
            edges[east, north] = east, south
        if (column, row + 1) not in filled:
            edges[east, south] = west, south
        if (column - 1, row) not in filled:
            edges[west, south] = west, north
    return edges


def _beyond(wall: PieceWall, past: tuple[int, int]) -> Iterator[Stretch]:
    """Where the plastic goes on past the wall's ends."""
    if past[0]:
        yield Stretch(wall.along.start - past[0], wall.along.start)
    if past[1]:
        yield Stretch(wall.along.end, wall.along.end + past[1])


def _between_doorways(wall: PieceWall) -> list[Stretch]:
    ends = [
        wall.along.start,
        *(end for doorway in wall.doorways for end in doorway),
        wall.along.end,
    ]
    return [Stretch(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True) if a < b]


def _in_one(lines: list[Line]) -> list[Line]:
    """Lines that go on into each other, joined."""
    joined: list[Line] = []
    for line in sorted(lines, key=lambda one: (one.x1 == one.x2, *_level_first(one))):
        last = joined[-1] if joined else None
        if last and (last.x2, last.y2) == (line.x1, line.y1) and _same_way(last, line):
            joined[-1] = Line(last.x1, last.y1, line.x2, line.y2)
        else:
            joined.append(line)
    return joined


def _level_first(line: Line) -> tuple[int, int]:
    return (line.x1, line.y1) if line.x1 == line.x2 else (line.y1, line.x1)


def _same_way(one: Line, other: Line) -> bool:
    return (one.x1 == one.x2) == (other.x1 == other.x2)
