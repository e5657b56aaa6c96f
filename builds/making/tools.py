"""Tools: things that a builder needs but does not build in."""

from typing import NamedTuple

from habitats.structure.kinds import Role
from habitats.structure.structure import Structure
from habitats.wording import message


class Tool(NamedTuple):
    """A tool and what it is for; ``protects`` marks what keeps the builder unhurt."""

    code: str
    what: str
    use: str
    protects: bool = False

    def __str__(self) -> str:
        return str(self.what)


MEASURE = Tool("measure", message("tape measure"), message("measure panels, sheet and trays"))
GLOVES = Tool(
    "gloves", message("work gloves"), message("cut wire, filed ends and bent panels"), protects=True
)
EYES = Tool(
    "eyes", message("eye protection"), message("cut wire ends and tie tails fly off"), protects=True
)
CUTTERS = Tool(
    "cutters",
    message("wire cutters (flush)"),
    message("cut panel wire close to the edge, trim tie tails"),
)
TIE_CUTTERS = Tool("tie-cutters", message("flush cutters"), message("trim tie tails"))
FILE = Tool("file", message("metal file"), message("file every cut wire end"))
KNIFE = Tool("knife", message("knife with a fresh blade"), message("cut and score sheet"))
STRAIGHTEDGE = Tool(
    "straightedge",
    message("steel straightedge"),
    message("guide the knife; best as long as the longest score"),
)
MAT = Tool("mat", message("cutting mat or spare sheet"), message("keep the blade out of the floor"))
MARKER = Tool("marker", message("marker"), message("mark cuts, scores and joints"))
BOARD = Tool(
    "board", message("straight board and two clamps"), message("bend panels along a straight line")
)
PEG = Tool("peg", message("screwdriver or hole punch"), message("open the holes for a ramp's ties"))
DRILL = Tool("drill", message("drill or screwdriver for the wall"), message("fix the wall anchors"))

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
    DRILL,
)


def tools_for(structure: Structure) -> tuple[Tool, ...]:
    """What this structure takes, protection first."""
    ramp_tools = (CUTTERS, FILE, BOARD, PEG) if structure.ramps else (TIE_CUTTERS,)
    wall_tools = (DRILL,) if structure.of_kind(Role.ANCHOR) else ()
    return (GLOVES, EYES, MEASURE, MARKER, *ramp_tools, KNIFE, STRAIGHTEDGE, MAT, *wall_tools)
