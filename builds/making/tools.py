"""Tools: things that a builder needs but does not build in."""

from typing import NamedTuple

from habitats.structure.structure import Structure
from habitats.wording import message


class Tool(NamedTuple):
    """A tool and what it is for; ``protects`` marks what keeps the builder unhurt."""

    what: str
    use: str
    protects: bool = False


MEASURE = Tool(message("tape measure"), message("measure panels, sheet and trays"))
GLOVES = Tool(
    message("work gloves"), message("cut wire, filed ends and bent panels"), protects=True
)
EYES = Tool(
    message("eye protection"), message("cut wire ends and tie tails fly off"), protects=True
)
CUTTERS = Tool(
    message("wire cutters (flush)"), message("cut panel wire close to the edge, trim tie tails")
)
TIE_CUTTERS = Tool(message("flush cutters"), message("trim tie tails"))
FILE = Tool(message("metal file"), message("file every cut wire end"))
KNIFE = Tool(message("knife with a fresh blade"), message("cut and score sheet"))
STRAIGHTEDGE = Tool(
    message("steel straightedge"), message("guide the knife; best as long as the longest score")
)
MAT = Tool(message("cutting mat or spare sheet"), message("keep the blade out of the floor"))
MARKER = Tool(message("marker"), message("mark cuts, scores and joints"))
BOARD = Tool(message("straight board and two clamps"), message("bend panels along a straight line"))
PEG = Tool(message("screwdriver or hole punch"), message("open the holes for a ramp's ties"))

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
