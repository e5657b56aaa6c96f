"""Working out every ramp of a design, and naming what stands in its way."""

from math import ceil

from habitats.structure.design import Design, Level, Limits, RampWish
from habitats.structure.faults import FileFault
from habitats.structure.lattice import Cell, wall_place
from habitats.structure.ramp import (
    DEEPEST_SEAT_MM,
    DOORWAY_HEIGHT_MM,
    MOST_RAMP_PANELS,
    Ramp,
    doorway_squares,
    fewest_panels,
    ramp_length,
    run_of,
    seat_needed,
    slope_of,
    strip_for,
    towel_for,
)
from habitats.structure.standing import parting_places


def work_out_ramps(design: Design, limits: Limits) -> tuple[tuple[Ramp, ...], list[FileFault]]:
    """All ramps, or the faults of those that cannot be; one fault a ramp."""
    ramps: list[Ramp] = []
    faults: list[FileFault] = []
    for index, wish in enumerate(design.ramps):
        try:
            ramp = _work_out(design, wish, limits)
            _keep_apart(ramp, ramps)
        except _InTheWay as reason:
            faults.append(FileFault(f"ramps[{index}]{reason.key}", str(reason)))
        else:
            ramps.append(ramp)
    return tuple(ramps), faults


class _InTheWay(Exception):
    """Why a ramp cannot be, and the key of the wish to blame."""

    def __init__(self, key: str, message: str) -> None:
        super().__init__(message)
        self.key = key


def _work_out(design: Design, wish: RampWish, limits: Limits) -> Ramp:
    level = _level_left(design, wish)
    landing = _landing(design, wish, level)
    rise_mm = (level.z - design.levels[landing].z) * design.panel.size_mm
    panels = wish.panels or _auto_panels(design, wish, rise_mm, limits)
    length = ramp_length(design.panel, panels, wish.overlap_squares)
    slope = slope_of(length, rise_mm)
    if slope > limits.slope_deg:
        raise _InTheWay(".panels", _too_steep(panels, slope, rise_mm, limits))
    run = run_of(length, rise_mm)
    free, end = _free_lane(design, wish, landing)
    lane_mm = len(free) * design.panel.size_mm - design.tray.clearance_mm
    seat = seat_needed(length, rise_mm, lane_mm)
    if seat > DEEPEST_SEAT_MM:
        raise _InTheWay(
            "",
            f"The ramp of {_panels(panels)} runs {round(run)} mm, but side {wish.side} of "
            f"{wish.cell.words} has only {lane_mm} mm of floor in a straight line before "
            f"{end}. Move the doorway, overlap the panels more or make the way longer.",
        )
    lane = free[: ceil(run / design.panel.size_mm)]
    _check_head_room(design, wish, lane, design.levels[landing], rise_mm / run)
    pitch = design.panel.pitch_mm
    channel = design.panel.squares - 2 * wish.bend_squares
    strip, strip_side = strip_for(channel * pitch, wish.bend_squares * pitch, length)
    return Ramp(
        level=wish.level,
        landing=landing,
        cell=wish.cell,
        side=wish.side,
        panels=panels,
        overlap_squares=wish.overlap_squares,
        bend_squares=wish.bend_squares,
        channel_squares=channel,
        length_mm=length,
        rise_mm=rise_mm,
        run_mm=run,
        slope_deg=slope,
        lane=lane,
        landing_mm=max(0, round(lane_mm - run)),
        seat_mm=seat,
        strip=strip,
        strip_side_mm=strip_side,
        towel=towel_for(strip),
        doorway_squares=doorway_squares(design.panel, wish.bend_squares, design.species),
    )


def _level_left(design: Design, wish: RampWish) -> Level:
    """The level the ramp leaves, once it is sure that the doorway is in one of its outer walls."""
    if wish.level >= len(design.levels):
        raise _InTheWay(
            ".level",
            f"There is no level {wish.level}; the highest of this design is "
            f"{len(design.levels) - 1}.",
        )
    level = design.levels[wish.level]
    where = wish.cell.words
    if wish.cell not in level.cells:
        raise _InTheWay(
            "",
            f"Level {wish.level} has no cell at {where}. A ramp leaves from a cell of its level.",
        )
    if wish.cell.beyond(wish.side) in level.cells:
        raise _InTheWay(
            ".side",
            f"Side {wish.side} of the cell at {where} is an inner edge of "
            f"level {wish.level}, with no wall for a doorway. Choose a side with an "
            "outer wall.",
        )
    return level


def _landing(design: Design, wish: RampWish, level: Level) -> int:
    """Index of the level the ramp lands on: the highest below it beside the doorway."""
    first = wish.cell.beyond(wish.side)
    beside = [
        (one.z, i) for i, one in enumerate(design.levels) if first in one.cells and one.z <= level.z
    ]
    if not beside:
        raise _InTheWay(
            ".side",
            f"Side {wish.side} of {wish.cell.words} leads past "
            "the floor: there is no level below it on that side. Choose a side with "
            "floor beyond it.",
        )
    z, landing = max(beside)
    if z == level.z:
        raise _InTheWay(
            ".side",
            f"Beyond side {wish.side} of {wish.cell.words} is "
            "floor at the same height: there is nothing to go down.",
        )
    return landing


def _auto_panels(design: Design, wish: RampWish, rise_mm: int, limits: Limits) -> int:
    panels = fewest_panels(design.panel, wish, rise_mm, limits.slope_deg)
    if panels is None:
        raise _InTheWay(
            ".panels",
            f"Not even {MOST_RAMP_PANELS} panels make a ramp of at most "
            f"{limits.slope_deg:g}° for a rise of {rise_mm} mm. Lower the level or "
            "overlap the panels less.",
        )
    return panels


def _too_steep(panels: int, slope: float, rise_mm: int, limits: Limits) -> str:
    shown = f"{slope:.1f}°" if slope < 90 else "too short to reach its doorway"
    return (
        f"A ramp of {_panels(panels)} over a rise of {rise_mm} mm is {shown}; the limit is "
        f'{limits.slope_deg:g}° (common practice). Use more panels, less overlap or "auto".'
    )


def _panels(count: int) -> str:
    return "1 panel" if count == 1 else f"{count} panels"


def _free_lane(design: Design, wish: RampWish, landing: int) -> tuple[tuple[Cell, ...], str]:
    """Cells in a straight line from the doorway that nothing stands in or over, nearest first,
    and in words what ends them.

    What parts floors may stand on one further down and go up through the one landed on.
    """
    level, ground = design.levels[wish.level], design.levels[landing]
    parting = parting_places(design)
    lane = [wish.cell.beyond(wish.side)]
    while True:
        last, following = lane[-1], lane[-1].beyond(wish.side)
        across = {wall_place(last, wish.side, z) for z in range(ground.z, level.z + 1)}
        if following not in ground.cells:
            return tuple(lane), "a wall"
        if ends := across & parting.keys():
            where = f"side {wish.side} of {last.words}"
            return tuple(lane), f"the {parting[min(ends)]} on {where}"
        if any(z <= level.z for z in design.floors_over(following, ground.z)):
            where = following.words
            return tuple(lane), f"the floor of another level over {where}"
        lane.append(following)


def _check_head_room(
    design: Design, wish: RampWish, lane: tuple[Cell, ...], landing: Level, fall: float
) -> None:
    """An animal passes the doorway and the ramp upright, under floors and lid."""
    needed = DOORWAY_HEIGHT_MM[design.species]
    size = design.panel.size_mm
    level = design.levels[wish.level]
    heights = [level.z * size, *(level.z * size - i * size * fall for i in range(len(lane)))]
    covers = [
        design.cover_over(wish.cell, level.z),
        *(design.cover_over(cell, landing.z) for cell in lane),
    ]
    for cell, surface, cover in zip((wish.cell, *lane), heights, covers, strict=True):
        room = None if cover is None else cover * size - surface
        if room is not None and room < needed:
            raise _InTheWay(
                "",
                f"Over {cell.words} the ramp has {round(room)} mm of head room; "
                f"{needed} mm are needed. Raise the walls (wall_panels) or leave the lid off.",
            )


def _keep_apart(ramp: Ramp, others: list[Ramp]) -> None:
    for other in others:
        shared = set(ramp.lane) & set(other.lane)
        if shared:
            cell = min(shared)
            raise _InTheWay(
                "",
                f"Another ramp already stands over {cell.words}. Ramps need lanes of their own.",
            )
