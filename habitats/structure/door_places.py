"""Where front doors bring floor under an upper level or a lid within reach of a hand."""

from habitats.structure import edit
from habitats.structure.design import Design
from habitats.structure.kinds import Role
from habitats.structure.lattice import Cell
from habitats.structure.reach import Edge, open_edges, out_of_reach, reaches
from habitats.structure.standing import shape_faults

MOST_DOORS = 6  # of more it is quicker to say where they are wanted

LevelCell = tuple[int, Cell]


def with_doors_where_needed(design: Design, most: int = MOST_DOORS) -> Design:
    """Door by door, each where most of the floor comes within reach, as long as one helps."""
    for _number in range(most):
        left = under_cover(design)
        with_one = _with_one_door_more(design, left) if left else None
        if with_one is None:
            break
        design = with_one
    return design


def under_cover(design: Design) -> frozenset[LevelCell]:
    """Cells under a floor or lid that a hand would reach through a door, each with its level."""
    return frozenset(
        (index, cell)
        for index in range(len(design.levels))
        for cell in out_of_reach(design, index).covered
    )


def too_far_under_cover(design: Design) -> bool:
    """Whether floor under a floor or lid is too far from every open side for any door."""
    return any(
        design.cover_over(cell, level.z) is not None
        for index, level in enumerate(design.levels)
        for cell in out_of_reach(design, index).far
    )


def _with_one_door_more(design: Design, covered: frozenset[LevelCell]) -> Design | None:
    """With a door where it brings most of these cells within reach; None where none does."""
    for index, (cell, side) in _places(design, covered):
        with_door = edit.toggle_fitting(design, Role.DOOR, index, cell, side)
        more = len(with_door.of_kind(Role.DOOR)) > len(design.of_kind(Role.DOOR))
        if more and not shape_faults(with_door):
            return with_door
    return None


def _places(design: Design, covered: frozenset[LevelCell]) -> list[tuple[int, Edge]]:
    """A level and an open edge of it, the best first, beside one of the cells before others."""
    size = design.panel.size_mm
    found = []
    for edge in sorted(open_edges(design)):
        for index in {index for index, _cell in covered}:
            near = sum(reaches(cell, [edge], size) for at, cell in covered if at == index)
            if near and edge[0] in design.levels[index].cells:
                found.append((-near, (index, edge[0]) not in covered, index, edge))
    return [(index, edge) for _near, _beside, index, edge in sorted(found)]
