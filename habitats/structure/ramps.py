"""Working out every ramp of a design, and naming what stands in its way."""

from math import ceil
from typing import NamedTuple

from habitats.decimals import tenths, trimmed_tenths
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
from habitats.wording import counted, message


def work_out_ramps(design: Design, limits: Limits) -> tuple[tuple[Ramp, ...], list[FileFault]]:
    """All ramps, or the faults of those that cannot be; one fault a ramp."""
    ramps: list[Ramp] = []
    faults: list[FileFault] = []
    for index, wish in enumerate(design.ramps):
        try:
            ramp = _work_out(design, wish, limits)
            _keep_apart(ramp, ramps)
        except _InTheWay as reason:
            faults.append(FileFault(f"ramps[{index}]{reason.key}", str(reason), reason.on_screen))
        else:
            ramps.append(ramp)
    return tuple(ramps), faults


class _InTheWay(Exception):
    """Why a ramp cannot be, and the key of the wish to blame; ``on_screen`` as in a fault."""

    def __init__(self, key: str, message: str, on_screen: str = "") -> None:
        super().__init__(message)
        self.key = key
        self.on_screen = on_screen


def _work_out(design: Design, wish: RampWish, limits: Limits) -> Ramp:
    level = _level_left(design, wish)
    landing = _landing(design, wish, level)
    rise_mm = (level.z - design.levels[landing].z) * design.panel.size_mm
    panels = wish.panels or _auto_panels(design, wish, rise_mm, limits)
    length = ramp_length(design.panel, panels, wish.overlap_squares)
    slope = slope_of(length, rise_mm)
    if slope > limits.slope_deg:
        raise _InTheWay(".panels", *_too_steep(panels, slope, rise_mm, limits))
    way = _way_down(design, wish, landing, panels, rise_mm)
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
        run_mm=way.run_mm,
        slope_deg=slope,
        lane=way.lane,
        landing_mm=way.landing_mm,
        seat_mm=way.seat_mm,
        strip=strip,
        strip_side_mm=strip_side,
        towel=towel_for(strip),
        doorway_squares=doorway_squares(design.panel, wish.bend_squares, design.species),
    )


class _Way(NamedTuple):
    """The floor under a ramp: how far it runs, over which cells, what is left at its foot, and how
    deep that is set in where the straight line is a little short."""

    run_mm: float
    lane: tuple[Cell, ...]
    landing_mm: int
    seat_mm: int


def _way_down(design: Design, wish: RampWish, landing: int, panels: int, rise_mm: int) -> _Way:
    """Raises ``_InTheWay`` where the floor is too short, or something hangs too low over it."""
    length = ramp_length(design.panel, panels, wish.overlap_squares)
    run = run_of(length, rise_mm)
    free, end = _free_lane(design, wish, landing)
    lane_mm = len(free) * design.panel.size_mm - design.tray.clearance_mm
    seat = seat_needed(length, rise_mm, lane_mm)
    if seat > DEEPEST_SEAT_MM:
        raise _InTheWay("", _too_long(wish, panels, run, lane_mm, end))
    lane = free[: ceil(run / design.panel.size_mm)]
    _check_head_room(design, wish, lane, design.levels[landing], rise_mm / run)
    return _Way(run, lane, max(0, round(lane_mm - run)), seat)


def _too_long(wish: RampWish, panels: int, run_mm: float, lane_mm: int, end: str) -> str:
    return message(
        "The ramp of %(panels)s runs %(run)s mm, but side %(side)s of %(cell)s has only "
        "%(lane)s mm of floor in a straight line before %(end)s. Move the doorway, "
        "overlap the panels more or make the way longer.",
        panels=_panels(panels),
        run=round(run_mm),
        side=wish.side,
        cell=wish.cell.words,
        lane=lane_mm,
        end=end,
    )


def _level_left(design: Design, wish: RampWish) -> Level:
    """The level the ramp leaves, once it is sure that the doorway is in one of its outer walls."""
    if wish.level >= len(design.levels):
        raise _InTheWay(
            ".level",
            message(
                "There is no level %(level)s; the highest of this design is %(highest)s.",
                level=wish.level,
                highest=len(design.levels) - 1,
            ),
        )
    level = design.levels[wish.level]
    _check_outer_wall(wish, level)
    return level


def _check_outer_wall(wish: RampWish, level: Level) -> None:
    where = wish.cell.words
    if wish.cell not in level.cells:
        raise _InTheWay(
            "",
            message(
                "Level %(level)s has no cell at %(where)s. A ramp leaves from a cell of its level.",
                level=wish.level,
                where=where,
            ),
        )
    if wish.cell.beyond(wish.side) in level.cells:
        raise _InTheWay(
            ".side",
            message(
                "Side %(side)s of the cell at %(where)s is an inner edge of level %(level)s, "
                "with no wall for a doorway. Choose a side with an outer wall.",
                side=wish.side,
                where=where,
                level=wish.level,
            ),
        )


def _landing(design: Design, wish: RampWish, level: Level) -> int:
    """Index of the level the ramp lands on: the highest below it beside the doorway."""
    first = wish.cell.beyond(wish.side)
    beside = [
        (one.z, i) for i, one in enumerate(design.levels) if first in one.cells and one.z <= level.z
    ]
    if not beside:
        raise _InTheWay(
            ".side",
            message(
                "Side %(side)s of %(cell)s leads past the floor: there is no level below it on "
                "that side. Choose a side with floor beyond it.",
                side=wish.side,
                cell=wish.cell.words,
            ),
        )
    z, landing = max(beside)
    if z == level.z:
        raise _InTheWay(
            ".side",
            message(
                "Beyond side %(side)s of %(cell)s is floor at the same height: there is nothing "
                "to go down.",
                side=wish.side,
                cell=wish.cell.words,
            ),
        )
    return landing


def _auto_panels(design: Design, wish: RampWish, rise_mm: int, limits: Limits) -> int:
    panels = fewest_panels(design.panel, wish, rise_mm, limits.slope_deg)
    if panels is None:
        raise _InTheWay(
            ".panels",
            message(
                "Not even %(most)s panels make a ramp of at most %(slope)s° for a "
                "rise of %(rise)s mm. Lower the level or overlap the panels less.",
                most=MOST_RAMP_PANELS,
                slope=trimmed_tenths(limits.slope_deg),
                rise=rise_mm,
            ),
        )
    return panels


def _too_steep(panels: int, slope: float, rise_mm: int, limits: Limits) -> tuple[str, str]:
    """What is wrong, for who reads the file and for who reads the screen."""
    given = {"panels": _panels(panels), "rise": rise_mm}
    if slope >= 90:
        return message(
            "A ramp of %(panels)s over a rise of %(rise)s mm is too short to reach its doorway. "
            'Use more panels, less overlap or "auto".',
            **given,
        ), message(
            "A ramp of %(panels)s over a rise of %(rise)s mm is too short to reach its doorway. "
            "Use more panels, or overlap them less.",
            **given,
        )
    given |= {"slope": tenths(slope), "limit": trimmed_tenths(limits.slope_deg)}
    return message(
        "A ramp of %(panels)s over a rise of %(rise)s mm is %(slope)s°; the limit is %(limit)s° "
        '(common practice). Use more panels, less overlap or "auto".',
        **given,
    ), message(
        "A ramp of %(panels)s over a rise of %(rise)s mm is %(slope)s°; the limit is %(limit)s° "
        "(common practice). Use more panels, or overlap them less.",
        **given,
    )


def _panels(count: int) -> str:
    return counted("%(count)d panel", "%(count)d panels", count)


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
            return tuple(lane), message("a wall")
        if ends := across & parting.keys():
            where = message("side %(side)s of %(last)s", side=wish.side, last=last.words)
            return tuple(lane), message(
                "the %(parting)s on %(where)s", parting=parting[min(ends)], where=where
            )
        if any(z <= level.z for z in design.floors_over(following, ground.z)):
            over = following.words
            return tuple(lane), message("the floor of another level over %(cell)s", cell=over)
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
            given = {"cell": cell.words, "room": round(room), "needed": needed}
            raise _InTheWay(
                "",
                message(
                    "Over %(cell)s the ramp has %(room)s mm of head room; %(needed)s mm are "
                    "needed. Raise the walls (wall_panels) or leave the lid off.",
                    **given,
                ),
                message(
                    "Over %(cell)s the ramp has %(room)s mm of head room; %(needed)s mm are "
                    "needed. Make the walls higher, or leave the lid off.",
                    **given,
                ),
            )


def _keep_apart(ramp: Ramp, others: list[Ramp]) -> None:
    for other in others:
        shared = set(ramp.lane) & set(other.lane)
        if shared:
            cell = min(shared)
            raise _InTheWay(
                "",
                message(
                    "Another ramp already stands over %(cell)s. Ramps need lanes of their own.",
                    cell=cell.words,
                ),
            )
