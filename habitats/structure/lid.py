"""Whether a lid has something to lie on.

A lid panel lies at the top of the highest level of its cell. It is held by the top edge of an
upright panel, or by a flat panel beside it that is held; one that is reached by neither would hang
in the air, for instance over a well in an upper level whose walls end lower.
"""

from habitats.structure.faults import FileFault
from habitats.structure.lattice import Cell, PanelPlace, Side, wall_place
from habitats.wording import message


def lid_faults(lid: frozenset[PanelPlace], others: frozenset[PanelPlace]) -> list[FileFault]:
    """One fault where part of the lid hangs, naming its first cell; ``others`` are other panels."""
    held = {panel for panel in lid if _lies_on(panel, others)}
    frontier = list(held)
    while frontier:
        reached = set(_beside(frontier.pop())) & lid - held
        held |= reached
        frontier.extend(reached)
    hanging = sorted(lid - held)
    if not hanging:
        return []
    _face, row, col, z = hanging[0]
    return [
        FileFault(
            "lid",
            message(
                "The lid over %(cell)s lies at height %(z)s, where no wall reaches to hold it. "
                "Make the walls round it as high, or leave the lid off.",
                cell=Cell(row, col).words,
                z=z,
            ),
        )
    ]


def _lies_on(panel: PanelPlace, others: frozenset[PanelPlace]) -> bool:
    cell = Cell(panel.row, panel.col)
    walls = (wall_place(cell, side, panel.z - 1) for side in Side)
    return not others.isdisjoint([*walls, *_beside(panel)])


def _beside(panel: PanelPlace) -> list[PanelPlace]:
    cell = Cell(panel.row, panel.col)
    return [
        PanelPlace(panel.face, near.row, near.col, panel.z)
        for near in (cell.beyond(side) for side in Side)
    ]
