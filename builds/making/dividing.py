"""Rectangles of floor that are too large for the sheet, divided into pieces that are not.

A piece needs room on the sheet for its walls and, on every side that joins a neighbour, for a tab.
Which of two neighbours gets the tab is decided later, so room is kept for it on both: a piece
may be called too large although it would fit without its tabs.

A rectangle is cut into strips one way, and each strip into pieces the other way; both ways and
every number of strips worth trying are compared. That gives few pieces, not provably the fewest.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import combinations, islice, pairwise

from builds.making.blank import Flute, SheetSize
from builds.making.partition import Cost, add_up, partition
from builds.making.pattern import NOTCH_MM
from builds.making.piece import PieceWall, Rect, Stretch
from builds.making.seams import place_seams
from builds.making.walls import TrayEdge, walls_of
from habitats.structure.lattice import Side


def pieces_of_floor(edge: TrayEdge, divider: "Divider") -> tuple[Rect, ...]:
    """The rectangles a floor's blanks are made for, in reading order; none if none can be made."""
    rects = partition(edge, divider.cost)
    if any(not divider.pieces(rect) for rect in rects):
        return ()
    pieces = _merged([piece for rect in rects for piece in divider.pieces(rect)], divider)
    return tuple(sorted(pieces, key=lambda piece: (piece.y1, piece.x1)))


def _merged(pieces: list[Rect], divider: "Divider") -> list[Rect]:
    """The same floor with neighbours made one wherever that is a rectangle that still fits."""
    for one, other in combinations(pieces, 2):
        whole = Rect(*map(min, one[:2], other[:2]), *map(max, one[2:], other[2:]))
        if whole.area_mm2 == one.area_mm2 + other.area_mm2 and divider.fits(whole):
            return _merged([whole, *(p for p in pieces if p not in (one, other))], divider)
    return pieces


# More strips than the narrow side of the sheet asks for, to get round doorways.
SPARE_STRIPS = 2

# So many numbers of strips are compared each way, from the fewest that work. More strips are
# better only if they are as narrow as pieces cut the other way, and that way is tried too.
WAYS_TRIED = 3


class Divider:
    """Divides the rectangles of one tray. Remembers every rectangle it was asked about.

    ``least_mm``: pieces narrower than this are slivers, made only where nothing else is possible.
    ``doorway_margin_mm``: so far beside a doorway no seam meets its wall.
    """

    def __init__(self, edge: TrayEdge, wall_mm: int, sheet: SheetSize, overlap_mm: int) -> None:
        self._edge = edge
        self._wall_mm = wall_mm
        self._sheet = sheet
        self._sheet_sides = sorted((sheet.width_mm, sheet.height_mm))
        self._overlap_mm = overlap_mm
        self.least_mm = 2 * overlap_mm + NOTCH_MM
        self.doorway_margin_mm = overlap_mm + NOTCH_MM
        self.fits = cache(self._fits)
        self.pieces = cache(self._pieces)
        self.cost = cache(self._cost)
        self._piece_cost = cache(self._cost_of_piece)
        self._in_a_row = cache(self._cut_in_a_row)

    def _fits(self, piece: Rect) -> bool:
        """Whether a piece with its walls and tabs can be cut from the sheet, either way round."""
        width = piece.width_mm + sum(self._beside(piece, side) for side in (Side.W, Side.E))
        height = piece.height_mm + sum(self._beside(piece, side) for side in (Side.N, Side.S))
        return any(self._sheet.takes(width, height, flute) for flute in Flute)

    def _pieces(self, rect: Rect) -> tuple[Rect, ...]:
        """The rectangle itself if it fits the sheet, else few pieces of it; none if none fit."""
        if self.fits(rect):
            return (rect,)
        ways = [way for across in (Side.W, Side.N) for way in self._ways(rect, across)]
        return min(ways, key=self._sum, default=())

    def _cost(self, rect: Rect) -> Cost:
        """(cannot be made, doorways cut by a seam, slivers, pieces, seams' length twice)."""
        pieces = self.pieces(rect)
        return self._sum(pieces) if pieces else (1, 0, 0, 0, 0)

    def doorways_cut(self, pieces: Iterable[Rect]) -> int:
        """How many doorways have a seam too near."""
        return sum(self._piece_cost(piece)[1] for piece in pieces)

    def _beside(self, piece: Rect, side: Side) -> int:
        """Room needed out from a side."""
        walled = _walled_mm(piece, side, self._edge)
        wall = self._wall_mm if walled else 0
        joined = walled < piece.along(side).length_mm
        return max(wall, self._overlap_mm) if joined else wall

    def _cost_of_piece(self, piece: Rect) -> Cost:
        walls = walls_of(piece, self._edge)
        clashes = sum(self._clashes(wall) for wall in walls)
        round_mm = 2 * (piece.width_mm + piece.height_mm)
        seams = round_mm - sum(wall.along.length_mm for wall in walls)
        return (0, clashes, self._slivers(piece, walls), 1, seams)

    def _slivers(self, piece: Rect, walls: Sequence[PieceWall]) -> int:
        """Measures of a piece that are awkwardly small: itself, stubs of wall, bits of seam."""
        seams = (piece.along(side).length_mm - _walled_mm(piece, side, self._edge) for side in Side)
        stubs = (wall.along.length_mm for wall in walls if wall.starts_at_seam or wall.ends_at_seam)
        measures = (piece.width_mm, piece.height_mm, *stubs, *seams)
        return sum(0 < measure < self.least_mm for measure in measures)

    def _clashes(self, wall: PieceWall) -> int:
        """Doorways of a wall that a seam at one of its ends comes too near to."""
        margin = self.doorway_margin_mm
        return sum(
            (wall.starts_at_seam and doorway.start < wall.along.start + margin)
            or (wall.ends_at_seam and doorway.end > wall.along.end - margin)
            for doorway in wall.doorways
        )

    def _sum(self, pieces: tuple[Rect, ...]) -> Cost:
        return add_up(map(self._piece_cost, pieces))

    def _ways(self, rect: Rect, across: Side) -> Iterator[tuple[Rect, ...]]:
        """The rectangle in pieces, from the fewest strips that work to a few more."""
        found = (self._in_strips(rect, across, count) for count in self._counts(rect, across))
        return islice(filter(None, found), WAYS_TRIED)

    def _in_strips(self, rect: Rect, across: Side, count: int) -> tuple[Rect, ...]:
        """Cut into strips from the named side to the opposite one, and each strip into pieces."""
        strips = self._cut(rect, across, count)
        rows = [self._in_a_row(strip, across.beside[0]) for strip in strips]
        return tuple(piece for row in rows for piece in row) if all(rows) else ()

    def _cut_in_a_row(self, strip: Rect, across: Side) -> tuple[Rect, ...]:
        """The strip cut straight across into as few pieces as fit."""
        if self.fits(strip):
            return (strip,)
        for count in self._counts(strip, across):
            pieces = self._cut(strip, across, count)
            if pieces and all(map(self.fits, pieces)):
                return pieces
        return ()

    def _counts(self, rect: Rect, across: Side) -> range:
        """Numbers of strips worth trying."""
        length = _from_side_to_side(rect, across).length_mm
        shortest, longest = self._sheet_sides
        narrowest = max(self.least_mm, shortest - 2 * max(self._wall_mm, self._overlap_mm))
        most = min(length // self.least_mm, -(-length // narrowest) + SPARE_STRIPS)
        return range(-(-length // longest), most + 1)

    def _cut(self, rect: Rect, across: Side, count: int) -> tuple[Rect, ...]:
        """So many strips, cut clear of doorways and, where that can be, of the walls' ends.

        Empty where that cannot be.
        """
        whole = _from_side_to_side(rect, across)
        most = self._most(rect, across, count)
        doorways, ends = self._kept_clear(rect, across)
        seams = place_seams(whole, most, self.least_mm, (*doorways, *ends))
        if seams is None:
            seams = place_seams(whole, most, self.least_mm, tuple(doorways))
        return () if seams is None else tuple(_strips(rect, across, seams))

    def _most(self, rect: Rect, across: Side, count: int) -> tuple[int, ...]:
        """How long the floor of each strip may be: what the sheet leaves beside walls and tabs."""
        taken = [2 * self._overlap_mm] * count
        taken[0] += self._beside(rect, across) - self._overlap_mm
        taken[-1] += self._beside(rect, across.opposite) - self._overlap_mm
        each = (_from_side_to_side(rect, across).length_mm + sum(taken)) / count
        limit = next((side for side in self._sheet_sides if each <= side), self._sheet_sides[-1])
        return tuple(limit - one for one in taken)

    def _kept_clear(self, rect: Rect, across: Side) -> tuple[list[Stretch], list[Stretch]]:
        """Where seams should not end: near doorways, and near where walls end beside a seam."""
        doorways, ends = [], []
        margin, least = self.doorway_margin_mm, self.least_mm
        for wall in walls_of(rect, self._edge):
            if wall.side in across.beside:
                doorways += [Stretch(a - margin, b + margin) for a, b in wall.doorways]
                ends += [Stretch(end - least, end + least) for end in wall.along]
        return doorways, ends


def _from_side_to_side(rect: Rect, across: Side) -> Stretch:
    """The extent at right angles to a side."""
    return rect.along(across.beside[0])


def _strips(rect: Rect, across: Side, seams: tuple[int, ...]) -> Iterator[Rect]:
    whole = _from_side_to_side(rect, across)
    for start, end in pairwise((whole.start, *seams, whole.end)):
        if across is Side.W:
            yield rect._replace(x1=start, x2=end)
        else:
            yield rect._replace(y1=start, y2=end)


def _walled_mm(piece: Rect, side: Side, edge: TrayEdge) -> int:
    """How much of a side has a wall."""
    part = piece.along(side)
    return sum(
        max(0, min(part.end, whole.end) - max(part.start, whole.start))
        for whole in edge.walls.get((side, piece.at(side)), ())
    )
