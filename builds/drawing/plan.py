"""A level's plan to scale, and the small footprint for lists drawn to one scale."""

from builds.drawing.dimension import ROW, Lengths, chain, dimension, scale_bar
from builds.drawing.kinds import KINDS
from builds.drawing.lanes import COMPASS, lane_of
from builds.drawing.signs import anchor_sign, doubled_sign, furniture_sign
from builds.making.anchoring import anchors_of
from builds.making.pup_set import pups_of
from habitats.drawing.north import RADIUS, north_mark
from habitats.drawing.pen import Anchor, Pen, Point, Scaled, width_of
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.structure.furniture import places_of
from habitats.structure.lattice import Cell, Side, counted_from_1, joints_of, wall_place
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Ring, TrayDoorway
from habitats.wording import counted, joined, message

PLAN_WIDTH = 350.0  # units the longer side of a plan takes
INSIDE_ROW = 27.0  # beyond what is drawn outside the walls
NUMBERED = 36.0  # units a cell takes at least where its row and column are written in it,
BETWEEN = 16.0  # and beside both of their words, at the walls and between the two
LARGEST_SCALE = 0.3  # so that one cell does not fill a page


def plan_picture(structure: Structure, level: int, *, lengths: Lengths) -> str:
    """The plan of one level: walls, tray, doorways, ramps, fittings, joints and dimensions.

    ``level`` is an index; raises ``IndexError`` if there is none. ``lengths`` formats whole
    millimetres for the reader.
    """
    design = structure.design.name
    return finished(
        lambda pen: draw_plan(pen, structure, level, lengths),
        message("Plan of level %(level)d of %(design)s", level=level, design=design)
        if level
        else message("Plan of the ground of %(design)s", design=design),
        describe_plan(structure, level, lengths),
        kind="plan",
    )


def describe_plan(structure: Structure, level: int, lengths: Lengths) -> str:
    """What the plan shows, in words."""
    design = structure.design
    west, north, east, south = structure.trays[level].bounds
    cells = len(design.levels[level].cells)
    sentences: list[str] = [
        message("Seen from above, north at the top."),
        counted(
            "%(count)d cell; the tray is at most %(wide)s wide and %(deep)s deep inside.",
            "%(count)d cells; the tray is at most %(wide)s wide and %(deep)s deep inside.",
            cells,
            wide=lengths(east - west),
            deep=lengths(south - north),
        ),
    ]
    for ramp in structure.ramps:
        if ramp.level == level:
            sentences.append(
                message("A ramp leaves down to the %(side)s.", side=COMPASS[ramp.side])
            )
        if ramp.landing == level:
            sentences.append(
                message(
                    "A ramp comes down to this floor, running %(side)s.", side=COMPASS[ramp.side]
                )
            )
    return joined(" ", sentences)


def draw_plan(pen: Pen, structure: Structure, level: int, lengths: Lengths) -> None:
    """The layers of a plan, lowest first."""
    cells = structure.design.levels[level].cells
    size = structure.design.panel.size_mm
    west, north, east, south = _extent(cells)
    scale = min(LARGEST_SCALE, PLAN_WIDTH / (max(east - west, south - north) * size))
    mm = Scaled(pen, scale)
    _floor(mm, structure, level)
    _numbers(pen, mm, cells, size)
    for ramp in structure.ramps:
        if ramp.landing == level:
            _ramp(pen, mm, ramp, structure)
        if ramp.level == level:
            _ramp_below(mm, ramp, structure)
    _walls(mm, structure, level)
    _joints(mm, structure, level)
    _dimensions(pen, mm, structure, level, lengths)
    left, bottom = mm.at((west * size, south * size))
    scale_bar(pen, (left, bottom + 44), scale, lengths)
    right, top = mm.at((east * size, north * size))
    # Above the measure of the inside, which begins at the wall.
    north_mark(pen, (right + 2 * ROW, top - RADIUS - 6))


def _extent(cells: frozenset[Cell]) -> tuple[int, int, int, int]:
    """West, north, east and south lattice lines."""
    rows, cols = [c.row for c in cells], [c.col for c in cells]
    return min(cols), min(rows), max(cols) + 1, max(rows) + 1


def _floor(mm: Scaled, structure: Structure, level: int) -> None:
    """The ground beneath it, cells, and the tray's inside, hatched where a level lies over it."""
    design = structure.design
    size = design.panel.size_mm
    tray = structure.trays[level]
    mm.area([cell_ring(cell, size) for cell in design.levels[level].cells], Style.GROUND)
    mm.area([ring_points(ring) for ring in tray.rings], Style.INSIDE)
    over = frozenset[Cell]().union(
        *(one.cells for one in design.levels if one.z > design.levels[level].z)
    )
    for cell in sorted(design.levels[level].cells & over):
        mm.area([cell_ring(cell, size)], Style.UNDER)
    for cell in design.levels[level].cells:
        for side in (Side.E, Side.S):
            if cell.beyond(side) in design.levels[level].cells:
                mm.line(edge_of(cell, side, size), Style.HIDDEN)


def _numbers(pen: Pen, mm: Scaled, cells: frozenset[Cell], size: int) -> None:
    """Rows in their westernmost cell and columns in their northernmost, as sentences name them."""
    one = size * mm.scale
    if one < NUMBERED:
        return
    worded = _words_fit(cells, one)
    for row in {cell.row for cell in cells}:
        first = min(cell for cell in cells if cell.row == row)
        x, y = mm.at((first.col * size, row * size))
        pen.text((x + 6, y + 14), _row(row, worded), Letter.NOTE, Anchor.START)
    for col in {cell.col for cell in cells}:
        first = min(cell for cell in cells if cell.col == col)
        x, y = mm.at(((col + 1) * size, first.row * size))
        pen.text((x - 6, y + 14), _column(col, worded), Letter.NOTE, Anchor.END)


def _words_fit(cells: frozenset[Cell], one: float) -> bool:
    """Whether a cell takes the longest row and column side by side, in the reader's language."""
    longest = (
        _row(max(cell.row for cell in cells), True),
        _column(max(cell.col for cell in cells), True),
    )
    return sum(width_of(words, Letter.NOTE) for words in longest) + BETWEEN <= one


def _row(row: int, has_room: bool) -> str:
    number = counted_from_1(row)
    return (
        message("row %(number)d", number=number)
        if has_room
        else message("r%(number)d", number=number)
    )


def _column(col: int, has_room: bool) -> str:
    number = counted_from_1(col)
    return (
        message("col %(number)d", number=number)
        if has_room
        else message("c%(number)d", number=number)
    )


def cell_ring(cell: Cell, size: int) -> list[Point]:
    """A cell's corners in millimetres."""
    x, y = float(cell.col * size), float(cell.row * size)
    return [(x, y), (x + size, y), (x + size, y + size), (x, y + size)]


def ring_points(ring: Ring) -> list[Point]:
    """A tray ring's corners in millimetres."""
    return [(wall.x1, wall.y1) for wall in ring]


def edge_of(cell: Cell, side: Side, size: int) -> list[Point]:
    """One side of a cell, from west to east or north to south."""
    x, y = float(cell.col * size), float(cell.row * size)
    return {
        Side.N: [(x, y), (x + size, y)],
        Side.S: [(x, y + size), (x + size, y + size)],
        Side.W: [(x, y), (x, y + size)],
        Side.E: [(x + size, y), (x + size, y + size)],
    }[side]


def _ramp(pen: Pen, mm: Scaled, ramp: Ramp, structure: Structure) -> None:
    """The channel as it lies over this floor, with an arrow and the word for the way down."""
    lane = lane_of(ramp, structure.design.panel)
    head, foot, half = max(0.0, lane.head), lane.foot, lane.half_width
    corners = [lane.at(head, -half), lane.at(foot, -half), lane.at(foot, half), lane.at(head, half)]
    mm.area([corners], Style.PIECE)
    side = ramp.strip_side_mm
    for across in (-half + side / 4, half - side / 4):
        mm.line([lane.at(head, across), lane.at(foot, across)], Style.THIN)
    start, end = lane.at(foot * 0.2), lane.at(foot * 0.85)
    mm.line([start, end], Style.INK)
    barb = half * 0.4
    tip = [lane.at(foot * 0.85 - barb, -barb), end, lane.at(foot * 0.85 - barb, barb)]
    mm.line(tip, Style.INK)
    x, y = mm.at(lane.at(foot * 0.5))
    turn = 0 if ramp.side in (Side.E, Side.W) else -90
    dx, dy = (0.0, -5.0) if not turn else (-5.0, 0.0)
    pen.text((x + dx, y + dy), message("down"), Letter.NOTE, turn=turn)


def _ramp_below(mm: Scaled, ramp: Ramp, structure: Structure) -> None:
    """Where the ramp goes on outside this level's walls, a short way and dashed."""
    lane = lane_of(ramp, structure.design.panel)
    # No farther than the first row of dimensions.
    foot, half = min(lane.foot, (ROW - 4) / mm.scale), lane.half_width
    for across in (-half, half):
        mm.line([lane.at(0, across), lane.at(foot, across)], Style.HIDDEN)
    mm.line([lane.at(foot * 0.1), lane.at(foot)], Style.THIN)
    barb = half * 0.4
    tip = [lane.at(foot - barb, -barb), lane.at(foot), lane.at(foot - barb, barb)]
    mm.line(tip, Style.THIN)


def _walls(mm: Scaled, structure: Structure, level: int) -> None:
    design = structure.design
    z = design.levels[level].z
    edges = {wall_place(cell, side, z) for cell in design.levels[level].cells for side in Side}
    for panel in structure.panels:
        kind = KINDS[panel.role]
        if kind.on_floor and panel.place in edges:
            kind.on_floor(mm, structure, panel)
        if kind.on_wall and panel.level == level:
            kind.on_wall(mm, structure, panel)
    for place, its_level in anchors_of(structure).items():
        if its_level == level:
            anchor_sign(mm, structure, place)
    for pup in pups_of(structure) if level == 0 else ():
        if not pup.at_foot:
            doubled_sign(mm, structure, pup.place)
    for one in places_of(structure) if level == 0 else ():
        furniture_sign(mm, structure, one)
    for doorway in structure.trays[level].doorways:
        _doorway(mm, doorway)


def _doorway(mm: Scaled, doorway: TrayDoorway) -> None:
    """The opening as a gap in the wall between two jambs."""
    ends = [(doorway.x1, doorway.y1), (doorway.x2, doorway.y2)]
    mm.line(ends, Style.GAP)
    by = 5 / mm.scale
    level_wall = doorway.side in (Side.N, Side.S)
    for x, y in ends:
        dx, dy = (0.0, by) if level_wall else (by, 0.0)
        mm.line([(x - dx, y - dy), (x + dx, y + dy)], Style.INK)


def _joints(mm: Scaled, structure: Structure, level: int) -> None:
    z = structure.design.levels[level].z
    size = structure.design.panel.size_mm
    cells = structure.design.levels[level].cells
    edges = {wall_place(cell, side, z) for cell in cells for side in Side}
    stand = joints_of(edges & structure.places)
    for row, col in sorted({(joint.row, joint.col) for joint in stand}):
        mm.circle((col * size, row * size), 3.2 / mm.scale, Style.JOINT)


def _dimensions(pen: Pen, mm: Scaled, structure: Structure, level: int, lengths: Lengths) -> None:
    """Outside: joint to joint on north and west. Inside of the tray: on south and east."""
    cells = structure.design.levels[level].cells
    size = structure.design.panel.size_mm
    west, north, east, south = (line * size for line in _extent(cells))
    across = [mm.at((x, north)) for x in range(west, east + 1, size)]
    down = [mm.at((west, y)) for y in range(south, north - 1, -size)]
    for joints in (across, down):
        _joint_chain(pen, joints, size, lengths)
    inner_w, inner_n, inner_e, inner_s = structure.trays[level].bounds
    left, right = mm.at((inner_w, south)), mm.at((inner_e, south))
    dimension(
        pen,
        left,
        right,
        -INSIDE_ROW,
        message("inside %(length)s", length=lengths(inner_e - inner_w)),
    )
    top, bottom = mm.at((east, inner_n)), mm.at((east, inner_s))
    dimension(
        pen,
        bottom,
        top,
        -INSIDE_ROW,
        message("inside %(length)s", length=lengths(inner_s - inner_n)),
    )


def _joint_chain(pen: Pen, joints: list[Point], size: int, lengths: Lengths) -> None:
    """Panel by panel and overall; where single ones would be too narrow to read, how many."""
    count = len(joints) - 1
    each, overall = lengths(size), lengths(count * size)
    one = max(abs(joints[1][0] - joints[0][0]), abs(joints[1][1] - joints[0][1]))
    if count == 1:
        dimension(pen, joints[0], joints[-1], ROW, overall)
    elif width_of(each, Letter.FIGURE) < one - 4:
        chain(pen, joints, ROW, [each] * count)
        dimension(pen, joints[0], joints[-1], 2 * ROW, overall)
    else:
        dimension(pen, joints[0], joints[-1], ROW, f"{count} × {each} = {overall}")
