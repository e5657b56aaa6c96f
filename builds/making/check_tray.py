"""Checks the blanks of one tray, folded up, against the tray."""

from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise

from builds.making.blank import Blank, BlankSet, Join
from builds.making.blank import Line as BlankLine
from builds.making.check_folding import Box, StandingPanel, fold
from builds.making.part_names import part_name
from habitats.structure.lattice import Side
from habitats.structure.tray import Tray, TrayDoorway, TrayWall

FOLD_CLEAR_MM = 10

# A seam at least so long needs a tab; a shorter one may be taped only.
LONG_SEAM_MM = 200

# Where two walls so long meet, there is room for a flap.
LONG_WALL_MM = 150

EAST_WEST = (Side.E, Side.W)

Stretch = tuple[int, int]

# Which side, and the coordinate that stays the same along it.
Line = tuple[Side, int]


class TrayCheck:
    """One tray against its blanks, folded."""

    def __init__(self, name: str, tray: Tray, blanks: BlankSet) -> None:
        self._name = name
        self._tray = tray
        self._blanks = [blank for blank in blanks.blanks if blank.level == tray.level]
        self._joins = [join for join in blanks.joins if join.level == tray.level]
        self._folded = [(blank, fold(blank)) for blank in self._blanks]
        self._walls = _by_line(wall for ring in tray.rings for wall in ring)
        self._doorways = _by_line(tray.doorways)
        self._bases = {
            blank.code: Box(base.x1, base.y1, base.x2, base.y2)
            for blank in self._blanks
            if (base := blank.base)
        }

    def faults(self) -> list[str]:
        broken = [fault for _, folded in self._folded for fault in folded.faults]
        if broken:
            return broken
        if len(self._bases) < len(self._blanks):
            return [f"{self._name}: a blank has no base, or two have the same name"]
        return [
            *self._cover_faults(),
            *self._wall_faults(),
            *self._doorway_faults(),
            *self._corner_faults(),
            *self._beyond_faults(),
            *self._layer_faults(),
            *self._tab_faults(),
            *self._join_faults(),
        ]

    def _cover_faults(self) -> Iterator[str]:
        """Between all lines that matter, floor is covered once and the rest not at all."""
        floor = [(w.x1, w.y1, w.y2) for ring in self._tray.rings for w in ring if w.x1 == w.x2]
        boxes = list(self._bases.values())
        xs = sorted({x for x, *_ in floor} | {x for box in boxes for x in (box.x1, box.x2)})
        ys = {y for _, *ends in floor for y in ends} | {y for b in boxes for y in (b.y1, b.y2)}
        for north, south in pairwise(sorted(ys)):
            covers = [(box.x1, box.x2) for box in boxes if box.y1 <= north and south <= box.y2]
            walls = [x for x, *ends in floor if min(ends) <= north and south <= max(ends)]
            for west, east in pairwise(xs):
                wanted = sum(x <= west for x in walls) % 2
                found = sum(start <= west and east <= end for start, end in covers)
                if found != wanted:
                    yield (
                        f"{self._name}: floor from {west}, {north} to {east}, {south} is covered "
                        f"{found} times instead of {wanted}"
                    )

    def _wall_faults(self) -> Iterator[str]:
        """Walls of full height stand where the tray has them, once, doorways apart."""
        found: dict[Line, list[Stretch]] = {}
        for blank, panel in self._standing():
            for start, end in panel.folds:
                if not self._is_in_doorway(panel, (start, end)):
                    found.setdefault((panel.side, panel.at), []).append((start, end))
                if not _stands(panel, (start, end), self._tray.wall_mm):
                    yield (
                        f"{blank.name}: on side {panel.side} from {start} to {end} the wall is not "
                        f"{self._tray.wall_mm} mm high"
                    )
        for line in sorted(self._walls.keys() | found.keys()):
            wanted = _without(self._walls.get(line, []), self._doorways.get(line, []))
            yield from self._difference(line, wanted, found.get(line, []))

    def _difference(self, line: Line, wanted: list[Stretch], found: list[Stretch]) -> Iterator[str]:
        marks = sorted({end for stretch in (*wanted, *found) for end in stretch})
        for start, end in pairwise(marks):
            due = sum(a <= start and end <= b for a, b in wanted)
            there = sum(a <= start and end <= b for a, b in found)
            if due != there:
                yield (
                    f"{self._name}: {there} walls instead of {due} on side {line[0]} at {line[1]} "
                    f"from {start} to {end}"
                )

    def _doorway_faults(self) -> Iterator[str]:
        """Each doorway has one flap that fills it, parted from the wall and scored on its own."""
        for line, doorways in self._doorways.items():
            for doorway in doorways:
                whole = Box(doorway[0], 0, doorway[1], self._tray.wall_mm)
                flaps = [
                    blank
                    for blank, panel in self._standing()
                    if (panel.side, panel.at) == line
                    and _bounds(panel.boxes) == whole
                    and any(_on_base(score, blank) == (line, doorway) for score in blank.scores)
                ]
                if len(flaps) != 1:
                    yield (
                        f"{self._name}: the doorway on side {line[0]} at {line[1]} from "
                        f"{doorway[0]} to {doorway[1]} has {len(flaps)} flaps instead of 1"
                    )

    def _corner_faults(self) -> Iterator[str]:
        """Where two long walls of a blank meet, a flap of one holds the other."""
        for blank, folded in self._folded:
            held = {(flap.at, flap.corner) for flap in folded.flaps if flap.side in EAST_WEST} | {
                (flap.corner, flap.at) for flap in folded.flaps if flap.side not in EAST_WEST
            }
            for x, y in _long_corners(folded.standing):
                if (x, y) not in held:
                    yield f"{blank.name}: no flap holds the corner at {x}, {y}"

    def _beyond_faults(self) -> Iterator[str]:
        """Laps and flaps lie on a wall, below its top, short of its folds and doorways."""
        for name, line, box, is_flap, origin in self._outside():
            wall = next(
                ((a, b) for a, b in self._walls.get(line, ()) if a <= box.x1 and box.x2 <= b), None
            )
            what = "flap" if is_flap else "lap"
            if wall is None or (is_flap and origin not in wall):
                yield f"{name}: a {what} lies where no wall is"
            elif any(box.x1 < b and a < box.x2 for a, b in self._doorways.get(line, ())):
                yield f"{name}: a {what} covers a doorway"
            elif box.y2 > self._tray.wall_mm or box.y1 < (0 if is_flap else FOLD_CLEAR_MM):
                yield f"{name}: a {what} is above the wall or in its fold"
            elif (wall[1] - box.x2 if box.x1 >= origin else box.x1 - wall[0]) < FOLD_CLEAR_MM:
                yield f"{name}: a {what} reaches the fold at the wall's end"

    def _layer_faults(self) -> Iterator[str]:
        """No more than one lap, or lap and flap, lies on the same bit of wall."""
        for one, other in combinations(self._outside(), 2):
            both_flaps = one[3] and other[3]
            if one[1] == other[1] and one[2].shares_area_with(other[2]) and not both_flaps:
                yield f"{one[0]} and {other[0]}: their laps or flaps lie on each other"

    def _tab_faults(self) -> Iterator[str]:
        tabs = [(blank.name, tab) for blank, folded in self._folded for tab in folded.tabs]
        for name, tab in tabs:
            under = [
                other
                for other, base in self._bases.items()
                if base.x1 <= tab.x1
                and tab.x2 <= base.x2
                and base.y1 <= tab.y1
                and tab.y2 <= base.y2
            ]
            if len(under) != 1 or under == [name]:
                yield f"{name}: a tab does not lie under the floor of one other piece"
            for fold_line in self._fold_lines():
                if _apart(tab, fold_line) < FOLD_CLEAR_MM:
                    yield f"{name}: a tab comes within {FOLD_CLEAR_MM} mm of a fold"
        for (name, tab), (other_name, other) in combinations(tabs, 2):
            if tab.shares_area_with(other):
                yield f"{name} and {other_name}: their tabs lie on each other"

    def _join_faults(self) -> Iterator[str]:
        """Every seam is told once, with a tab under it unless it is short."""
        told = {
            (frozenset(join.pieces), (join.x1, join.y1, join.x2, join.y2)): join
            for join in self._joins
        }
        seams = set()
        for (one, box), (other, beside) in combinations(self._bases.items(), 2):
            if seam := _seam(box, beside):
                seams.add((frozenset((one, other)), tuple(seam)))
        for pieces, place in sorted(told.keys() ^ seams, key=str):
            names = sorted(map(part_name, pieces))
            yield f"{self._name}: the join of {names} at {place} is not told as it is"
        for key in told.keys() & seams:
            yield from self._tab_of_join_faults(told[key])
        if len(told) != len(self._joins):
            yield f"{self._name}: a join is told twice"

    def _tab_of_join_faults(self, join: Join) -> Iterator[str]:
        seam = Box(join.x1, join.y1, join.x2, join.y2)
        tabs = [
            tab
            for blank, folded in self._folded
            if blank.code == join.carrier
            for tab in folded.tabs
            if min(_shared(tab, seam)) == 0 < max(_shared(tab, seam))
        ]
        length = sum(max(_shared(tab, seam)) for tab in tabs)
        if join.carrier not in join.pieces or length != join.tab_mm:
            yield (
                f"{self._name}: {part_name(join.carrier)} has {length} mm of tab instead of "
                f"{join.tab_mm}"
            )
        if not length and join.length_mm >= LONG_SEAM_MM:
            pieces = " and ".join(map(part_name, join.pieces))
            yield f"{self._name}: the join of {pieces} has no tab"

    def _standing(self) -> Iterator[tuple[Blank, StandingPanel]]:
        for blank, folded in self._folded:
            for panel in folded.standing:
                yield blank, panel

    def _is_in_doorway(self, panel: StandingPanel, fold_at: Stretch) -> bool:
        doorways = self._doorways.get((panel.side, panel.at), ())
        return any(a <= fold_at[0] and fold_at[1] <= b for a, b in doorways)

    def _outside(self) -> list[tuple[str, Line, Box, bool, int]]:
        """All that lies outside walls: (blank, line, plastic, whether a flap, where it starts)."""
        found = []
        for blank, folded in self._folded:
            for panel in folded.standing:
                line, start, end = (panel.side, panel.at), panel.folds[0][0], panel.folds[-1][1]
                for box in panel.boxes:
                    if box.x1 >= end or box.x2 <= start:
                        found.append(
                            (blank.name, line, box, False, end if box.x1 >= end else start)
                        )
            for flap in folded.flaps:
                for box in flap.boxes:
                    found.append((blank.name, (flap.side, flap.at), box, True, flap.corner))
        return found

    def _fold_lines(self) -> Iterator[Box]:
        for ring in self._tray.rings:
            for wall in ring:
                (west, east), (north, south) = (
                    sorted((wall.x1, wall.x2)),
                    sorted((wall.y1, wall.y2)),
                )
                yield Box(west, north, east, south)


def _by_line(ones: Iterable[TrayWall | TrayDoorway]) -> dict[Line, list[Stretch]]:
    found: dict[Line, list[Stretch]] = {}
    for one in ones:
        if one.side in (Side.N, Side.S):
            found.setdefault((one.side, one.y1), []).append(
                (min(one.x1, one.x2), max(one.x1, one.x2))
            )
        else:
            found.setdefault((one.side, one.x1), []).append(
                (min(one.y1, one.y2), max(one.y1, one.y2))
            )
    return found


def _without(whole: list[Stretch], taken: list[Stretch]) -> list[Stretch]:
    """What is left of stretches when others are taken out of them."""
    marks = sorted({end for stretch in (*whole, *taken) for end in stretch})
    return [
        (start, end)
        for start, end in pairwise(marks)
        if any(a <= start and end <= b for a, b in whole)
        and not any(a <= start and end <= b for a, b in taken)
    ]


def _stands(panel: StandingPanel, fold_at: Stretch, wall_mm: int) -> bool:
    """Whether plastic goes up from the fold to the wall's height and ends there."""
    boxes = [box for box in panel.boxes if (box.x1, box.x2) == fold_at]
    heights = [0, *(box.y2 for box in boxes)]
    return heights[-1] == wall_mm and heights[:-1] == [box.y1 for box in boxes]


def _long_corners(standing: Iterable[StandingPanel]) -> Iterator[tuple[int, int]]:
    """Points (x, y) where two long panels of one blank meet at right angles."""
    ends = [
        (panel, (panel.folds[0][0], panel.folds[-1][1]))
        for panel in standing
        if panel.folds[-1][1] - panel.folds[0][0] >= LONG_WALL_MM
    ]
    for upright, ys in ends:
        for level, xs in ends:
            at_right_angles = upright.side in EAST_WEST and level.side not in EAST_WEST
            if at_right_angles and upright.at in xs and level.at in ys:
                yield upright.at, level.at


def _on_base(score: BlankLine, blank: Blank) -> tuple[Line, Stretch] | None:
    """The side of the base that a score runs along, and where, in the tray's coordinates."""
    base = blank.base
    assert base
    x, y = base.x1 - base.offset_x, base.y1 - base.offset_y
    across, down = sorted((score.x1 + x, score.x2 + x)), sorted((score.y1 + y, score.y2 + y))
    if down[0] == down[1] and down[0] in (base.y1, base.y2):
        return (Side.N if down[0] == base.y1 else Side.S, down[0]), (across[0], across[1])
    if across[0] == across[1] and across[0] in (base.x1, base.x2):
        return (Side.W if across[0] == base.x1 else Side.E, across[0]), (down[0], down[1])
    return None


def _bounds(boxes: Iterable[Box]) -> Box:
    x1, y1, x2, y2 = zip(*boxes, strict=True)
    return Box(min(x1), min(y1), max(x2), max(y2))


def _gap(one: Stretch, other: Stretch) -> int:
    """How far apart two stretches are; 0 if they touch or overlap."""
    return max(one[0] - other[1], other[0] - one[1], 0)


def _apart(one: Box, other: Box) -> int:
    return max(
        _gap((one.x1, one.x2), (other.x1, other.x2)), _gap((one.y1, one.y2), (other.y1, other.y2))
    )


def _shared(one: Box, other: Box) -> tuple[int, int]:
    """Lengths shared along x and along y; negative where they are apart."""
    return (
        min(one.x2, other.x2) - max(one.x1, other.x1),
        min(one.y2, other.y2) - max(one.y1, other.y1),
    )


def _seam(one: Box, other: Box) -> Box | None:
    """Where two floors touch along more than a point."""
    if sorted(map(bool, _shared(one, other))) != [False, True] or min(_shared(one, other)) < 0:
        return None
    return Box(
        max(one.x1, other.x1), max(one.y1, other.y1), min(one.x2, other.x2), min(one.y2, other.y2)
    )
