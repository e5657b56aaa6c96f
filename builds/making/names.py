"""What people call the pieces of a structure, and the keys that ids are made of."""

from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure

PLAIN_PANEL = "plain panel"
DOORWAY_PANEL = "doorway panel"
RAMP_PANEL = "panel to bend"
CONNECTOR = "connector"
TIE = "cable tie"
CLIP = "lid clip"
TAPE = "sheet tape"

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
    return (
        f"{level_name(ramp.level)}, row {ramp.cell.row}, col {ramp.cell.col}, "
        f"{SIDE_WORDS[ramp.side]} side"
    )


def ramp_name(structure: Structure, index: int) -> str:
    """The ramp, or which of several, counted from 1."""
    return "ramp" if len(structure.ramps) == 1 else f"ramp {index + 1}"


def towel_name(structure: Structure, index: int) -> str:
    return f"towel for the {ramp_name(structure, index)}"


def counted(count: int, noun: str) -> str:
    """A number with its noun: ``1 panel``, ``3 panels``, ``2 panels to bend``."""
    if count == 1:
        return f"1 {noun}"
    head, _, tail = noun.partition(" to ")
    return f"{count} {head}s" + (f" to {tail}" if tail else "")
