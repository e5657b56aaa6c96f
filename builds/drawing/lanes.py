"""A ramp's lane as a frame of its own: how far along it and how far to the side."""

from dataclasses import dataclass

from habitats.drawing.pen import Point
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Side
from habitats.structure.ramp import Ramp
from habitats.wording import message


@dataclass(frozen=True, slots=True)
class Lane:
    """Plan of a ramp in millimetres: ``origin`` in the middle of the doorway, ``along`` downhill.

    ``head`` is where the channel begins: 0, or less where it lies through the doorway. ``foot``
    is where it ends, ``half_width`` half the channel.
    """

    origin: Point
    along: Point
    head: float
    foot: float
    half_width: float

    def at(self, along_mm: float, across_mm: float = 0) -> Point:
        """A point so far downhill and so far to the right of the way down."""
        (x, y), (dx, dy) = self.origin, self.along
        return x + along_mm * dx - across_mm * dy, y + along_mm * dy + across_mm * dx


def lane_of(ramp: Ramp, panel: PanelSize) -> Lane:
    size = panel.size_mm
    rows, cols = ramp.side.step
    centre = ((ramp.cell.col + 0.5) * size, (ramp.cell.row + 0.5) * size)
    origin = (centre[0] + cols * size / 2, centre[1] + rows * size / 2)
    head = -float(ramp.seat_mm)
    half = ramp.channel_squares * panel.pitch_mm / 2
    return Lane(origin, (float(cols), float(rows)), head, float(ramp.foot_mm), half)


COMPASS = {
    Side.N: message("north"),
    Side.E: message("east"),
    Side.S: message("south"),
    Side.W: message("west"),
}
