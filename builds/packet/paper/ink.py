"""Pictures in the ink they are printed with.

In black and white all lines are black and washes are paper or a light grey, so that a cheap
printer does not turn colours into weak greys. What is new stays told apart by weight and dash.
"""

from builds.packet.paper.options import Options
from habitats.drawing.styles import Ink

GREYS = {
    Ink.INK: "#000000",
    Ink.SOFT: "#333333",
    Ink.HATCH: "#777777",
    Ink.PAPER: "#ffffff",
    Ink.SUNK: "#eeeeee",
    Ink.NEW: "#000000",
    Ink.NEW_WASH: "#d8d8d8",
    Ink.WARN: "#000000",
}


def inked(picture: str, options: Options) -> str:
    """The picture as it is, or in black and greys."""
    if options.colour:
        return picture
    for ink, grey in GREYS.items():
        picture = picture.replace(f'"{ink.fallback}"', f'"{grey}"')
    return picture
