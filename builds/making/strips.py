"""The strip of sheet inside a ramp's channel."""

from builds.making.blank import Blank, Flute, Hole, Line
from habitats.structure.ramp import Ramp

# Two ties through the strip's head hold it to the top of the ramp. Common practice, no source.
HOLE_MM = 8
HOLE_FROM_TOP_MM = 20
HOLE_FROM_SCORE_MM = 20


def strip_blank(ramp: Ramp, index: int) -> Blank:
    """The strip as one blank: scored along both sides, two holes at its top end (y = 0)."""
    width, length = ramp.strip
    side = ramp.strip_side_mm
    inset = side + min(HOLE_FROM_SCORE_MM, (width - 2 * side) // 4)
    return Blank(
        name=f"Ramp {index + 1} strip",
        width_mm=width,
        height_mm=length,
        flute=Flute.HEIGHT,
        outline=((0, 0), (width, 0), (width, length), (0, length)),
        scores=(Line(side, 0, side, length), Line(width - side, 0, width - side, length)),
        holes=(
            Hole(inset, HOLE_FROM_TOP_MM, HOLE_MM),
            Hole(width - inset, HOLE_FROM_TOP_MM, HOLE_MM),
        ),
        ramp=index,
        turnable=False,
    )
