"""The plan on the drawing board, and the outline of a design that cannot be made yet.

Unlike the other pictures these need only the design, finished or not. The plan lies under a grid
of buttons, which carry its meaning for those who do not see it: so it is hidden from them. One
cell is 100 units; the window is what the board shows, with a free ring to grow into.
"""

from collections.abc import Iterable, Iterator
from html import escape
from typing import NamedTuple

from builds.drawing.dimension import Lengths
from builds.drawing.draft_dimensions import dimensions
from builds.drawing.kinds import KINDS
from habitats.measures import length
from habitats.structure.design import Design, Fitting, Level, Limits
from habitats.structure.kinds import KINDS as WHAT
from habitats.structure.kinds import At, Role
from habitats.structure.lattice import (
    Cell,
    Face,
    PanelPlace,
    Side,
    counted_from_1,
    outer_edges,
    wall_place,
)
from habitats.structure.ramp import Ramp
from habitats.structure.ramps import work_out_ramps
from habitats.structure.read import MOST_COLS, MOST_ROWS
from habitats.wording import message

UNIT = 100
WALL_TOP_OFF = 13  # how far outside its wall is drawn what stands on it
JOINT_HALF = 9  # of a fitting on a joint
PUP_OFF = 9  # from a wall to the second layer of wire
ANCHOR_HALF = 14  # of a wall anchor
CHANNEL = 34  # width of a ramp on the plan


class Window(NamedTuple):
    """The part of the lattice that is shown, in cells; the last row and column are included."""

    row: int
    col: int
    last_row: int
    last_col: int

    @property
    def rows(self) -> range:
        return range(self.row, self.last_row + 1)

    @property
    def cols(self) -> range:
        return range(self.col, self.last_col + 1)


def window_of(design: Design) -> Window:
    """The lattice with one ring around it."""
    return Window(-1, -1, design.rows, design.cols)


def may_be_floor(design: Design, cell: Cell) -> bool:
    """Whether the lattice has the cell, or has room to grow by it."""
    in_rows, in_cols = 0 <= cell.row < design.rows, 0 <= cell.col < design.cols
    return (in_rows or design.rows < MOST_ROWS) and (in_cols or design.cols < MOST_COLS)


def draft_picture(
    design: Design,
    level: int,
    worked_out: Iterable[Fitting],
    *,
    limits: Limits | None = None,
    lengths: Lengths = length,
) -> str:
    """The plan of one level with the others behind it, as far as it is drawn.

    ``worked_out`` are the fittings of kinds that can be worked out, as they stand; ``lengths``
    writes millimetres in the reader's units. ``limits`` None: the usual slope of ramps.
    """
    window = window_of(design)
    ramps, _faults = work_out_ramps(design, limits or Limits())
    layers = _layers(design, level, worked_out, ramps, lengths)
    width, height = len(window.cols) * UNIT, len(window.rows) * UNIT
    return (
        f'<svg class="draft" viewBox="{window.col * UNIT} {window.row * UNIT} {width} {height}" '
        'aria-hidden="true" focusable="false">'
        '<defs><pattern id="overhead" width="16" height="16" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><path class="hatch" d="M0 8H16"/></pattern></defs>'
        f"{''.join(layers)}</svg>"
    )


def _layers(
    design: Design,
    level: int,
    worked_out: Iterable[Fitting],
    ramps: tuple[Ramp, ...],
    lengths: Lengths,
) -> list[str]:
    """What the picture shows, the hindmost first."""
    window = window_of(design)
    return [
        _dots(window),
        _free(design, window, level),
        _others_below(design, level),
        _floor(design, level),
        _others_above(design, level),
        _walls(design, level),
        _pup_set(design, level),
        *_fittings(design, level, worked_out),
        *(
            _ramp(ramp, design.panel.size_mm, leaves=ramp.level == level)
            for ramp in ramps
            if level in (ramp.level, ramp.landing)
        ),
        _lost_ramps(design, level, ramps),
        _numbers(window),
        dimensions(design, level, lengths),
    ]


def outline_picture(design: Design, *, mm_per_px: float) -> str:
    """The footprint of a design that cannot be made yet, dashed and to scale."""
    side = design.panel.size_mm / mm_per_px
    width, height = design.cols * UNIT, design.rows * UNIT
    name = escape(str(message("Unfinished footprint")))
    return (
        f'<svg class="outline" role="img" aria-label="{name}" viewBox="-4 -4 {width + 8} '
        f'{height + 8}" width="{design.cols * side:.0f}" height="{design.rows * side:.0f}">'
        f"<title>{name}</title>"
        f'<path class="outline-floor" d="{_squares(design.ground.cells)}"/>'
        f'<path class="outline-wall" d="{_edges(outer_edges(design.ground.cells))}"/></svg>'
    )


def _dots(window: Window) -> str:
    marks = "".join(
        f"M{col * UNIT} {row * UNIT}h0"
        for row in range(window.row + 1, window.last_row + 1)
        for col in range(window.col + 1, window.last_col + 1)
    )
    return f'<path class="dots" d="{marks}"/>'


def _free(design: Design, window: Window, level: int) -> str:
    """A small cross in each cell that could become floor."""
    cells = design.levels[level].cells
    crosses = "".join(
        f"M{col * UNIT + 43} {row * UNIT + 50}h14M{col * UNIT + 50} {row * UNIT + 43}v14"
        for row in window.rows
        for col in window.cols
        if (row, col) not in cells and may_be_floor(design, Cell(row, col))
    )
    return f'<path class="free" d="{crosses}"/>'


def _floor(design: Design, level: int) -> str:
    cells = design.levels[level].cells
    inner = [
        (cell, side)
        for cell in sorted(cells)
        for side in (Side.E, Side.S)
        if cell.beyond(side) in cells
    ]
    return f'<path class="floor" d="{_squares(cells)}"/><path class="mesh" d="{_edges(inner)}"/>'


def _others_below(design: Design, level: int) -> str:
    return "".join(
        f'<path class="below" d="{_squares(one.cells)}"/>'
        f'<path class="below-wall" d="{_edges(outer_edges(one.cells))}"/>'
        for one in design.levels[:level]
    )


def _others_above(design: Design, level: int) -> str:
    return "".join(
        f'<path class="above" fill="url(#overhead)" d="{_squares(one.cells)}"/>'
        f'<path class="above-wall" d="{_edges(outer_edges(one.cells))}"/>'
        for one in design.levels[level + 1 :]
    )


def _walls(design: Design, level: int) -> str:
    edges = outer_edges(design.levels[level].cells)
    ends = sorted({end for cell, side in edges for end in _ends(cell, side)})
    joints = "".join(f'<circle cx="{x}" cy="{y}" r="7"/>' for x, y in ends)
    return f'<path class="wall" d="{_edges(edges)}"/><g class="joints">{joints}</g>'


def _pup_set(design: Design, level: int) -> str:
    """A line of dots outside each wall of the ground that takes a panel of the pup set."""
    if level or not design.pup_set:
        return ""
    lines = []
    for cell, side in outer_edges(design.ground.cells):
        down, right = (step * PUP_OFF for step in side.step)
        (x1, y1), (x2, y2) = _ends(cell, side)
        lines.append(f"M{x1 + right} {y1 + down}L{x2 + right} {y2 + down}")
    return f'<path class="pup-layer" d="{"".join(lines)}"/>'


def _fittings(design: Design, level: int, worked_out: Iterable[Fitting]) -> Iterator[str]:
    """What stands on this level, each kind as one path."""
    given = [one for one in design.fittings if not WHAT[one.kind].auto]
    those = [*given, *worked_out]
    for role, kind in KINDS.items():
        lines = [
            _sign(one, WHAT[role].at)
            for one in those
            if kind.board and one.kind == role and _is_on(design.levels[level], one, WHAT[role].at)
        ]
        if lines:
            yield f'<path class="{kind.board}" d="{"".join(lines)}"/>'


def _is_on(stands: Level, fitting: Fitting, at: At | None) -> bool:
    if at is At.WALL_TOP:
        return fitting.cell in stands.cells and stands.z < fitting.z <= stands.top
    return fitting.z == stands.z


def _sign(fitting: Fitting, at: At | None) -> str:
    """A line along its edge, just outside it for what stands on a wall; else a small square."""
    if fitting.kind == Role.ANCHOR:
        return _lozenge(*_middle(*fitting.edge))
    if fitting.side is None:
        middle = 0 if at is At.JOINT else UNIT // 2
        x, y = fitting.col * UNIT + middle, fitting.row * UNIT + middle
        side = 2 * JOINT_HALF
        return f"M{x - JOINT_HALF} {y - JOINT_HALF}h{side}v{side}h-{side}z"
    off = WALL_TOP_OFF if at is At.WALL_TOP else 0
    down, right = (step * off for step in fitting.side.step)
    (x1, y1), (x2, y2) = _ends(*fitting.edge)
    return f"M{x1 + right} {y1 + down}L{x2 + right} {y2 + down}"


def _lozenge(x: int, y: int) -> str:
    half = ANCHOR_HALF
    return f"M{x - half} {y}l{half} -{half}l{half} {half}l-{half} {half}z"


def _ramp(ramp: Ramp, size_mm: int, *, leaves: bool) -> str:
    """The channel from doorway to foot, its rungs and an arrow pointing down the slope."""
    x, y = _middle(ramp.cell, ramp.side)
    down, right = ramp.side.step
    # A ramp longer than its lane lies with its head through the doorway: draw it in the lane.
    length = min(ramp.run_mm / size_mm, len(ramp.lane)) * UNIT
    half = CHANNEL / 2

    def at(along: float, across: float) -> str:
        return f"{x + right * along - down * across:.1f} {y + down * along + right * across:.1f}"

    corners = [at(0, -half), at(length, -half), at(length, half), at(0, half)]
    rungs = "".join(
        f"M{at(step, -half)}L{at(step, half)}" for step in range(20, int(length) - 5, 20)
    )
    tip = f"M{at(length - 16, -half)}L{at(length, 0)}L{at(length - 16, half)}"
    doorway = f"M{at(0, -half)}L{at(0, half)}"
    kind = "ramp" if leaves else "ramp arrives"
    return (
        f'<g class="{kind}"><path class="channel" d="M{"L".join(corners)}Z"/>'
        f'<path class="rungs" d="{rungs}"/><path class="tip" d="{tip}"/>'
        f'<path class="doorway" d="{doorway}"/></g>'
    )


def _lost_ramps(design: Design, level: int, ramps: tuple[Ramp, ...]) -> str:
    """A cross on the doorway of each ramp that cannot be as it is."""
    stand = {(ramp.level, ramp.cell, ramp.side) for ramp in ramps}
    marks = []
    for wish in design.ramps:
        if wish.level == level and (wish.level, wish.cell, wish.side) not in stand:
            x, y = _middle(wish.cell, wish.side)
            marks.append(f"M{x - 16} {y - 16}l32 32m-32 0l32 -32")
    return f'<path class="lost" d="{"".join(marks)}"/>' if marks else ""


def _numbers(window: Window) -> str:
    """Row and column numbers in the free ring, as the sentences about faults use them."""
    texts = [
        *((col * UNIT + 50, -16, counted_from_1(col)) for col in window.cols[1:-1]),
        *((-24, row * UNIT + 60, counted_from_1(row)) for row in window.rows[1:-1]),
    ]
    return (
        '<g class="numbers">'
        + "".join(f'<text x="{x}" y="{y}">{number}</text>' for x, y, number in texts)
        + "</g>"
    )


def _squares(cells: Iterable[Cell]) -> str:
    return "".join(
        f"M{cell.col * UNIT} {cell.row * UNIT}h{UNIT}v{UNIT}h-{UNIT}z" for cell in sorted(cells)
    )


def _edges(edges: Iterable[tuple[Cell, Side]]) -> str:
    return "".join(
        f"M{x1} {y1}L{x2} {y2}" for (x1, y1), (x2, y2) in (_ends(*edge) for edge in edges)
    )


def _ends(cell: Cell, side: Side) -> tuple[tuple[int, int], tuple[int, int]]:
    place: PanelPlace = wall_place(cell, side, 0)
    x, y = place.col * UNIT, place.row * UNIT
    return ((x, y), (x + UNIT, y)) if place.face is Face.EW else ((x, y), (x, y + UNIT))


def _middle(cell: Cell, side: Side) -> tuple[int, int]:
    (x1, y1), (x2, y2) = _ends(cell, side)
    return (x1 + x2) // 2, (y1 + y2) // 2
