"""How the pieces of a tray go together: tabs under the neighbour's floor, laps outside its walls.

At each seam one piece, the carrier, has a tab that lies under the other's floor; where the seam
ends at a wall that goes straight on, the carrier's wall laps the other's on the outside. So the
other sits in the carrier. All of it is taped. Where two walls meet at an inner corner, tape alone
holds them.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from builds.making.pattern import NOTCH_MM
from builds.making.piece import Piece, PieceWall, Rect, Stretch, Tab
from builds.making.walls import TrayEdge, room_on, walls_of, with_flaps
from habitats.structure.lattice import Side

# A tab or lap smaller than this holds no tape. Common practice, no source.
SHORTEST_TAB_MM = 30
SHALLOWEST_MM = 10


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two pieces touch: indexes of the carrier and the other, along the carrier's side.

    ``tab`` is None where the seam is too short for one. ``laps`` are how far the carrier's walls
    lap the other's at the seam's start and end; 0 where there is no wall straight on.
    """

    carrier: int
    other: int
    side: Side
    along: Stretch
    tab: Tab | None = None
    laps: tuple[int, int] = (0, 0)


def joined(
    floors: Sequence[Rect], edge: TrayEdge, wall_mm: int, overlap_mm: int
) -> tuple[list[Piece], list[Seam]]:
    """The pieces, in the order of their floors, with all that holds them together; the seams."""
    walls = [with_flaps(walls_of(floor, edge), wall_mm, overlap_mm) for floor in floors]
    seams: list[Seam] = []
    for seam in _seams(floors, walls, overlap_mm):
        tab = _tab(seam, floors, [_tab_floor(one, floors) for one in seams if one.tab], overlap_mm)
        seams.append(replace(seam, tab=tab, laps=_laps(seam, floors, walls, overlap_mm)))
    pieces = [
        Piece(floor, _with_laps(index, walls[index], seams), _tabs(index, seams))
        for index, floor in enumerate(floors)
    ]
    return pieces, seams


def _seams(
    floors: Sequence[Rect], walls: Sequence[tuple[PieceWall, ...]], overlap_mm: int
) -> list[Seam]:
    """Every seam with its better carrier; those that run east and west first."""
    touching: dict[frozenset[int], list[Seam]] = {}
    for seam in _both_ways(floors):
        touching.setdefault(frozenset((seam.carrier, seam.other)), []).append(seam)

    def preference(seam: Seam) -> tuple[bool, bool, int, int]:
        """A full tab, one that makes its blank no larger, the smaller piece, the first."""
        too_shallow = _depth(seam, floors, overlap_mm) < overlap_mm
        no_wall_beside = all(wall.side is not seam.side for wall in walls[seam.carrier])
        return too_shallow, no_wall_beside, floors[seam.carrier].area_mm2, seam.carrier

    chosen = [min(both, key=preference) for both in touching.values()]
    return sorted(chosen, key=lambda seam: seam.side in (Side.W, Side.E))


def _both_ways(floors: Sequence[Rect]) -> Iterator[Seam]:
    """Each seam twice: once for either piece as its carrier."""
    facing: dict[tuple[Side, int], list[int]] = {}
    for index, floor in enumerate(floors):
        for side in Side:
            facing.setdefault((side, floor.at(side)), []).append(index)
    for index, floor in enumerate(floors):
        for side in Side:
            for other in facing.get((side.opposite, floor.at(side)), ()):
                a, b = floor.along(side), floors[other].along(side)
                along = Stretch(max(a.start, b.start), min(a.end, b.end))
                if along.length_mm > 0:
                    yield Seam(index, other, side, along)


def _depth(seam: Seam, floors: Sequence[Rect], overlap_mm: int) -> int:
    """How far a tab may reach: short of the fold, or of another tab, on the far side."""
    across = floors[seam.other].along(seam.side.beside[0])
    return min(overlap_mm, across.length_mm - overlap_mm - NOTCH_MM)


def _tab(seam: Seam, floors: Sequence[Rect], others: Iterable[Rect], overlap_mm: int) -> Tab | None:
    """The tab, cut back from folds and from the tabs that already lie under the same floor."""
    depth = _depth(seam, floors, overlap_mm)
    start, end = seam.along.start + NOTCH_MM, seam.along.end - NOTCH_MM
    floor = floors[seam.carrier]
    for other in others:
        place = floor.beside(seam.side, Stretch(start, end), 0, max(depth, 0))
        if start < end and place.overlaps(other):
            taken = other.along(seam.side)
            if taken.start <= start:
                start = taken.end + NOTCH_MM
            else:
                end = taken.start - NOTCH_MM
    if depth < SHALLOWEST_MM or end - start < SHORTEST_TAB_MM:
        return None
    return Tab(seam.side, Stretch(start, end), depth)


def _tab_floor(seam: Seam, floors: Sequence[Rect]) -> Rect:
    """The floor a seam's tab lies under."""
    assert seam.tab
    return floors[seam.carrier].beside(seam.side, seam.tab.along, 0, seam.tab.depth_mm)


def _laps(
    seam: Seam,
    floors: Sequence[Rect],
    walls: Sequence[tuple[PieceWall, ...]],
    overlap_mm: int,
) -> tuple[int, int]:
    """How far the walls at the seam's start and end may lap those of the other piece."""

    def lap(end: int) -> int:
        beside, back = seam.side.beside[end], seam.side.opposite
        if seam.along[end] != floors[seam.carrier].along(seam.side)[end]:
            return 0
        if not _going_on(walls[seam.carrier], beside, seam.side):
            return 0
        lapped = _going_on(walls[seam.other], beside, back)
        room = room_on(lapped, beside.beside.index(back), overlap_mm) if lapped else 0
        return min(overlap_mm, room) if room >= SHALLOWEST_MM else 0

    return lap(0), lap(1)


def _going_on(walls: Iterable[PieceWall], beside: Side, past: Side) -> PieceWall | None:
    """The wall on one side of a piece that goes straight on past another side."""
    for wall in walls:
        goes_on = (wall.starts_at_seam, wall.ends_at_seam)[beside.beside.index(past)]
        if wall.side is beside and goes_on:
            return wall
    return None


def _with_laps(
    index: int, walls: tuple[PieceWall, ...], seams: Iterable[Seam]
) -> tuple[PieceWall, ...]:
    """A piece's walls with the laps of the seams it carries."""
    laps = {wall: [0, 0] for wall in walls}
    for seam in seams:
        for beside, lap in zip(seam.side.beside, seam.laps, strict=True):
            if seam.carrier == index and lap:
                wall = _going_on(walls, beside, seam.side)
                assert wall
                laps[wall][beside.beside.index(seam.side)] = lap
    return tuple(replace(wall, laps=(laps[wall][0], laps[wall][1])) for wall in walls)


def _tabs(index: int, seams: Iterable[Seam]) -> tuple[Tab, ...]:
    return tuple(seam.tab for seam in seams if seam.carrier == index and seam.tab)
