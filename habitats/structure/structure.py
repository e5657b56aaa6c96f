"""Raising a structure from a design: every panel, joint, ramp, guard and tray, or its faults.

Definitions (which panels there are, where guards go, how a ramp is measured) are those of the
design file's format, ``enclosure-design/1``.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from habitats.structure.connectors import Stance, as_built, unheld
from habitats.structure.design import Design, Guard, Limits
from habitats.structure.faults import BadDesign, Fault
from habitats.structure.guards import (
    auto_guards,
    each_once,
    guard_faults,
    guards_in_floors,
    place_of,
)
from habitats.structure.lattice import Joint, Place, floor_place, outer_edges, wall_place
from habitats.structure.lid import lid_faults
from habitats.structure.ramp import Ramp
from habitats.structure.ramps import work_out_ramps
from habitats.structure.standing import shape_faults
from habitats.structure.tray import Tray, doorway_in, lay_tray


class Role(StrEnum):
    """What a panel is there for."""

    WALL = "wall"
    FLOOR = "floor"
    LID = "lid"
    DIVIDER = "divider"
    GUARD = "guard"


@dataclass(frozen=True, slots=True, order=True)
class Panel:
    """A panel in its place. ``level`` is the index of the lowest level it belongs to."""

    place: Place
    role: Role
    level: int
    doorway: bool = False


@dataclass(frozen=True, slots=True)
class Structure:
    """A design raised: all it is made of, in sorted order.

    ``stances`` tells how each joint's connector sits when built in one go; ``unheld`` names the
    panel corners that no connector holds and a tie must.
    """

    design: Design
    panels: tuple[Panel, ...]
    ramps: tuple[Ramp, ...]
    guards: tuple[Guard, ...]
    trays: tuple[Tray, ...]
    stances: dict[Joint, Stance]
    unheld: tuple[tuple[Joint, Place], ...]

    @property
    def places(self) -> frozenset[Place]:
        return frozenset(panel.place for panel in self.panels)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint, one connector each, in sorted order."""
        return tuple(sorted(self.stances))

    def with_role(self, role: Role) -> tuple[Panel, ...]:
        return tuple(panel for panel in self.panels if panel.role is role)


def raise_structure(design: Design, limits: Limits | None = None) -> Structure:
    """The structure of a design. Raises ``BadDesign`` naming every reason it cannot stand."""
    faults = shape_faults(design)
    ramps, ramp_faults = work_out_ramps(design, limits or Limits())
    if faults or ramp_faults:
        raise BadDesign([*faults, *ramp_faults])
    panels = _panels(design, ramps)
    lid = frozenset(place for place, panel in panels.items() if panel.role is Role.LID)
    if hanging := lid_faults(lid, frozenset(panels) - lid):
        raise BadDesign(hanging)
    guards = design.guards
    if guards is None:
        guards = auto_guards(design, ramps, frozenset(panels))
    elif faults := [*guard_faults(guards, frozenset(panels)), *guards_in_floors(design, guards)]:
        raise BadDesign(faults)
    else:
        guards = each_once(guards)
    trays = _trays(design, ramps)
    if faults := _doorway_faults(trays):
        raise BadDesign(faults)
    return _assemble(design, panels, ramps, guards, trays)


def _assemble(
    design: Design,
    panels: dict[Place, Panel],
    ramps: tuple[Ramp, ...],
    guards: tuple[Guard, ...],
    trays: tuple[Tray, ...],
) -> Structure:
    for guard in guards:
        place = place_of(guard)
        panels[place] = Panel(place, Role.GUARD, _level_under(design, guard))
    stances = as_built(panels, design.ground.cells)
    return Structure(
        design=design,
        panels=tuple(sorted(panels.values())),
        ramps=ramps,
        guards=guards,
        trays=trays,
        stances=stances,
        unheld=unheld(stances, panels),
    )


def _panels(design: Design, ramps: tuple[Ramp, ...]) -> dict[Place, Panel]:
    """Walls, floors, dividers and lid panels; the first to take a place keeps it."""
    panels: dict[Place, Panel] = {}

    def stand(places: Iterable[Place], role: Role, level: int) -> None:
        for place in places:
            panels.setdefault(place, Panel(place, role, level))

    for index, level in enumerate(design.levels):
        tiers = range(level.z, level.top)
        stand(
            (wall_place(*edge, z) for edge in outer_edges(level.cells) for z in tiers),
            Role.WALL,
            index,
        )
        if level.z > 0:
            stand((floor_place(cell, level.z) for cell in level.cells), Role.FLOOR, index)
    for divider in design.dividers:
        index = design.level_at(divider.cell, divider.z)
        tiers = range(divider.z, design.levels[index].top)
        stand((wall_place(divider.cell, divider.side, z) for z in tiers), Role.DIVIDER, index)
    if design.lid:
        for cell in design.ground.cells:
            index = design.highest_at(cell)
            stand([floor_place(cell, design.levels[index].top)], Role.LID, index)
    for ramp in ramps:
        place = wall_place(ramp.cell, ramp.side, design.levels[ramp.level].z)
        panels[place] = replace(panels[place], doorway=True)
    return panels


def _level_under(design: Design, guard: Guard) -> int:
    """Index of the level whose wall the guard stands on."""
    return max(
        (
            i
            for i, level in enumerate(design.levels)
            if level.z <= guard.z and guard.cell in level.cells
        ),
        default=0,
    )


def _trays(design: Design, ramps: tuple[Ramp, ...]) -> tuple[Tray, ...]:
    """One tray a level, with a doorway wherever a ramp leaves it."""
    trays = []
    for index in range(len(design.levels)):
        tray = lay_tray(design, index)
        doorways = tuple(
            doorway_in(tray, ramp.cell, ramp.side, design.panel.size_mm, ramp.doorway_mm(design))
            for ramp in ramps
            if ramp.level == index
        )
        trays.append(replace(tray, doorways=doorways))
    return tuple(trays)


def _doorway_faults(trays: tuple[Tray, ...]) -> list[Fault]:
    """Doorways wider than what the tray's wall leaves at the end of a row of cells."""
    return [
        Fault(
            "ramps",
            f"The doorway on side {doorway.side} of row {doorway.cell.row}, col "
            f"{doorway.cell.col} is {doorway.width_mm} mm wide and reaches past the tray's wall. "
            "Bend up more squares (bend_squares) for a narrower ramp, or give the tray less "
            "clearance.",
        )
        for tray in trays
        for doorway in tray.doorways
        if not tray.wall_at(doorway.cell, doorway.side).spans(doorway)
    ]
