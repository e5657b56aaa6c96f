"""Designs for tests: one made by hand, and any number of random ones that stand.

The random ones are small (up to 5 × 5 cells, two upper levels) so that property tests stay fast;
each has passed ``raise_structure``.
"""

import dataclasses
from collections.abc import Sequence
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from habitats.structure.design import (
    Design,
    Fitting,
    Furniture,
    Level,
    Limits,
    PanelSize,
    RampWish,
    Species,
    TrayRule,
)
from habitats.structure.faults import BadDesign
from habitats.structure.kinds import Role, fitting_kinds, with_fittings
from habitats.structure.lattice import Cell, Side, connected_pieces, outer_edges
from habitats.structure.ramps import work_out_ramps
from habitats.structure.read import plan_cells
from habitats.structure.standing import shape_faults
from habitats.structure.structure import raise_structure

MOST_CELLS = 14
MOST_TRIES = 6  # doorways tried for ramps in one design


def Divider(z: int, row: int, col: int, side: Side) -> Fitting:
    return Fitting(Role.DIVIDER, row, col, side, z)


def Guard(row: int, col: int, side: Side, z: int) -> Fitting:
    return Fitting(Role.GUARD, row, col, side, z)


def Support(z: int, row: int, col: int, side: Side) -> Fitting:
    return Fitting(Role.SUPPORT, row, col, side, z)


def Door(z: int, row: int, col: int, side: Side) -> Fitting:
    return Fitting(Role.DOOR, row, col, side, z)


def Anchor(z: int, row: int, col: int, side: Side) -> Fitting:
    return Fitting(Role.ANCHOR, row, col, side, z)


def replace(one: Any, **changes: Any) -> Any:
    """As ``dataclasses`` has it; a design's fittings are named as its file names them.

    ``guards=None`` has them worked out, as has ``supports=None``.
    """
    kinds = fitting_kinds() if isinstance(one, Design) else []
    fittings = {kind.role: changes.pop(kind.in_file) for kind in kinds if kind.in_file in changes}
    new = dataclasses.replace(one, **changes)
    for role, some in fittings.items():
        new = with_fittings(new, role, some)
    return new


def make_design(
    plan: Sequence[str] = ("####", "####"),
    *,
    upper: Sequence[str] | None = None,
    wall_panels: int = 1,
    **changes: object,
) -> Design:
    """A design from the ground's plan, with an upper level right on its walls if one is given.

    All else is set by the names of ``Design``'s fields: ``make_design(["##", "##"], lid=True)``.
    """
    levels = [Level(0, wall_panels, plan_cells(list(plan)))]
    if upper is not None:
        levels.append(Level(wall_panels, 1, plan_cells(list(upper))))
    usual = Design(
        name="Test piece",
        species=Species.GUINEA_PIG,
        panel=PanelSize(355),
        rows=len(plan),
        cols=len(plan[0]),
        levels=tuple(levels),
    )
    return replace(usual, **changes)


def ramp_from(row: int, col: int, side: Side, **changes: object) -> RampWish:
    """A ramp that leaves the first upper level."""
    return replace(RampWish(level=1, row=row, col=col, side=side), **changes)


@st.composite
def footprints(draw: st.DrawFn, within: frozenset[Cell] | None = None) -> frozenset[Cell]:
    """Connected cells: grown any way in 5 × 5 or in part of the given cells, often a rectangle."""
    room = within or frozenset(Cell(row, col) for row in range(5) for col in range(5))
    first = draw(st.sampled_from(sorted(room)))
    if draw(st.booleans()):
        corner = min(room) if draw(st.booleans()) else first
        return _rectangle(room, corner, draw(st.integers(1, 5)), draw(st.integers(1, 5)))
    cells = {first}
    for _ in range(draw(st.integers(0, MOST_CELLS - 1))):
        edge = sorted({cell.beyond(side) for cell in cells for side in Side} & room - cells)
        if not edge:
            break
        cells.add(draw(st.sampled_from(edge)))
    return frozenset(cells)


def _roomy_grounds() -> st.SearchStrategy[frozenset[Cell]]:
    """Grounds long enough for a ramp, now and then with a corner missing."""

    def cells(rows: int, cols: int, missing: Cell) -> frozenset[Cell]:
        return frozenset(Cell(row, col) for row in range(rows) for col in range(cols)) - {missing}

    corners = st.sampled_from([Cell(0, 0), Cell(4, 4), Cell(1, 4), Cell(9, 9)])
    return st.builds(cells, st.integers(2, 5), st.integers(4, 5), corners)


def _rectangle(room: frozenset[Cell], first: Cell, rows: int, cols: int) -> frozenset[Cell]:
    """The piece of a rectangle from its first cell on that lies in the room."""
    whole = {Cell(first.row + row, first.col + col) for row in range(rows) for col in range(cols)}
    return next(piece for piece in connected_pieces(room & whole) if first in piece)


@st.composite
def designs(draw: st.DrawFn, like: Design | None = None) -> Design:
    """Designs that stand: any footprint, up to two upper levels, dividers, lids, ramps, front
    doors, wall anchors, furniture, and supports where floors need them or fewer of those.

    ``like``: for the same species and of the same panels, so that one may become the other."""
    ground = Level(0, draw(st.integers(1, 2)), draw(footprints() | _roomy_grounds()))
    levels = [ground, *_upper_levels(draw, ground)]
    design = Design(
        name="Random design",
        species=like.species if like else draw(st.sampled_from(Species)),
        panel=like.panel if like else PanelSize(draw(st.sampled_from([300, 350, 355, 356])), 9),
        rows=5,
        cols=5,
        levels=tuple(levels),
        tray=TrayRule(150, draw(st.sampled_from([0, 7])), draw(st.sampled_from([1, 10]))),
        fittings=_dividers(draw, levels),
        lid=draw(st.booleans()),
        furniture=draw(st.none() | st.builds(Furniture, st.integers(1, 6))),
    )
    assume(not shape_faults(design))
    for ramp in draw(st.permutations(_doorways(design)))[:MOST_TRIES]:
        with_ramp = replace(design, ramps=(*design.ramps, ramp))
        _, faults = work_out_ramps(with_ramp, Limits())
        design = design if faults else with_ramp
    design = _with_some(draw, design, _doors(design))
    design = _with_some(draw, design, _anchors(design))
    assume(stands(design))
    return _with_fewer_supports(draw, design)


def _with_some(draw: st.DrawFn, design: Design, offered: list[Fitting]) -> Design:
    """With up to two of these, as far as it can have them."""
    for one in draw(st.lists(st.sampled_from(offered), max_size=2)) if offered else ():
        more = with_fittings(design, one.kind, (*design.of_kind(one.kind), one))
        design = design if shape_faults(more) or one in design.fittings else more
    return design


def _doors(design: Design) -> list[Fitting]:
    return [
        Door(level.z, *edge) for level in design.levels for edge in _edges_outside(design, level)
    ]


def _anchors(design: Design) -> list[Fitting]:
    return [
        Anchor(level.z, *edge) for level in design.levels for edge in _edges_outside(design, level)
    ]


def _edges_outside(design: Design, level: Level) -> list[tuple[int, int, Side]]:
    return [
        (*cell, side)
        for cell, side in outer_edges(level.cells)
        if cell.beyond(side) not in design.ground.cells
    ]


def _with_fewer_supports(draw: st.DrawFn, design: Design) -> Design:
    """Now and then placed one by one, one of them missing, where it stands so."""
    given = raise_structure(design).of_kind(Role.SUPPORT)
    if not given or draw(st.booleans()):
        return design
    by_hand = with_fittings(design, Role.SUPPORT, given[: draw(st.integers(0, len(given)))])
    return by_hand if stands(by_hand) else design


def stands(design: Design) -> bool:
    """Whether the design can be raised."""
    try:
        raise_structure(design)
    except BadDesign:
        return False
    return True


def _upper_levels(draw: st.DrawFn, ground: Level) -> list[Level]:
    levels = []
    below = ground
    for _ in range(draw(st.sampled_from([0, 1, 1, 2]))):
        cells = draw(footprints(within=below.cells))
        z = draw(st.integers(below.z + 1, below.top))
        below = Level(z, draw(st.integers(1, 2)), cells)
        levels.append(below)
    return levels


def _dividers(draw: st.DrawFn, levels: list[Level]) -> tuple[Fitting, ...]:
    inner = [
        Divider(level.z, *cell, side)
        for level in levels
        for cell in sorted(level.cells)
        for side in (Side.E, Side.S)
        if cell.beyond(side) in level.cells
    ]
    if not inner:
        return ()
    return tuple(draw(st.lists(st.sampled_from(inner), max_size=3, unique=True)))


def _doorways(design: Design) -> list[RampWish]:
    """A ramp through each outer edge of the upper levels that has floor beyond it."""
    return [
        RampWish(index, *cell, side)
        for index, level in enumerate(design.levels)
        if index
        for cell, side in outer_edges(level.cells)
        if cell.beyond(side) in design.ground.cells
    ]
