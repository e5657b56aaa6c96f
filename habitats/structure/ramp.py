"""Ramps: channels of bent panels from a doorway down to the floor below.

Length is counted in mesh squares: ``panels * squares - (panels - 1) * overlap``. The ramp leaves
its level at the doorway, falls by its rise over its run and must end over the floor it lands on.
"""

from dataclasses import dataclass
from math import asin, ceil, degrees, sqrt

from habitats.structure.design import Design, PanelSize, RampWish, Species
from habitats.structure.lattice import Cell, Side

MOST_RAMP_PANELS = 12

# A ramp slightly longer than its lane can lie with its head through the doorway. Further in than
# this the head stands up too far above the upper floor. Ours: common practice, no source.
DEEPEST_SEAT_MM = 50

# Below this there is little room to turn onto the ramp, whose sides are as high as its bends.
# Ours: common practice, no source.
SHORT_LANDING_MM = 200

TOWEL_LAYERS = 4
TOWEL_TUCK_MM = 200  # the towel's end lies under the upper level's liner; common practice
STRIP_SIDE_MM = 50  # scored so far from each long edge; common practice

# How high a doorway is cut, so that an animal passes upright. Common practice, no source.
DOORWAY_HEIGHT_MM = {Species.GUINEA_PIG: 200, Species.RABBIT: 280}


@dataclass(frozen=True, slots=True)
class Ramp:
    """A ramp worked out from a wish.

    ``lane`` holds the cells under the run, the doorway's neighbour first; ``landing`` is the
    index of the level it ends on, ``landing_mm`` the free floor from its foot to the next wall.
    ``seat_mm`` is how far the head lies through the doorway because the lane is short: 0 for a
    ramp that fits. ``strip`` is the sheet inside the channel and ``towel`` the folded towel over
    it, both (width, length).
    """

    level: int
    landing: int
    cell: Cell
    side: Side
    panels: int
    overlap_squares: int
    bend_squares: int
    channel_squares: int
    length_mm: float
    rise_mm: int
    run_mm: float
    slope_deg: float
    lane: tuple[Cell, ...]
    landing_mm: int
    seat_mm: int
    strip: tuple[int, int]
    strip_side_mm: int
    towel: tuple[int, int]
    doorway_squares: tuple[int, int]

    @property
    def foot_mm(self) -> int:
        """Level distance from the doorway to the foot, as the ramp lies with its seat."""
        if not self.seat_mm:
            return round(self.run_mm)
        return int(run_of(self.length_mm - self.seat_mm, self.rise_mm))

    @property
    def surface_fall(self) -> float:
        """Fall of the surface for each millimetre away from the doorway."""
        return self.rise_mm / self.run_mm

    def doorway_mm(self, design: Design) -> int:
        """Width of the opening cut for the doorway, and of the flap in the tray's wall."""
        return round(self.doorway_squares[0] * design.panel.pitch_mm)

    def height_at(self, distance_mm: float) -> float:
        """Height of the surface above the landing's floor, so far from the doorway."""
        return max(0.0, self.rise_mm - distance_mm * self.surface_fall)


def ramp_length(panel: PanelSize, panels: int, overlap_squares: int) -> float:
    """Length in millimetres of so many panels, each overlapping the one before."""
    squares = panels * panel.squares - (panels - 1) * overlap_squares
    return squares * panel.size_mm / panel.squares


def slope_of(length_mm: float, rise_mm: int) -> float:
    """Slope in degrees; 90 for a ramp too short to reach its doorway.

    Rounded far below what anybody measures, so that a slope of exactly the limit is within it.
    """
    return round(degrees(asin(rise_mm / length_mm)), 9) if rise_mm < length_mm else 90.0


def fewest_panels(
    panel: PanelSize, wish: RampWish, rise_mm: int, steepest_deg: float
) -> int | None:
    """The least number of panels that keeps the slope within the limit; None if none does."""
    for panels in range(1, MOST_RAMP_PANELS + 1):
        length = ramp_length(panel, panels, wish.overlap_squares)
        if slope_of(length, rise_mm) <= steepest_deg:
            return panels
    return None


def run_of(length_mm: float, rise_mm: int) -> float:
    """Level distance from doorway to foot; 0 for a ramp too short to reach."""
    return sqrt(max(0.0, length_mm**2 - rise_mm**2))


def seat_needed(length_mm: float, rise_mm: int, lane_mm: int) -> int:
    """How far the head must lie through the doorway so that the foot stays in the lane."""
    along_lane = sqrt(lane_mm**2 + rise_mm**2)
    return max(0, ceil(length_mm - along_lane))


def strip_for(channel_mm: float, bend_mm: float, length_mm: float) -> tuple[tuple[int, int], int]:
    """Sheet inside the channel: (width, length) and how far from each long edge it is scored.

    The middle is the channel rounded down with 10 mm of play, the length rounded up to 10 mm.
    """
    middle = max(30, int(channel_mm) // 10 * 10 - 10)
    side = min(STRIP_SIDE_MM, int(bend_mm) // 10 * 10)
    return (middle + 2 * side, ceil(length_mm / 10) * 10), side


def towel_for(strip: tuple[int, int]) -> tuple[int, int]:
    """The towel once folded into its layers: covers the strip and tucks in at the top."""
    width, length = strip
    return width, length + TOWEL_TUCK_MM


def doorway_squares(panel: PanelSize, bend_squares: int, species: Species) -> tuple[int, int]:
    """Mesh squares cut out of a doorway panel: as wide as the channel, high enough to pass.

    One row of squares stays standing at the top of the panel.
    """
    wide = panel.squares - 2 * bend_squares
    high = ceil(DOORWAY_HEIGHT_MM[species] / panel.pitch_mm)
    return wide, min(high, panel.squares - 1)
