"""Kinds of part, first table: what each is, where it stands and what it does there.

``builds.making.kinds`` tells by the same keys how each is made, ``builds.drawing.kinds`` how it is
drawn. Parts of some kinds come of the levels alone (walls, floors, the lid); the others are
fittings, drawn one by one and told by a key of their own in the design file.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from enum import Enum, StrEnum, auto
from typing import NamedTuple

from habitats.structure.anchors import anchor_faults, anchor_panels
from habitats.structure.design import Design, Fitting
from habitats.structure.dividers import divider_faults, divider_panels
from habitats.structure.doors import door_bears, door_faults, door_panels, door_places
from habitats.structure.faults import FileFault
from habitats.structure.guards import auto_guards, guard_faults, guard_panels
from habitats.structure.lattice import (
    Cell,
    Joint,
    PanelPlace,
    Side,
    floor_place,
    outer_edges,
    wall_place,
)
from habitats.structure.ramp import Ramp
from habitats.structure.supports import (
    auto_supports,
    support_bears,
    support_faults,
    support_panels,
    unsupported_supports,
)
from habitats.wording import message


class Role(StrEnum):
    """What a panel is there for: the key of its kind in all tables. A code is never changed.

    Kinds that are no panels, such as wall anchors, have their key here too.
    """

    WALL = "wall"
    FLOOR = "floor"
    LID = "lid"
    DIVIDER = "divider"
    GUARD = "guard"
    SUPPORT = "support"
    DOOR = "door"
    ANCHOR = "anchor"


class At(Enum):
    """Where a fitting stands."""

    INNER_EDGE = auto()  # between two cells of one level
    OUTER_EDGE = auto()  # between a cell of the level and no cell
    WALL_TOP = auto()  # at the side of a cell, above a wall
    CELL = auto()  # flat over a cell
    JOINT = auto()  # on a joint of the level


class Option(NamedTuple):
    """A whole number that a fitting is told with, and its bounds, both included."""

    key: str
    least: int
    most: int
    usual: int


# Each panel's place and the index of its level; fittings of other kinds are not among those given.
Takes = Callable[[Design, Sequence[Fitting]], Iterator[tuple[PanelPlace, int]]]
Bears = Callable[[Design, Sequence[Fitting]], Iterator[PanelPlace | Joint]]


class Kind(NamedTuple):
    """One row. What is said of fittings is empty for kinds that come of the levels.

    - ``takes``: the places of its panels, none for what is no panel; the first kind in the table
      to take a place keeps it;
    - ``plural``: what several are called, as a heading;
    - ``in_file``: its key in a design file, ``written``: the keys of one there, in order;
    - ``most``: how many a design has at the most; ``always``: its key is told where there is none;
    - ``bears``: what floors above rest on, places that stand upright and joints held up;
    - ``parts_floor``: it ends lines of floor, liners and the lanes of ramps;
    - ``opens``: it stands in a wall, in the place of the wall's panel;
    - ``auto``: those asked for by the rest, given the places of all panels that come of no
      ``auto``; ``if_untold``: also where a file does not tell its key;
    - ``misplaced``: what is wrong with the drawing alone;
    - ``unsupported``: what is wrong with those of a kind with ``auto`` that are given one by one,
      given the places of all other panels.
    """

    role: Role
    words: str
    takes: Takes
    plural: str = ""
    in_file: str = ""
    at: At | None = None
    written: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    most: int = 0
    always: bool = False
    bears: Bears | None = None
    parts_floor: bool = False
    opens: bool = False
    auto: Callable[[Design, Iterable[Ramp], frozenset[PanelPlace]], tuple[Fitting, ...]] | None = (
        None
    )
    if_untold: bool = True
    misplaced: Callable[[Design, Sequence[Fitting]], list[FileFault]] | None = None
    unsupported: (
        Callable[[Design, Sequence[Fitting], frozenset[PanelPlace]], list[FileFault]] | None
    ) = None


def _walls(design: Design, _none: Sequence[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    for index, level in enumerate(design.levels):
        for edge in outer_edges(level.cells):
            yield from ((wall_place(*edge, z), index) for z in range(level.z, level.top))


def _floors(design: Design, _none: Sequence[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    """Panels under upper levels; the ground stands on the floor of the room."""
    for index, level in enumerate(design.levels):
        if level.z > 0:
            yield from ((floor_place(cell, level.z), index) for cell in level.cells)


def _lid(design: Design, _none: Sequence[Fitting]) -> Iterator[tuple[PanelPlace, int]]:
    for cell in design.ground.cells if design.lid else ():
        index = design.highest_at(cell)
        yield floor_place(cell, design.levels[index].top), index


def _on(takes: Takes) -> Bears:
    """Floors rest on the panels themselves."""
    return lambda design, fittings: (place for place, _level in takes(design, fittings))


def _on_walls(design: Design, _none: Sequence[Fitting]) -> Iterator[PanelPlace]:
    """Floors rest on walls, but not where a front door is in the wall's place."""
    doors = door_places(design)
    return (place for place, _level in _walls(design, ()) if place not in doors)


KINDS: dict[str, Kind] = {
    one.role: one
    for one in (
        Kind(Role.WALL, message("wall"), _walls, bears=_on_walls),
        Kind(Role.FLOOR, message("floor"), _floors),
        Kind(Role.LID, message("lid"), _lid),
        Kind(
            Role.DIVIDER, message("divider"), divider_panels, message("Dividers"),
            in_file="dividers", at=At.INNER_EDGE, written=("z", "row", "col", "side"),
            most=200, always=True, bears=_on(divider_panels), parts_floor=True,
            misplaced=divider_faults,
        ),
        Kind(
            Role.GUARD, message("guard"), guard_panels, message("Guards"),
            in_file="guards", at=At.WALL_TOP, written=("row", "col", "side", "z"),
            most=400, always=True, auto=auto_guards, unsupported=guard_faults,
        ),
        Kind(
            Role.SUPPORT, message("support"), support_panels, message("Supports"),
            in_file="supports", at=At.INNER_EDGE, written=("z", "row", "col", "side"),
            most=400, bears=support_bears, parts_floor=True, auto=auto_supports, if_untold=False,
            misplaced=support_faults, unsupported=unsupported_supports,
        ),
        Kind(
            Role.DOOR, message("front door"), door_panels, message("Front doors"),
            in_file="doors", at=At.OUTER_EDGE, written=("z", "row", "col", "side"),
            most=40, bears=door_bears, opens=True, misplaced=door_faults,
        ),
        Kind(
            Role.ANCHOR, message("wall anchor"), anchor_panels, message("Wall anchors"),
            in_file="anchors", at=At.OUTER_EDGE, written=("z", "row", "col", "side"),
            most=40, misplaced=anchor_faults,
        ),
    )
}  # fmt: skip


# --- Asked of all kinds alike ---


def fitting_kinds() -> list[Kind]:
    """Those that are drawn one by one."""
    return [kind for kind in KINDS.values() if kind.in_file]


def edge_kinds() -> list[Kind]:
    """Those that stand on an edge of a level: the drawing board has a tool for each."""
    return [kind for kind in fitting_kinds() if kind.at in (At.INNER_EDGE, At.OUTER_EDGE)]


def panels_of(design: Design, kind: Kind) -> Iterator[tuple[PanelPlace, int]]:
    """Each panel's place and its level, of fittings as they are given."""
    return kind.takes(design, design.of_kind(kind.role))


def parting(design: Design, z: int) -> list[tuple[Cell, Side]]:
    """Edges of the floor at this height where a fitting ends it."""
    return [one.edge for one in design.fittings if one.z == z and KINDS[one.kind].parts_floor]


def with_fittings(design: Design, role: str, fittings: Iterable[Fitting] | None) -> Design:
    """The design with these of one kind; None has them worked out, where that can be."""
    others = tuple(one for one in design.fittings if one.kind != role)
    by_hand = design.by_hand - {role}
    if fittings is not None and KINDS[role].auto:
        by_hand |= {role}
    return replace(design, fittings=(*others, *(fittings or ())), by_hand=by_hand)


def as_told(design: Design) -> Design:
    """The design without fittings that were worked out: a file tells none of these."""
    told = tuple(
        one for one in design.fittings if one.kind in design.by_hand or not KINDS[one.kind].auto
    )
    return design if told == design.fittings else replace(design, fittings=told)


def in_order(fittings: Iterable[Fitting], kind: Kind) -> list[Fitting]:
    """Fittings of the kind as its keys in the file sort them."""
    return sorted(fittings, key=lambda one: [getattr(one, key) for key in kind.written])


def spot_of(fitting: Fitting) -> PanelPlace | Joint:
    """Where it stands: the same for two of one kind that name it from either side."""
    if fitting.side is not None:
        return wall_place(*fitting.edge, fitting.z)
    if KINDS[fitting.kind].at is At.JOINT:
        return Joint(fitting.row, fitting.col, fitting.z)
    return floor_place(fitting.cell, fitting.z)


def has_its_floor(design: Design, fitting: Fitting) -> bool:
    """Whether the cells that it stands at are there, whatever its height if it stands on walls."""
    at, cell, side = KINDS[fitting.kind].at, fitting.cell, fitting.side
    if at is At.WALL_TOP:
        return any(cell in level.cells for level in design.levels)
    floors = [level.cells for level in design.levels if level.z == fitting.z]
    if at is At.JOINT:
        round_it = {Cell(cell.row - down, cell.col - right) for down in (0, 1) for right in (0, 1)}
        return any(not cells.isdisjoint(round_it) for cells in floors)
    if side is None:
        return any(cell in cells for cells in floors)
    inner = at is At.INNER_EDGE
    return any(cell in cells and (cell.beyond(side) in cells) is inner for cells in floors)


def stands_on_floor(fitting: Fitting) -> bool:
    """Whether its height is that of a level's floor, and goes with it."""
    return KINDS[fitting.kind].at is not At.WALL_TOP


def moved_fittings(
    fittings: Iterable[Fitting],
    cell: Callable[[Cell], Cell],
    side: Callable[[Side], Side],
    joint: Callable[[Joint], Joint],
) -> tuple[Fitting, ...]:
    """The same fittings in other coordinates."""

    def moved(one: Fitting) -> Fitting:
        if KINDS[one.kind].at is At.JOINT:
            row, col, _z = joint(Joint(one.row, one.col, one.z))
        else:
            row, col = cell(one.cell)
        return replace(one, row=row, col=col, side=None if one.side is None else side(one.side))

    return tuple(map(moved, fittings))
