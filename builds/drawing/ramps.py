"""A ramp from the side: rise, run, slope, panels with their overlaps, doorway and landing."""

from dataclasses import dataclass
from math import cos, radians, sin, tan

from builds.drawing.dimension import ROW, Lengths, dimension, scale_bar
from habitats.decimals import tenths
from habitats.drawing.pen import Anchor, Pen, Point, Scaled
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.measures import degrees, size
from habitats.structure.design import PanelSize
from habitats.structure.ramp import TOWEL_TUCK_MM, Ramp
from habitats.wording import counted, joined, message

RAMP_WIDTH = 410.0
LARGEST_SCALE = 0.42
UPPER_FLOOR_MM = 300  # of the upper level, left of the doorway
MOST_LANDING_MM = 260  # of the floor beyond the foot
ARC_MM = 210
SECTION_WIDTH = 60.0


def ramp_picture(ramp: Ramp, panel: PanelSize, *, lengths: Lengths) -> str:
    """The ramp seen from the side, going down to the right, and across its channel."""
    return finished(
        lambda pen: draw_ramp(pen, ramp, panel, lengths),
        message("Ramp from level %(level)d, from the side", level=ramp.level),
        describe_ramp(ramp, lengths),
        kind="ramp",
    )


def describe_ramp(ramp: Ramp, lengths: Lengths) -> str:
    given = {
        "rise": lengths(ramp.rise_mm),
        "run": lengths(round(ramp.run_mm)),
        "slope": tenths(ramp.slope_deg),
        "length": lengths(round(ramp.length_mm)),
    }
    measures = counted(
        "Rise %(rise)s, run %(run)s, slope %(slope)s degrees, length %(length)s of %(count)d "
        "panel.",
        "Rise %(rise)s, run %(run)s, slope %(slope)s degrees, length %(length)s of %(count)d "
        "panels, each over the next by %(overlap)d squares.",
        ramp.panels,
        **given,
        overlap=ramp.overlap_squares,
    )
    free = message("Free floor beyond the foot: %(free)s.", free=lengths(ramp.landing_mm))
    return joined(" ", [measures, free])


@dataclass(frozen=True, slots=True)
class _Side:
    """The side view in millimetres: x downhill from the doorway's wall, y down from its floor."""

    ramp: Ramp
    panel: PanelSize

    @property
    def head(self) -> Point:
        return -float(self.ramp.seat_mm), 0.0

    @property
    def bend_mm(self) -> float:
        return self.ramp.bend_squares * self.panel.pitch_mm

    def at(self, along: float, up: float = 0) -> Point:
        """A point along the slope from the head, and up at right angles to it."""
        slope = radians(self.ramp.slope_deg)
        x, y = self.head
        return (
            x + along * cos(slope) + up * sin(slope),
            y + along * sin(slope) - up * cos(slope),
        )

    def length_limit(self, up: float) -> float:
        """How far along a line so high above the bottom goes before the next wall."""
        slope = radians(self.ramp.slope_deg)
        return min(self.ramp.length_mm, self._reach - up * tan(slope))

    def height_limit(self, along: float) -> float:
        """How high above the bottom a line so far along goes before the next wall."""
        return (self._reach - along) / tan(radians(self.ramp.slope_deg))

    def far_corners(self) -> list[Point]:
        """The upper end at the foot, cut back where it would lean through the next wall."""
        top = self.length_limit(self.bend_mm)
        start = self.height_limit(self.ramp.length_mm)
        cut = [self.at(self.ramp.length_mm, start)] if start < self.bend_mm else []
        return [*cut, self.at(top, self.bend_mm)]

    @property
    def _reach(self) -> float:
        """Along the bottom's line, where it would meet the wall beyond the landing."""
        slope = radians(self.ramp.slope_deg)
        return self.ramp.length_mm + self.ramp.landing_mm / cos(slope)

    def panel_ends(self, number: int) -> tuple[float, float]:
        """Where one of the panels begins and ends along the slope."""
        start = number * (self.panel.squares - self.ramp.overlap_squares) * self.panel.pitch_mm
        return start, start + self.panel.size_mm


def draw_ramp(pen: Pen, ramp: Ramp, panel: PanelSize, lengths: Lengths) -> None:
    side = _Side(ramp, panel)
    landing = min(ramp.landing_mm, MOST_LANDING_MM)
    extent = UPPER_FLOOR_MM + side.at(ramp.length_mm)[0] + landing
    mm = Scaled(pen, min(LARGEST_SCALE, RAMP_WIDTH / extent))
    _surroundings(mm, side, landing)
    _channel(mm, side)
    _panel_numbers(pen, mm, side)
    _cover(pen, mm, side)
    _measures(pen, mm, side, lengths)
    foot = mm.at((0, ramp.rise_mm))
    below = foot[1] + 2 * ROW + 34
    scale_bar(pen, (mm.at((-UPPER_FLOOR_MM, 0))[0], below - 22), mm.scale, lengths)
    _section(pen, side, (foot[0], below + 14), lengths)


def _surroundings(mm: Scaled, side: _Side, landing: float) -> None:
    """Both floors, the wall with its doorway, and the next wall where it is near."""
    ramp, size = side.ramp, side.panel.size_mm
    foot_x = side.at(ramp.length_mm)[0]
    low = float(ramp.rise_mm)
    mm.line([(-UPPER_FLOOR_MM, 0), (0, 0)], Style.HEAVY)
    mm.line([(-UPPER_FLOOR_MM, low), (foot_x + landing, low)], Style.HEAVY)
    opening = ramp.doorway_squares[1] * side.panel.pitch_mm
    mm.line([(0, low), (0, 0)], Style.INK)
    mm.line([(0, -opening), (0, -size)], Style.INK)
    mm.line([(0, 0), (0, -opening)], Style.HIDDEN)
    if landing == ramp.landing_mm:
        mm.line([(foot_x + landing, low), (foot_x + landing, low - size)], Style.INK)


def _channel(mm: Scaled, side: _Side) -> None:
    """The channel's near side with its mesh; where two panels overlap it is hatched."""
    length, bend = side.ramp.length_mm, side.bend_mm
    corners = [side.at(0), side.at(length), *side.far_corners(), side.at(0, bend)]
    mm.area([corners], Style.PAPER)
    for number in range(side.ramp.panels - 1):
        start, end = side.panel_ends(number + 1)[0], side.panel_ends(number)[1]
        if end > start:
            both = [side.at(start), side.at(end), side.at(end, bend), side.at(start, bend)]
            mm.area([both], Style.OVERLAP)
    pitch = side.panel.pitch_mm
    for square in range(1, round(length / pitch)):
        top = min(bend, side.height_limit(square * pitch))
        mm.line([side.at(square * pitch), side.at(square * pitch, top)], Style.MESH)
    for square in range(1, side.ramp.bend_squares):
        end = side.length_limit(square * pitch)
        mm.line([side.at(0, square * pitch), side.at(end, square * pitch)], Style.MESH)
    mm.line([*corners, corners[0]], Style.INK)


def _panel_numbers(pen: Pen, mm: Scaled, side: _Side) -> None:
    """A brace under each panel, alternately nearer and farther; its number on the panel."""
    for number in range(side.ramp.panels):
        start, end = side.panel_ends(number)
        down = -(8 + 9 * (number % 2)) / mm.scale
        tick = 3.5 / mm.scale
        brace = [
            (start + tick, down + tick),
            (start + tick, down),
            (end - tick, down),
            (end - tick, down + tick),
        ]
        mm.line([side.at(along, up) for along, up in brace], Style.THIN)
        x, y = mm.at(side.at((start + end) / 2, side.bend_mm * 0.55))
        pen.circle((x, y), 8.5, Style.JOINT)
        pen.text((x, y + 4), f"{number + 1}", Letter.FIGURE)


def _cover(pen: Pen, mm: Scaled, side: _Side) -> None:
    """Towel over the strip, its end tucked under the liner of the upper level."""
    up = side.panel.pitch_mm * 0.35
    head = (side.head[0], -up)
    tucked = (head[0] - TOWEL_TUCK_MM, -up)
    mm.line([tucked, head, side.at(side.ramp.length_mm, up)], Style.TOWEL)
    wall, y = mm.at((min(0.0, side.head[0]), -up))
    pen.text((wall - 6, y - 8), message("towel, tucked in"), Letter.NOTE, Anchor.END)
    opening = side.ramp.doorway_squares[1] * side.panel.pitch_mm
    x, y = mm.at((0, -opening))
    pen.text((x - 6, y + 12), message("doorway"), Letter.NOTE, Anchor.END)


def _measures(pen: Pen, mm: Scaled, side: _Side, lengths: Lengths) -> None:
    ramp = side.ramp
    foot = side.at(ramp.length_mm)
    low = float(ramp.rise_mm)
    head = mm.at((side.head[0], low))
    end = mm.at((foot[0], low))
    dimension(pen, head, end, -ROW, message("run %(length)s", length=lengths(round(ramp.run_mm))))
    if ramp.landing_mm * mm.scale >= 24:
        right = end[0] + min(ramp.landing_mm, MOST_LANDING_MM) * mm.scale
        words = message("free %(length)s", length=lengths(ramp.landing_mm))
        dimension(pen, end, (right, end[1]), -2 * ROW, words)
    top, bottom = mm.at((-UPPER_FLOOR_MM, 0)), mm.at((-UPPER_FLOOR_MM, low))
    dimension(pen, bottom, top, ROW, message("rise %(length)s", length=lengths(ramp.rise_mm)))
    begin, stop = mm.at(side.at(0, side.bend_mm)), mm.at(side.at(ramp.length_mm, side.bend_mm))
    dimension(
        pen, begin, stop, ROW, message("length %(length)s", length=lengths(round(ramp.length_mm)))
    )
    _angle(pen, mm, side)


def _angle(pen: Pen, mm: Scaled, side: _Side) -> None:
    """The slope as an arc at the foot."""
    x, y = side.at(side.ramp.length_mm)
    radius = ARC_MM
    steps = [radians(side.ramp.slope_deg * part / 12) for part in range(13)]
    mm.line([(x - radius * cos(a), y - radius * sin(a)) for a in steps], Style.DIMENSION)
    half = radians(side.ramp.slope_deg / 2)
    at = mm.at((x - radius * cos(half), y - radius * sin(half)))
    pen.text((at[0] - 5, at[1] + 8), degrees(side.ramp.slope_deg), Letter.LABEL, Anchor.END)


def _section(pen: Pen, side: _Side, at: Point, lengths: Lengths) -> None:
    """Across the channel: wire bent up on both sides, the strip with its two scored sides in it.

    Drawn larger than the side view: the measures on it are what counts.
    """
    scale = SECTION_WIDTH / (side.ramp.channel_squares * side.panel.pitch_mm)
    wide, high = SECTION_WIDTH, side.bend_mm * scale
    x, y = at
    base = y + high
    pen.line([(x, y), (x, base), (x + wide, base), (x + wide, y)], Style.INK)
    lift = side.ramp.strip_side_mm * scale
    strip = [
        (x + 3, base - 3 - lift),
        (x + 3, base - 3),
        (x + wide - 3, base - 3),
        (x + wide - 3, base - 3 - lift),
    ]
    pen.line(strip, Style.SHEET_EDGE)
    channel = round(side.ramp.channel_squares * side.panel.pitch_mm)
    dimension(pen, (x, base), (x + wide, base), -ROW, lengths(channel))
    dimension(pen, (x, base), (x, y), ROW, lengths(round(side.bend_mm)))
    left = x + wide + 22
    rows = [
        message("across the channel:"),
        counted(
            "%(count)d square bent up on each side",
            "%(count)d squares bent up on each side",
            side.ramp.bend_squares,
        ),
        message("strip %(size)s", size=size(side.ramp.strip, lengths)),
        message("towel %(size)s, folded", size=size(side.ramp.towel, lengths)),
    ]
    for number, words in enumerate(rows):
        pen.text((left, y + 10 + 15 * number), words, Letter.NOTE, Anchor.START)
