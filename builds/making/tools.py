"""Tools: what a builder needs at hand but does not build in."""

from typing import NamedTuple

from habitats.structure.structure import Structure


class Tool(NamedTuple):
    """A tool and what it is for; ``protects`` marks what keeps the builder unhurt."""

    what: str
    use: str
    protects: bool = False


MEASURE = Tool("tape measure", "measure panels, sheet and trays")
GLOVES = Tool("work gloves", "cut wire, filed ends and bent panels", protects=True)
EYES = Tool("eye protection", "cut wire ends and tie tails fly off", protects=True)
CUTTERS = Tool("wire cutters (flush)", "cut panel wire close to the edge, trim tie tails")
TIE_CUTTERS = Tool("flush cutters", "trim tie tails")
FILE = Tool("metal file", "file every cut wire end")
KNIFE = Tool("knife with a fresh blade", "cut and score sheet")
STRAIGHTEDGE = Tool("steel straightedge", "guide the knife; best as long as the longest score")
MAT = Tool("cutting mat or spare sheet", "keep the blade out of the floor")
MARKER = Tool("marker", "mark cuts, scores and joints")
BOARD = Tool("straight board and two clamps", "bend panels along a straight line")
PEG = Tool("screwdriver or hole punch", "open the holes for a ramp's ties")

# All there are, protection first.
TOOLS = (
    GLOVES,
    EYES,
    MEASURE,
    MARKER,
    CUTTERS,
    TIE_CUTTERS,
    FILE,
    BOARD,
    PEG,
    KNIFE,
    STRAIGHTEDGE,
    MAT,
)


def tools_for(structure: Structure) -> tuple[Tool, ...]:
    """What this structure takes, protection first."""
    ramp_tools = (CUTTERS, FILE, BOARD, PEG) if structure.ramps else (TIE_CUTTERS,)
    return (GLOVES, EYES, MEASURE, MARKER, *ramp_tools, KNIFE, STRAIGHTEDGE, MAT)
