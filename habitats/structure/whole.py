"""Edits to the whole drawing, or to a whole level: turned, mirrored, moved.

What is turned or mirrored is made of the same parts. Its floor is the same but for the rounding of
trays, which is counted from their north-west corner. The lattice is as
large as the drawing, so that only levels can be moved: against each other.
"""

from dataclasses import replace

from habitats.structure.design import Design, Fitting
from habitats.structure.edit import Moved, belongs, refuse_shared, trim, without_strays
from habitats.structure.kinds import moved_fittings, stands_on_floor
from habitats.structure.lattice import Cell, Joint, Side
from habitats.structure.motion import Motion, mirrored, moved_design


def turn(design: Design) -> Design:
    """The drawing a quarter turn to the right: what lay north lies east."""
    return moved_design(design, Motion(1, 0, design.rows))


def mirror(design: Design) -> Design:
    """The drawing with east and west swapped."""
    return mirrored(design)


def move_level(design: Design, index: int, way: Side) -> Moved:
    """The level one cell further, with what stands on it; the other levels stay.

    Raises ``BadDesign`` where another level of the same height has one of its new cells.
    """
    level = design.levels[index]
    cells = frozenset(cell.beyond(way) for cell in level.cells)
    refuse_shared(design, index, cells)
    ramps = tuple(
        replace(one, **one.cell.beyond(way)._asdict()) if one.level == index else one
        for one in design.ramps
    )
    levels = (*design.levels[:index], replace(level, cells=cells), *design.levels[index + 1 :])
    fittings = tuple(
        _beyond(one, way) if _goes_with(design, index, one) else one for one in design.fittings
    )
    moved = replace(design, levels=levels, ramps=ramps, fittings=fittings)
    return trim(without_strays(moved))


def _goes_with(design: Design, index: int, fitting: Fitting) -> bool:
    """Whether it stands on this level: on its floor, or on top of its walls."""
    level = design.levels[index]
    on_walls = not stands_on_floor(fitting) and level.z < fitting.z <= level.top
    return (on_walls or fitting.z == level.z) and belongs(design, index, fitting)


def _beyond(fitting: Fitting, way: Side) -> Fitting:
    rows, cols = way.step
    (moved,) = moved_fittings(
        [fitting],
        lambda cell: Cell(cell.row + rows, cell.col + cols),
        lambda side: side,
        lambda joint: Joint(joint.row + rows, joint.col + cols, joint.z),
    )
    return moved
