"""What people call the places of a structure, and the keys that ids are made of.

``part_names`` has the codes of parts and what people call those.
"""

from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure

SIDE_WORDS = {Side.N: "north", Side.E: "east", Side.S: "south", Side.W: "west"}


def level_name(index: int) -> str:
    return "ground" if index == 0 else f"level {index}"


def the_level(index: int) -> str:
    """A level inside a sentence."""
    return "the ground" if index == 0 else f"level {index}"


def level_key(index: int) -> str:
    return "ground" if index == 0 else f"level-{index}"


def doorway_key(ramp: Ramp) -> str:
    """Where a ramp's doorway is: the key of its doorway panel and of the ramp itself."""
    return f"{level_key(ramp.level)}-r{ramp.cell.row}c{ramp.cell.col}{ramp.side}"


def doorway_name(ramp: Ramp) -> str:
    """Where a ramp leaves, in the words of the plan."""
    return f"{level_name(ramp.level)}, {ramp.cell.words}, {SIDE_WORDS[ramp.side]} side"


def ramp_name(structure: Structure, index: int) -> str:
    """The ramp, or which of several, counted from 1."""
    return "ramp" if len(structure.ramps) == 1 else f"ramp {index + 1}"


def counted(count: int, noun: str, many: str = "") -> str:
    """A number with its noun: ``1 panel``, ``3 panels``; ``many`` where no s alone is added."""
    return f"{count} {noun}" if count == 1 else f"{count} {many or noun + 's'}"
