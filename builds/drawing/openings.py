"""Openings of a panel, through which one sees without wire."""

from collections.abc import Callable

from habitats.structure.lattice import wall_place
from habitats.structure.structure import Panel, Structure

# The left edge and the top of an opening that stands in the middle, below, in parts of the panel.
Opening = Callable[[Structure, Panel], tuple[float, float] | None]


def doorway_opening(structure: Structure, panel: Panel) -> tuple[float, float] | None:
    """The doorway of the ramp that leaves through the panel; None where none does.

    Where it begins and how high it reaches, in shares of the panel.
    """
    for ramp in structure.ramps if panel.doorway else ():
        z = structure.design.levels[ramp.level].z
        if wall_place(ramp.cell, ramp.side, z) == panel.place:
            wide, high = ramp.doorway_squares
            squares = structure.design.panel.squares
            return (squares - wide) / 2 / squares, high / squares
    return None
