"""Folds a blank up in thought, from its lines alone. Shares no code with what lays blanks out.

The blank is cut along all its lines into small squares (rectangles, really). Squares that no slit
or score parts are one panel. The panel that holds the base stays on the floor; what it has beyond
the base are tabs. A panel across a score from the base stands up at that side; a panel across a
score from a standing one is a flap, which goes round the corner.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from builds.making.blank import Base, Blank, Line
from habitats.structure.lattice import Side

Square = tuple[int, int]
Edge = tuple[Square, Square]


class Box(NamedTuple):
    """A rectangle; flat in the tray's coordinates, or on a wall as (along, height)."""

    x1: int
    y1: int
    x2: int
    y2: int

    def shares_area_with(self, other: "Box") -> bool:
        return min(self.x2, other.x2) > max(self.x1, other.x1) and min(self.y2, other.y2) > max(
            self.y1, other.y1
        )


class StandingPanel(NamedTuple):
    """A panel that stands on one side of the base, at ``at``.

    ``folds`` are the stretches along the side where it is scored; ``boxes`` are its plastic.
    """

    side: Side
    at: int
    folds: tuple[tuple[int, int], ...]
    boxes: tuple[Box, ...]


class Flap(NamedTuple):
    """A panel that lies outside the wall on ``side`` at ``at``, wrapped round from ``corner``.

    ``boxes`` are its plastic on that wall, as (along, height).
    """

    side: Side
    at: int
    corner: int
    boxes: tuple[Box, ...]


@dataclass(slots=True)
class Folded:
    """A blank with a base, folded. Nothing but ``faults`` is to be trusted if there are any."""

    faults: list[str] = field(default_factory=list)
    tabs: list[Box] = field(default_factory=list)
    standing: list[StandingPanel] = field(default_factory=list)
    flaps: list[Flap] = field(default_factory=list)


def fold(blank: Blank) -> Folded:
    """A blank folded along its scores, placed in the tray's coordinates."""
    folded = Folded(faults=outline_faults(blank))
    if not folded.faults:
        flat = Flat(blank)
        folded.faults += flat.faults()
        if not folded.faults and blank.base:
            _Folding(blank, blank.base, flat, folded).run()
    return folded


def outline_faults(blank: Blank) -> list[str]:
    """An outline goes round once, level and upright, and fills its rectangle from edge to edge."""
    corners = blank.outline
    sides = list(pairwise((*corners, corners[0])))
    if any((a[0] == b[0]) == (a[1] == b[1]) for a, b in sides):
        return [f"{blank.name}: the outline has a side that is neither level nor upright"]
    boxes = [_bounds(side) for side in sides]
    for i, one in enumerate(boxes):
        for j, other in enumerate(boxes[i + 2 :], start=i + 2):
            if (i, j) != (0, len(boxes) - 1) and _touch(one, other):
                return [f"{blank.name}: the outline meets itself"]
    if _bounds(corners) != (0, 0, blank.width_mm, blank.height_mm):
        return [f"{blank.name}: the outline does not fill {blank.width_mm} × {blank.height_mm} mm"]
    return []


def _bounds(points: Iterable[tuple[int, int]]) -> Box:
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _touch(one: Box, other: Box) -> bool:
    return min(one.x2, other.x2) >= max(one.x1, other.x1) and min(one.y2, other.y2) >= max(
        one.y1, other.y1
    )


class Flat:
    """The blank in squares, with the edges that slits and scores run along."""

    def __init__(self, blank: Blank) -> None:
        self._name = blank.name
        lines = (*blank.slits, *blank.scores)
        base = blank.base
        base_points = (
            [
                (base.offset_x, base.offset_y),
                (base.offset_x + base.x2 - base.x1, base.offset_y + base.y2 - base.y1),
            ]
            if base
            else []
        )
        points = [*blank.outline, *base_points]
        points += [point for a, b, c, d in lines for point in ((a, b), (c, d))]
        self.xs = sorted({x for x, _ in points})
        self.ys = sorted({y for _, y in points})
        self.squares = self._inside(blank.outline)
        self.slit = {edge for line in blank.slits for edge in self._edges(line)}
        self.score = {edge for line in blank.scores for edge in self._edges(line)}
        self.crooked = any((a == c) == (b == d) for a, b, c, d in lines)
        self.panel_of = self._panels(self.slit | self.score)

    def box(self, square: Square) -> Box:
        column, row = square
        return Box(self.xs[column], self.ys[row], self.xs[column + 1], self.ys[row + 1])

    def faults(self) -> list[str]:
        """Lines that are not where plastic is, that part nothing, or that let a piece fall off."""
        found = []
        if self.crooked:
            found.append(f"{self._name}: a slit or score is neither level nor upright")
        for word, edges in (("slit", self.slit), ("score", self.score)):
            if any(square not in self.squares for edge in edges for square in edge):
                found.append(f"{self._name}: a {word} runs where there is no plastic")
            elif any(self.panel_of[one] == self.panel_of[other] for one, other in edges):
                found.append(f"{self._name}: a {word} parts nothing")
        if self.slit & self.score:
            found.append(f"{self._name}: a score runs along a slit")
        if len(set(self._panels(self.slit).values())) != 1:
            found.append(f"{self._name}: a part falls off when the slits are cut")
        return found

    def _inside(self, outline: tuple[tuple[int, int], ...]) -> set[Square]:
        """Squares with an odd number of outline sides to their west."""
        upright = [
            (a[0], min(a[1], b[1]), max(a[1], b[1]))
            for a, b in pairwise((*outline, outline[0]))
            if a[0] == b[0]
        ]
        return {
            (column, row)
            for row, (north, south) in enumerate(pairwise(self.ys))
            for column, west in enumerate(self.xs[:-1])
            if sum(x <= west and top <= north and south <= end for x, top, end in upright) % 2
        }

    def _edges(self, line: Line) -> Iterator[Edge]:
        columns = sorted((self.xs.index(line.x1), self.xs.index(line.x2)))
        rows = sorted((self.ys.index(line.y1), self.ys.index(line.y2)))
        if line.x1 == line.x2:
            for row in range(*rows):
                yield (columns[0] - 1, row), (columns[0], row)
        else:
            for column in range(*columns):
                yield (column, rows[0] - 1), (column, rows[0])

    def _panels(self, parted: set[Edge]) -> dict[Square, int]:
        """A number for each square, the same where no edge parts them."""
        numbers: dict[Square, int] = {}
        for number, start in enumerate(sorted(self.squares)):
            stack = [] if start in numbers else [start]
            while stack:
                square = stack.pop()
                numbers[square] = number
                stack += [
                    other
                    for other in _around(square)
                    if other in self.squares
                    and other not in numbers
                    and (min(square, other), max(square, other)) not in parted
                ]
        return numbers


def _around(square: Square) -> list[Square]:
    column, row = square
    return [(column - 1, row), (column + 1, row), (column, row - 1), (column, row + 1)]


class _Folding:
    """Goes from the base over the scores outward."""

    def __init__(self, blank: Blank, base: Base, flat: Flat, folded: Folded) -> None:
        self._name = blank.name
        self._base = Box(base.x1, base.y1, base.x2, base.y2)
        self._shift = base.x1 - base.offset_x, base.y1 - base.offset_y
        self._folded = folded
        self._panels: dict[int, list[Box]] = {}
        for square, number in flat.panel_of.items():
            self._panels.setdefault(number, []).append(self._placed(flat.box(square)))
        self._creases: dict[tuple[int, int], list[tuple[Box, Box]]] = {}
        for one, other in flat.score:
            for near, far in ((one, other), (other, one)):
                pair = flat.panel_of[near], flat.panel_of[far]
                boxes = self._placed(flat.box(near)), self._placed(flat.box(far))
                self._creases.setdefault(pair, []).append(boxes)

    def run(self) -> None:
        floor = self._floor()
        if floor is None:
            self._fault("the base is not one flat panel")
            return
        self._folded.tabs += [box for box in self._panels[floor] if not _in(box, self._base)]
        reached = {floor}
        for number in self._next_to(floor):
            reached.add(number)
            standing = self._stand(floor, number)
            if standing:
                for beyond in self._next_to(number):
                    if beyond not in reached:
                        reached.add(beyond)
                        self._wrap(standing, number, beyond)
        if len(reached) < len(self._panels):
            self._fault("a panel hangs on neither the floor nor a wall")

    def _floor(self) -> int | None:
        for number, boxes in self._panels.items():
            covered = sum(_area(box) for box in boxes if _in(box, self._base))
            if covered == _area(self._base):
                return number
        return None

    def _next_to(self, number: int) -> list[int]:
        return [other for one, other in self._creases if one == number]

    def _stand(self, floor: int, number: int) -> StandingPanel | None:
        """The panel stood up at the side of the base that it is scored along."""
        creases = self._creases[floor, number]
        sides = {_side_between(near, far) for near, far in creases}
        side = sides.pop()
        at = _edge_at(self._base, side)
        if sides or any(
            not _in(near, self._base) or _edge_at(near, side) != at for near, _ in creases
        ):
            self._fault("a panel is scored elsewhere than along one side of the floor")
            return None
        folds = tuple(sorted(_along(near, side) for near, _ in creases))
        boxes = tuple(sorted(_on_wall(box, side, at) for box in self._panels[number]))
        standing = StandingPanel(side, at, folds, boxes)
        self._folded.standing.append(standing)
        return standing

    def _wrap(self, wall: StandingPanel, number: int, beyond: int) -> None:
        """The panel folded round the end of a standing one, onto the wall at right angles."""
        turns = {_side_between(near, far) for near, far in self._creases[number, beyond]}
        corners = {_edge_at(near, next(iter(turns))) for near, _ in self._creases[number, beyond]}
        if len(turns) != 1 or len(corners) != 1 or turns <= {wall.side, wall.side.opposite}:
            self._fault("a flap is not scored along one upright edge of a wall")
            return
        side, corner = turns.pop(), corners.pop()
        inward = 1 if wall.side in (Side.N, Side.W) else -1
        boxes = []
        for box in self._panels[beyond]:
            flat = _on_wall(box, wall.side, wall.at)
            ends = sorted(wall.at + inward * abs(x - corner) for x in (flat.x1, flat.x2))
            boxes.append(Box(ends[0], flat.y1, ends[1], flat.y2))
        self._folded.flaps.append(Flap(side, corner, wall.at, tuple(sorted(boxes))))

    def _placed(self, box: Box) -> Box:
        x, y = self._shift
        return Box(box.x1 + x, box.y1 + y, box.x2 + x, box.y2 + y)

    def _fault(self, what: str) -> None:
        self._folded.faults.append(f"{self._name}: {what}")


def _in(box: Box, outer: Box) -> bool:
    return outer.x1 <= box.x1 and box.x2 <= outer.x2 and outer.y1 <= box.y1 and box.y2 <= outer.y2


def _area(box: Box) -> int:
    return (box.x2 - box.x1) * (box.y2 - box.y1)


def _edge_at(box: Box, side: Side) -> int:
    return {Side.N: box.y1, Side.E: box.x2, Side.S: box.y2, Side.W: box.x1}[side]


def _along(box: Box, side: Side) -> tuple[int, int]:
    return (box.x1, box.x2) if side in (Side.N, Side.S) else (box.y1, box.y2)


def _side_between(near: Box, far: Box) -> Side:
    """On which side of one box the next lies."""
    if near.x2 == far.x1:
        return Side.E
    if near.x1 == far.x2:
        return Side.W
    return Side.S if near.y2 == far.y1 else Side.N


def _on_wall(box: Box, side: Side, at: int) -> Box:
    """A flat box beside a side as (along, height) once stood up there; below the floor: < 0."""
    start, end = _along(box, side)
    outward = 1 if side in (Side.S, Side.E) else -1
    out = sorted(outward * (edge - at) for edge in _along(box, side.beside[0]))
    return Box(start, out[0], end, out[1])
