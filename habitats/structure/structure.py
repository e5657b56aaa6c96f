"""Raising a structure from a design: every panel, joint, ramp, guard and tray, or its faults.

Definitions (which panels there are, where guards go, how a ramp is measured) are those of the
design file's format, ``enclosure-design/1``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from habitats.structure.connectors import Stance, as_built, unheld
from habitats.structure.design import Design, Fitting, Limits
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.kinds import KINDS, Role, as_told, panels_of, spot_of
from habitats.structure.lattice import Joint, PanelPlace, wall_place
from habitats.structure.lid import lid_faults
from habitats.structure.ramp import Ramp
from habitats.structure.ramps import work_out_ramps
from habitats.structure.standing import shape_faults
from habitats.structure.tray import Tray, doorway_in, lay_tray
from habitats.wording import message

# Of a design that is planned in 2 s and printed in 60 s, with 300 MB more than a server at rest.
# Two full levels of 16 by 16 cells, 440 panels, took 0.7 s and 32 s of one core, and 253 MB.
MOST_PANELS = 480


@dataclass(frozen=True, slots=True, order=True)
class Panel:
    """A panel in its place. ``level`` is the index of the lowest level it belongs to."""

    place: PanelPlace
    role: Role
    level: int
    doorway: bool = False


@dataclass(frozen=True, slots=True)
class Structure:
    """A design raised: all it is made of, in sorted order.

    The design has fittings that were worked out among its own, where floors rest on them or are
    parted by them; its file tells none of these. ``stances`` tells how each joint's connector sits
    when built in one go; ``unheld`` names the panel corners that no connector holds and a tie must.
    ``fittings`` are all that stand, also those that were worked out.
    """

    design: Design
    panels: tuple[Panel, ...]
    ramps: tuple[Ramp, ...]
    fittings: tuple[Fitting, ...]
    trays: tuple[Tray, ...]
    stances: dict[Joint, Stance]
    unheld: tuple[tuple[Joint, PanelPlace], ...]

    @property
    def places(self) -> frozenset[PanelPlace]:
        return frozenset(panel.place for panel in self.panels)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint, one connector each, in sorted order."""
        return tuple(sorted(self.stances))

    @property
    def guards(self) -> tuple[Fitting, ...]:
        return self.of_kind(Role.GUARD)

    def of_kind(self, kind: str) -> tuple[Fitting, ...]:
        """The fittings of one kind that stand."""
        return tuple(one for one in self.fittings if one.kind == kind)

    def with_role(self, role: str) -> tuple[Panel, ...]:
        return tuple(panel for panel in self.panels if panel.role == role)


def raise_structure(
    design: Design, limits: Limits | None = None, *, of_any_size: bool = False
) -> Structure:
    """The structure of a design. Raises ``BadDesign`` naming every reason it cannot stand.

    ``limits`` None: the usual slope. ``of_any_size``: for what stands already, which is told
    although it could not be planned.
    """
    design = as_told(design)
    faults = shape_faults(design)
    ramps, ramp_faults = work_out_ramps(design, limits or Limits())
    if faults or ramp_faults:
        raise BadDesign([*faults, *ramp_faults])
    panels = _panels(design, ramps)
    if len(panels) > MOST_PANELS and not of_any_size:
        raise BadDesign([_too_many(len(panels))])
    lid = frozenset(place for place, panel in panels.items() if panel.role == Role.LID)
    if hanging := lid_faults(lid, frozenset(panels) - lid):
        raise BadDesign(hanging)
    fittings = _fittings(design, ramps, frozenset(panels))
    design = _with_worked_out(design, fittings)
    trays = _trays(design, ramps)
    if faults := _doorway_faults(trays):
        raise BadDesign(faults)
    return _assemble(design, panels, ramps, fittings, trays)


def _too_many(count: int) -> FileFault:
    return FileFault(
        "levels",
        message(
            "This design takes %(count)d panels; at most %(most)d can be planned and printed. Draw "
            "it smaller, or as several designs.",
            count=count,
            most=MOST_PANELS,
        ),
    )


def _assemble(
    design: Design,
    panels: dict[PanelPlace, Panel],
    ramps: tuple[Ramp, ...],
    fittings: tuple[Fitting, ...],
    trays: tuple[Tray, ...],
) -> Structure:
    for kind in KINDS.values():
        if kind.auto:
            those = [one for one in fittings if one.kind == kind.role]
            for place, level in kind.takes(design, those):
                panels.setdefault(place, Panel(place, kind.role, level))
    stances = as_built(panels, design.ground.cells)
    return Structure(
        design=design,
        panels=tuple(sorted(panels.values())),
        ramps=ramps,
        fittings=fittings,
        trays=trays,
        stances=stances,
        unheld=unheld(stances, panels),
    )


def _panels(design: Design, ramps: tuple[Ramp, ...]) -> dict[PanelPlace, Panel]:
    """All panels but those that hang on ramps; the first to take a place keeps it."""
    panels: dict[PanelPlace, Panel] = {}
    for kind in KINDS.values():
        if kind.auto is None:
            for place, level in panels_of(design, kind):
                if kind.opens or place not in panels:
                    panels[place] = Panel(place, kind.role, level)
    for ramp in ramps:
        place = wall_place(ramp.cell, ramp.side, design.levels[ramp.level].z)
        panels[place] = replace(panels[place], doorway=True)
    return panels


def _fittings(
    design: Design, ramps: tuple[Ramp, ...], places: frozenset[PanelPlace]
) -> tuple[Fitting, ...]:
    """All fittings that stand, worked out where they are not given one by one.

    Raises ``BadDesign`` for those that have nothing to stand on.
    """
    found: list[Fitting] = []
    for kind in KINDS.values():
        given = design.of_kind(kind.role)
        if kind.auto is None:
            found += given
        elif kind.role not in design.by_hand:
            found += kind.auto(design, ramps, places)
        elif faults := kind.unsupported(design, given, places) if kind.unsupported else []:
            raise BadDesign(faults)
        else:
            found += _each_once(given)
    return tuple(found)


def _with_worked_out(design: Design, fittings: Sequence[Fitting]) -> Design:
    """The design with what floors rest on or are parted by, as if it were drawn."""
    new = [
        one
        for one in fittings
        if one.kind not in design.by_hand
        and KINDS[one.kind].auto
        and (KINDS[one.kind].bears or KINDS[one.kind].parts_floor)
    ]
    return replace(design, fittings=(*design.fittings, *new)) if new else design


def _each_once(fittings: Sequence[Fitting]) -> list[Fitting]:
    """Without those that stand where another one before them does."""
    first: dict[PanelPlace | Joint, Fitting] = {}
    for one in fittings:
        first.setdefault(spot_of(one), one)
    return [*first.values()]


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


def _doorway_faults(trays: tuple[Tray, ...]) -> list[FileFault]:
    """Doorways wider than what the tray's wall leaves at the end of a row of cells."""
    return [
        FileFault(
            "ramps",
            message(
                "The doorway on side %(side)s of %(cell)s is %(width)s mm wide and reaches past "
                "the tray's wall. Bend up more squares (bend_squares) for a narrower ramp, or "
                "give the tray less clearance.",
                side=doorway.side,
                cell=doorway.cell.words,
                width=doorway.width_mm,
            ),
            message(
                "The doorway on side %(side)s of %(cell)s is %(width)s mm wide and reaches past "
                "the tray's wall. Bend up more squares for a narrower ramp, or give the tray less "
                "clearance.",
                side=doorway.side,
                cell=doorway.cell.words,
                width=doorway.width_mm,
            ),
        )
        for tray in trays
        for doorway in tray.doorways
        if not tray.wall_at(doorway.cell, doorway.side).spans(doorway)
    ]
