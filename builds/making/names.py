"""Names of the places of a structure, and the keys that ids are made of.

``part_names`` has the codes of parts and what people call those.
"""

from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.wording import message, message_in

SIDE_WORDS = {
    Side.N: message_in("a side", "north"),
    Side.E: message_in("a side", "east"),
    Side.S: message_in("a side", "south"),
    Side.W: message_in("a side", "west"),
}


def level_name(index: int) -> str:
    if index == 0:
        return message_in("a level", "ground")
    return message("level %(number)d", number=index)


def the_level(index: int) -> str:
    """A level inside a sentence."""
    if index == 0:
        return message("the ground")
    return message_in("in a sentence", "level %(number)d", number=index)


def level_key(index: int) -> str:
    return "ground" if index == 0 else f"level-{index}"


def doorway_key(ramp: Ramp) -> str:
    """Where a ramp's doorway is: the key of its doorway panel and of the ramp itself."""
    return f"{level_key(ramp.level)}-r{ramp.cell.row}c{ramp.cell.col}{ramp.side}"


def doorway_name(ramp: Ramp) -> str:
    """Where a ramp leaves, in the words of the plan."""
    return message(
        "%(level)s, %(cell)s, %(side)s side",
        level=level_name(ramp.level),
        cell=ramp.cell.words,
        side=SIDE_WORDS[ramp.side],
    )


def ramp_name(structure: Structure, index: int) -> str:
    """The ramp, or which of several, counted from 1."""
    if len(structure.ramps) == 1:
        return message("ramp")
    return message("ramp %(number)d", number=index + 1)
