"""Edits to a design, one a step on the drawing board. Each returns a new design.

An edit may leave a shape that cannot stand yet; ``raise_structure`` names why. It never
leaves the lattice larger than ``MOST_ROWS`` by ``MOST_COLS``, nor a ramp or fitting on a cell
that is gone: those go with their cell. What makes no sense at all raises ``BadDesign``.

The lattice is as large as the drawing: an edit that draws past its edge moves everything in it,
and ``Moved`` tells by how much.
"""

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from habitats.structure.design import Design, Fitting, Level, PanelSize, RampWish
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.kinds import (
    KINDS,
    At,
    has_its_floor,
    in_order,
    moved_fittings,
    spot_of,
    stands_on_floor,
    with_fittings,
)
from habitats.structure.lattice import Cell, Joint, Side
from habitats.structure.read import (
    MOST_COLS,
    MOST_LEVELS,
    MOST_RAMPS,
    MOST_ROWS,
    MOST_TIERS,
    MOST_Z,
)
from habitats.wording import message

USUAL_SQUARES = 3  # overlap and bend of a ramp of 9 × 9 panels; common practice


class Moved(NamedTuple):
    """A design, and how far down and right its cells went on the lattice by the edit."""

    design: Design
    rows: int
    cols: int


# --- Cells ---


def paint(design: Design, level: int, cells: Iterable[Cell], *, floor: bool) -> Moved:
    """Make the cells floor of the level, or take them away.

    Cells may lie past the lattice's edge by any amount that keeps it within its largest size.
    Raises ``BadDesign`` if they do not, or if another level of the same height has one of them.
    """
    old = _level(design, level)
    wanted = old.cells | frozenset(cells) if floor else old.cells - frozenset(cells)
    if floor:
        refuse_shared(design, level, wanted)
    return trim(without_strays(_with_level(design, level, replace(old, cells=wanted))))


def toggle_cell(design: Design, level: int, cell: Cell) -> Moved:
    """Make the cell floor of the level, or take it away if it is."""
    return paint(design, level, [cell], floor=cell not in _level(design, level).cells)


def rectangle(design: Design, level: int, corner: Cell, opposite: Cell) -> Moved:
    """Make the rectangle between two corners floor of the level; clear it if all of it is."""
    cells = cells_between(corner, opposite)
    return paint(design, level, cells, floor=not cells <= _level(design, level).cells)


def cells_between(corner: Cell, opposite: Cell) -> frozenset[Cell]:
    """All cells of the rectangle with these corners, themselves included."""
    rows, cols = sorted((corner.row, opposite.row)), sorted((corner.col, opposite.col))
    return frozenset(
        Cell(row, col) for row in range(rows[0], rows[1] + 1) for col in range(cols[0], cols[1] + 1)
    )


def set_plan(design: Design, level: int, cells: frozenset[Cell]) -> Moved:
    """Give the level these cells and no others."""
    old = _level(design, level)
    refuse_shared(design, level, cells)
    return trim(without_strays(_with_level(design, level, replace(old, cells=cells))))


def trim(design: Design) -> Moved:
    """The same drawing on the smallest lattice that holds it: one empty cell at the least.

    Raises ``BadDesign`` where that is larger than a lattice may be.
    """
    cells = [cell for level in design.levels for cell in level.cells]
    if not cells:
        return Moved(replace(design, rows=1, cols=1), 0, 0)
    north, west = min(cell.row for cell in cells), min(cell.col for cell in cells)
    rows = max(cell.row for cell in cells) - north + 1
    cols = max(cell.col for cell in cells) - west + 1
    if rows > MOST_ROWS or cols > MOST_COLS:
        raise _refusal(
            message(
                "That would be %(rows)s rows of %(cols)s cells; the most is %(most_rows)s rows "
                "of %(most_cols)s. Clear cells on the other side first.",
                rows=rows,
                cols=cols,
                most_rows=MOST_ROWS,
                most_cols=MOST_COLS,
            )
        )
    return Moved(_shift(replace(design, rows=rows, cols=cols), -north, -west), -north, -west)


def _shift(design: Design, rows: int, cols: int) -> Design:
    if not rows and not cols:
        return design

    def moved(cell: Cell) -> Cell:
        return Cell(cell.row + rows, cell.col + cols)

    return replace(
        design,
        levels=tuple(replace(one, cells=frozenset(map(moved, one.cells))) for one in design.levels),
        ramps=tuple(replace(one, row=one.row + rows, col=one.col + cols) for one in design.ramps),
        fittings=moved_fittings(
            design.fittings,
            moved,
            lambda side: side,
            lambda joint: Joint(joint.row + rows, joint.col + cols, joint.z),
        ),
    )


# --- Levels ---


def add_level(design: Design, *, like: int | None = None) -> Design:
    """One more level on top, one panel above the highest floor, without cells.

    ``like`` names the level whose footprint it takes over.
    """
    if len(design.levels) == MOST_LEVELS:
        raise _refusal(
            message(
                "A design has at most %(most)d levels. Remove one first.",
                most=MOST_LEVELS,
            )
        )
    z = design.levels[-1].z + 1
    if z > MOST_Z:
        raise _refusal(
            message(
                "The next level would be %(z)s panels up; the most is %(most)d.",
                z=z,
                most=MOST_Z,
            )
        )
    cells = frozenset[Cell]() if like is None else _level(design, like).cells
    return replace(design, levels=(*design.levels, Level(z, 1, cells)))


def remove_level(design: Design, index: int) -> Moved:
    """Take an upper level away, with all that stands on it. The ground stays."""
    if index == 0:
        raise _refusal(
            message("The ground cannot be removed. Clear its cells, or archive the design.")
        )
    _level(design, index)
    levels = (*design.levels[:index], *design.levels[index + 1 :])
    ramps = tuple(
        replace(one, level=one.level - (one.level > index))
        for one in design.ramps
        if one.level != index
    )
    return trim(without_strays(replace(design, levels=levels, ramps=ramps)))


def set_height(design: Design, index: int, z: int) -> Design:
    """Lift or lower an upper level, with what stands on its floor; levels stay in order."""
    if index == 0 or not 1 <= z <= MOST_Z:
        raise _refusal(
            message(
                "Height %(z)s is not allowed. The ground lies at 0, upper levels at 1 to %(most)d.",
                z=z,
                most=MOST_Z,
            )
        )
    old = _level(design, index)
    fittings = tuple(
        replace(one, z=z)
        if stands_on_floor(one) and one.z == old.z and one.cell in old.cells
        else one
        for one in design.fittings
    )
    levels = list(design.levels)
    levels[index] = replace(old, z=z)
    order = sorted(range(len(levels)), key=lambda i: (levels[i].z, i))
    place = {was: now for now, was in enumerate(order)}
    lifted = replace(
        design,
        levels=tuple(levels[i] for i in order),
        fittings=fittings,
        ramps=tuple(replace(one, level=place[one.level]) for one in design.ramps),
    )
    refuse_shared(lifted, place[index], old.cells)
    return lifted


def set_tiers(design: Design, index: int, tiers: int) -> Design:
    """Make the level's walls so many panels high."""
    if not 1 <= tiers <= MOST_TIERS:
        raise _refusal(
            message(
                "Walls are 1 to %(most)d panels high, not %(tiers)s.",
                most=MOST_TIERS,
                tiers=tiers,
            )
        )
    return _with_level(design, index, replace(_level(design, index), wall_panels=tiers))


# --- What stands on a level ---


def toggle_fitting(
    design: Design, role: str, index: int, cell: Cell, side: Side | None = None
) -> Design:
    """Stand a fitting of this kind on the level, or take away the one that stands there.

    One that stands at no side is named by its cell, or by its joint's row and column.
    """
    kind = KINDS[role]
    usual = tuple((one.key, one.usual) for one in kind.options)
    new = Fitting(role, cell.row, cell.col, side, _level(design, index).z, usual)
    given = design.of_kind(role)
    if not belongs(design, index, new):
        raise _refusal(_WHERE[kind.at])
    left = tuple(one for one in given if spot_of(one) != spot_of(new))
    if len(left) == len(given):
        if len(left) == kind.most:
            raise _refusal(message("A design has at most %(most)d of these.", most=kind.most))
        left = tuple(in_order((*left, new), kind))
    return with_fittings(design, role, left)


_WHERE = {
    At.INNER_EDGE: message("Place it on the edge between two cells of one level."),
    At.OUTER_EDGE: message("Place it on an outer edge of a level."),
    At.WALL_TOP: message("Place it on top of a wall."),
    At.CELL: message("Place it on a cell of a level."),
    At.JOINT: message("Place it at a joint of a level."),
    None: message("It has no place of its own."),
}


def belongs(design: Design, index: int, fitting: Fitting) -> bool:
    """Whether this level, and not only another of the same height, has what it stands at."""
    alone = replace(design, levels=(design.levels[index],))
    return has_its_floor(alone, fitting)


def toggle_ramp(design: Design, index: int, cell: Cell, side: Side) -> Design:
    """Let a ramp leave the level through this edge, or take away the one that does."""
    left = tuple(
        one for one in design.ramps if (one.level, one.cell, one.side) != (index, cell, side)
    )
    if len(left) < len(design.ramps):
        return replace(design, ramps=left)
    level = _level(design, index)
    if index == 0 or cell not in level.cells or cell.beyond(side) in level.cells:
        raise _refusal(message("A ramp leaves an upper level through one of its outer edges."))
    if len(left) == MOST_RAMPS:
        raise _refusal(message("A design has at most %(most)d ramps.", most=MOST_RAMPS))
    wish = RampWish(
        index,
        *cell,
        side,
        overlap_squares=min(USUAL_SQUARES, _most_overlap(design.panel)),
        bend_squares=min(USUAL_SQUARES, _most_bend(design.panel)),
    )
    return replace(design, ramps=(*left, wish))


def set_ramp(
    design: Design, number: int, *, panels: int | None, overlap_squares: int, bend_squares: int
) -> Design:
    """Change how a ramp is made; its doorway stays where it is. ``panels`` None is "auto"."""
    if not 0 <= number < len(design.ramps):
        raise _refusal(message("That ramp was removed. Choose its edge again."))
    new = replace(
        design.ramps[number],
        panels=panels,
        overlap_squares=overlap_squares,
        bend_squares=bend_squares,
    )
    return replace(design, ramps=(*design.ramps[:number], new, *design.ramps[number + 1 :]))


def remove_ramp(design: Design, number: int) -> Design:
    """Take a ramp away."""
    return replace(design, ramps=(*design.ramps[:number], *design.ramps[number + 1 :]))


# --- What it is made of ---


def set_panel(design: Design, panel: PanelSize) -> Design:
    """Other panels. Overlaps and bends of ramps keep to what the new mesh allows."""
    ramps = tuple(
        replace(
            one,
            overlap_squares=min(one.overlap_squares, _most_overlap(panel)),
            bend_squares=min(one.bend_squares, _most_bend(panel)),
        )
        for one in design.ramps
    )
    return replace(design, panel=panel, ramps=ramps)


# --- Inside ---


def _most_overlap(panel: PanelSize) -> int:
    return max(1, panel.squares - 1)


def _most_bend(panel: PanelSize) -> int:
    return max(1, (panel.squares - 1) // 2)


def _level(design: Design, index: int) -> Level:
    if 0 <= index < len(design.levels):
        return design.levels[index]
    raise _refusal(message("Level %(index)s is no longer in this design.", index=index))


def _with_level(design: Design, index: int, level: Level) -> Design:
    return replace(design, levels=(*design.levels[:index], level, *design.levels[index + 1 :]))


def refuse_shared(design: Design, index: int, cells: frozenset[Cell]) -> None:
    """Of cells that are to be floor of a level: another one of its height may not have them."""
    for other, level in enumerate(design.levels):
        if other != index and level.z == design.levels[index].z and level.cells & cells:
            cell = min(level.cells & cells)
            raise _refusal(
                message(
                    "The cell at %(cell)s is already floor of level %(level)d, which has the same "
                    "height. Change one of the heights first.",
                    cell=cell.words,
                    level=other,
                )
            )


def without_strays(design: Design) -> Design:
    """Without ramps and fittings whose cell, or whose edge, is gone."""
    return replace(
        design,
        ramps=tuple(one for one in design.ramps if one.cell in design.levels[one.level].cells),
        fittings=tuple(one for one in design.fittings if has_its_floor(design, one)),
    )


def _refusal(sentence: str) -> BadDesign:
    return BadDesign([FileFault("", sentence)])
