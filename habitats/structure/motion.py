"""Turning and shifting what stands on the lattice, and drawing a design the other way round.

What stands can be seen from any of four sides and told in another drawing's coordinates: that is
a quarter turn, some number of times, and a shift. It never mirrors: no panel, connector or tray
changes by being looked at from elsewhere. A *drawing* can be mirrored, since it is only a wish.
"""

from dataclasses import replace
from typing import NamedTuple

from habitats.structure.connectors import Stance
from habitats.structure.design import Design, RampWish
from habitats.structure.kinds import moved_fittings
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, Side
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray, TrayDoorway, TrayWall

QUARTERS = 4
_CLOCKWISE = (Side.N, Side.E, Side.S, Side.W)
_MIRRORED = {Side.N: Side.N, Side.S: Side.S, Side.E: Side.W, Side.W: Side.E}


class Motion(NamedTuple):
    """So many quarter turns to the right about joint (0, 0), then so far south and east."""

    quarter_turns: int = 0
    rows: int = 0
    cols: int = 0

    @property
    def inverse(self) -> "Motion":
        back = -self.quarter_turns % QUARTERS
        rows, cols = _turned((-self.rows, -self.cols), back)
        return Motion(back, rows, cols)

    def joint(self, joint: Joint) -> Joint:
        row, col = self._point(joint.row, joint.col)
        return Joint(row, col, joint.z)

    def cell(self, cell: Cell) -> Cell:
        return Cell(*self._least(((cell.row, cell.col), (cell.row + 1, cell.col + 1))))

    def place(self, place: PanelPlace) -> PanelPlace:
        first, _second, third, _last = place.corners
        row, col = self._least(((first.row, first.col), (third.row, third.col)))
        return PanelPlace(self.face(place.face), row, col, place.z)

    def face(self, face: Face) -> Face:
        if face is Face.FLAT or self.quarter_turns % 2 == 0:
            return face
        return Face.NS if face is Face.EW else Face.EW

    def side(self, side: Side) -> Side:
        return _CLOCKWISE[(_CLOCKWISE.index(side) + self.quarter_turns) % QUARTERS]

    def stance(self, stance: Stance) -> Stance:
        if stance.plane is Face.FLAT:
            return stance
        toward = (stance.ribs, 0) if stance.plane is Face.EW else (0, stance.ribs)
        return Stance(self.face(stance.plane), sum(_turned(toward, self.quarter_turns)))

    def spot_mm(self, x: int, y: int, size_mm: int) -> tuple[int, int]:
        """A point on a floor, x eastward and y southward, for panels of this size."""
        row, col = _turned((y, x), self.quarter_turns)
        return col + self.cols * size_mm, row + self.rows * size_mm

    def _point(self, row: int, col: int) -> tuple[int, int]:
        down, right = _turned((row, col), self.quarter_turns)
        return down + self.rows, right + self.cols

    def _least(self, points: tuple[tuple[int, int], tuple[int, int]]) -> tuple[int, int]:
        (row_a, col_a), (row_b, col_b) = (self._point(*point) for point in points)
        return min(row_a, row_b), min(col_a, col_b)


def _turned(point: tuple[int, int], quarter_turns: int) -> tuple[int, int]:
    """Row and column after turns to the right: what lay north then lies east."""
    row, col = point
    for _ in range(quarter_turns):
        row, col = col, -row
    return row, col


# --- A whole structure, told in other coordinates ---


def moved(structure: Structure, motion: Motion) -> Structure:
    """The same parts in other coordinates, each as it is: nothing is worked out anew.

    Levels, trays and ramps keep their indexes. Rows and columns may be negative.
    """
    size_mm = structure.design.panel.size_mm
    return Structure(
        design=moved_design(structure.design, motion),
        panels=tuple(
            sorted(replace(one, place=motion.place(one.place)) for one in structure.panels)
        ),
        ramps=tuple(_moved_ramp(one, motion) for one in structure.ramps),
        fittings=moved_fittings(structure.fittings, motion.cell, motion.side, motion.joint),
        trays=tuple(_moved_tray(one, motion, size_mm) for one in structure.trays),
        stances={
            motion.joint(joint): motion.stance(stance)
            for joint, stance in structure.stances.items()
        },
        unheld=tuple(
            sorted((motion.joint(joint), motion.place(place)) for joint, place in structure.unheld)
        ),
    )


def moved_design(design: Design, motion: Motion) -> Design:
    """The same drawing in other coordinates, whether it can stand or not."""
    turned = motion.quarter_turns % 2 == 1
    return replace(
        design,
        rows=design.cols if turned else design.rows,
        cols=design.rows if turned else design.cols,
        levels=tuple(
            replace(one, cells=frozenset(map(motion.cell, one.cells))) for one in design.levels
        ),
        ramps=tuple(_moved_wish(one, motion) for one in design.ramps),
        room_walls=frozenset(map(motion.side, design.room_walls)),
        fittings=moved_fittings(design.fittings, motion.cell, motion.side, motion.joint),
    )


def _moved_wish(wish: RampWish, motion: Motion) -> RampWish:
    row, col = motion.cell(wish.cell)
    return replace(wish, row=row, col=col, side=motion.side(wish.side))


def _moved_ramp(ramp: Ramp, motion: Motion) -> Ramp:
    return replace(
        ramp,
        cell=motion.cell(ramp.cell),
        side=motion.side(ramp.side),
        lane=tuple(map(motion.cell, ramp.lane)),
    )


def _moved_tray(tray: Tray, motion: Motion, size_mm: int) -> Tray:
    return replace(
        tray,
        rings=tuple(tuple(_moved_wall(w, motion, size_mm) for w in ring) for ring in tray.rings),
        doorways=tuple(_moved_doorway(one, motion, size_mm) for one in tray.doorways),
    )


def _moved_wall(wall: TrayWall, motion: Motion, size_mm: int) -> TrayWall:
    start = motion.spot_mm(wall.x1, wall.y1, size_mm)
    end = motion.spot_mm(wall.x2, wall.y2, size_mm)
    return TrayWall(motion.side(wall.side), tuple(map(motion.cell, wall.cells)), *start, *end)


def _moved_doorway(doorway: TrayDoorway, motion: Motion, size_mm: int) -> TrayDoorway:
    start = motion.spot_mm(doorway.x1, doorway.y1, size_mm)
    end = motion.spot_mm(doorway.x2, doorway.y2, size_mm)
    return TrayDoorway(
        motion.side(doorway.side),
        motion.cell(doorway.cell),
        *min(start, end),
        *max(start, end),
    )


# --- A drawing the other way round ---


def mirrored_joint(joint: Joint, cols: int) -> Joint:
    return joint._replace(col=cols - joint.col)


def mirrored_cell(cell: Cell, cols: int) -> Cell:
    return Cell(cell.row, cols - 1 - cell.col)


def mirrored_side(side: Side) -> Side:
    return _MIRRORED[side]


def mirrored(design: Design) -> Design:
    """The drawing with east and west swapped."""
    cols = design.cols

    def across(row: int, col: int, side: Side) -> tuple[int, int, Side]:
        return row, cols - 1 - col, mirrored_side(side)

    return replace(
        design,
        levels=tuple(
            replace(one, cells=frozenset(mirrored_cell(cell, cols) for cell in one.cells))
            for one in design.levels
        ),
        ramps=tuple(
            replace(one, row=row, col=col, side=side)
            for one in design.ramps
            for row, col, side in [across(one.row, one.col, one.side)]
        ),
        room_walls=frozenset(map(mirrored_side, design.room_walls)),
        fittings=moved_fittings(
            design.fittings,
            lambda cell: mirrored_cell(cell, cols),
            mirrored_side,
            lambda joint: mirrored_joint(joint, cols),
        ),
    )
