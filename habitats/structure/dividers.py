"""Dividers: inner walls, from the floor of a level as high as its walls."""

from collections.abc import Iterator, Sequence

from habitats.structure.design import Design, Fitting
from habitats.structure.faults import FileFault
from habitats.structure.lattice import PanelPlace, wall_place
from habitats.wording import message


def divider_panels(design: Design, dividers: Sequence[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """Each panel's place, whatever floor it passes, and its level.

    Dividers that name no level's floor stand nowhere.
    """
    for one in dividers:
        try:
            index = design.level_at(one.cell, one.z)
        except LookupError:
            continue
        for z in range(one.z, design.levels[index].top):
            yield wall_place(*one.edge, z), index


def divider_faults(design: Design, dividers: Sequence[Fitting]) -> list[FileFault]:
    """Dividers that are not an inner wall of a level; one named twice stands once."""
    return [
        FileFault(f"dividers[{index}]", sentence)
        for index, divider in enumerate(dividers)
        if (sentence := _divider_fault(design, divider)) is not None
    ]


def _divider_fault(design: Design, divider: Fitting) -> str | None:
    cell, side = divider.edge
    where = message("%(cell)s, height %(z)s", cell=cell.words, z=divider.z)
    try:
        level = design.levels[design.level_at(cell, divider.z)]
    except LookupError:
        return message(
            "There is no cell at %(where)s. Name a cell of a level and the height of its floor.",
            where=where,
        )
    if cell.beyond(side) not in level.cells:
        return message(
            "Side %(side)s of the cell at %(where)s is already an outer wall. A divider "
            "stands between two cells of one level.",
            side=side,
            where=where,
        )
    return None
