"""Checks the order of an alteration against its definition; shares no code with what makes it.

What stands is altered step by step, and after each step all of it is looked at: what holds each
panel, whether each corner has its connector, what lies over trays and ramps that come and go. All
is told in one lattice, that of the target as built. Every fault is one sentence.
"""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, field

from builds.making.check_order import faulty_needs
from builds.making.part_names import CONNECTOR, DOORWAY_PANEL, PLAIN_PANEL
from builds.making.step import Parts, Step
from habitats.structure.connectors import Stance, holds
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, Side, wall_place
from habitats.structure.structure import Structure

_PANELS = (PLAIN_PANEL, DOORWAY_PANEL)


@dataclass(slots=True)
class _Built:
    """What stands at one moment. Trays and ramps are told from whose plan they are, and which."""

    panels: dict[PanelPlace, bool]  # whether it is a doorway panel
    connectors: dict[Joint, Stance]
    trays: set[tuple[str, int]] = field(default_factory=set)
    ramps: set[tuple[str, int]] = field(default_factory=set)
    anchors: set[PanelPlace] = field(default_factory=set)
    pups: set[tuple[PanelPlace, bool]] = field(default_factory=set)


def check_alteration(stands: Structure, target: Structure, steps: Sequence[Step]) -> list[str]:
    """Everything wrong with the order, one sentence each; empty if it can be worked by.

    ``target`` has its connectors as they will sit; without steps the two must be alike.
    """
    return [
        *faulty_needs(steps),
        *_Walk(stands, target).faults(steps),
        *_animals(steps, _out_of_reach(stands) | _out_of_reach(target)),
        *_sums(steps),
    ]


def _animals(steps: Sequence[Step], inside: Container[PanelPlace]) -> Iterator[str]:
    """Out before a hand is put on anything, back once the inspection is done.

    Where no part of what stands is touched they may stay.
    """
    if not steps:
        return
    ids = [step.id for step in steps]
    if "animals-out" not in ids and not any(_opens(one, inside) for one in steps):
        if ids[-1] != "inspect":
            yield "The last step has to be the inspection."
        return
    if ids[-2:] != ["inspect", "animals-back"]:
        yield "The last two steps have to be the inspection and then the animals' return."
    before: dict[str, set[str]] = {}
    for step in steps:
        before[step.id] = set(step.needs).union(*(before.get(need, set()) for need in step.needs))
        if not step.bench and step.id != "animals-out" and "animals-out" not in before[step.id]:
            yield f"{step.id} does not wait until the animals are out."
    if "inspect" in before:
        for missing in sorted(before.keys() - before["inspect"] - {"inspect", "animals-back"}):
            yield f"The inspection does not wait for {missing}."


def _opens(step: Step, inside: Container[PanelPlace]) -> bool:
    """Whether it touches more than panels of the pup set that are reached from outside."""
    pups = step.takes.pups | step.puts.pups
    others = (step.takes - Parts(pups=pups)) or (step.puts - Parts(pups=pups)) or step.turns
    return bool(others) or any(at_foot or place in inside for place, at_foot in pups)


def _out_of_reach(plan: Structure) -> set[PanelPlace]:
    """Dividers, and outer walls that stand along a wall of the room, of the ground's floor."""
    design = plan.design
    cells = design.ground.cells
    return {one.place for one in plan.panels if one.place.z == 0 and one.role == "divider"} | {
        wall_place(cell, side, 0)
        for cell in cells
        for side in design.room_walls
        if _how_far(cell, side) == max(_how_far(one, side) for one in cells)
    }


def _how_far(cell: Cell, side: Side) -> int:
    down, right = side.step
    return cell.row * down + cell.col * right


def _sums(steps: Sequence[Step]) -> Iterator[str]:
    for step in steps:
        if step.id in ("animals-out", "animals-back") or step.bench:
            continue
        for words, parts, counted in (
            ("puts on", step.puts, step.adds),
            ("takes off", step.takes, step.removes),
        ):
            panels = sum(one.count for one in counted if one.what in _PANELS)
            connectors = sum(one.count for one in counted if one.what == CONNECTOR)
            if (panels, connectors) != (len(parts.places), len(parts.joints)):
                yield (
                    f"{step.id} counts {panels} panels and {connectors} connectors that it "
                    f"{words}; they are {len(parts.places)} and {len(parts.joints)}."
                )


class _Walk:
    """Goes through the steps with what stands."""

    def __init__(self, stands: Structure, target: Structure) -> None:
        self._plans = {"old": stands, "new": target}
        self._now = _Built(
            {panel.place: panel.doorway for panel in stands.panels},
            dict(stands.stances),
            {("old", index) for index in range(len(stands.trays))},
            {("old", index) for index in range(len(stands.ramps))},
            _anchored(stands),
            _doubled(stands),
        )

    def faults(self, steps: Sequence[Step]) -> Iterator[str]:
        for step in steps:
            yield from self._take(step)
            yield from self._turn(step)
            yield from self._put(step)
            yield from (f"After {step.id} {fault}" for fault in self._unsafe())
        yield from self._unlike_target()

    # --- What a step does ---

    def _take(self, step: Step) -> Iterator[str]:
        now, old = self._now, self._plans["old"]
        for place in sorted(step.takes.anchors):
            if place not in now.anchors:
                yield f"{step.id} frees an anchor at {place}, where there is none."
            now.anchors.discard(place)
        for pup in sorted(step.takes.pups):
            if pup not in now.pups:
                yield f"{step.id} takes off pup panel {pup}, which is not there."
            now.pups.discard(pup)
        for index in sorted(step.takes.ramps):
            yield from self._gone(step, now.ramps, ("old", index), "ramp")
            yield from self._closed_over_ramp(step, old, index)
        for index in sorted(step.takes.trays):
            yield from self._gone(step, now.trays, ("old", index), "tray")
            yield from self._shut_in(step, old, index)
        for place in sorted(step.takes.places):
            if now.panels.pop(place, None) is None:
                yield f"{step.id} takes off panel {place}, which does not stand."
        for joint in sorted(step.takes.joints):
            if now.connectors.pop(joint, None) is None:
                yield f"{step.id} takes off the connector at {joint}, where there is none."

    @staticmethod
    def _gone(
        step: Step, standing: set[tuple[str, int]], one: tuple[str, int], what: str
    ) -> Iterator[str]:
        if one not in standing:
            yield f"{step.id} takes off {what} {one[1]}, which does not stand."
        standing.discard(one)

    def _turn(self, step: Step) -> Iterator[str]:
        for turn in step.turns:
            if self._now.connectors.get(turn.joint) != turn.before:
                yield f"{step.id} turns the connector at {turn.joint}, which does not sit so."
            self._now.connectors[turn.joint] = turn.after

    def _put(self, step: Step) -> Iterator[str]:
        now, new = self._now, self._plans["new"]
        doorways = {panel.place: panel.doorway for panel in new.panels}
        for joint in step.joints:
            if joint in now.connectors:
                yield f"{step.id} puts a connector at {joint}, where there is one."
            if joint in new.stances:
                now.connectors[joint] = new.stances[joint]
        for place in step.places:
            if place in now.panels:
                yield f"{step.id} puts panel {place} where one stands."
            now.panels[place] = doorways.get(place, False)
            yield from self._not_taken_by_connectors(step, place)
        for index in step.trays:
            yield from self._shut_in(step, new, index)
            now.trays.add(("new", index))
        for index in step.ramps:
            yield from self._closed_over_ramp(step, new, index)
            now.ramps.add(("new", index))
        for place in step.anchors:
            if place in now.anchors:
                yield f"{step.id} fixes an anchor at {place}, where there is one."
            now.anchors.add(place)

        for pup in step.pups:
            if pup in now.pups:
                yield f"{step.id} puts pup panel {pup} where there is one."
            now.pups.add(pup)

    def _not_taken_by_connectors(self, step: Step, place: PanelPlace) -> Iterator[str]:
        tied = set(self._plans["new"].unheld)
        for corner in place.corners:
            stance = self._now.connectors.get(corner)
            if stance and not holds(stance, corner, place) and (corner, place) not in tied:
                yield f"{step.id} puts panel {place} on the smooth side of the one at {corner}."

    # --- What must be out of the way ---

    def _shut_in(self, step: Step, plan: Structure, index: int) -> Iterator[str]:
        level = plan.design.levels[index]
        for place in sorted(self._now.panels):
            cell = Cell(place.row, place.col)
            if place.face is Face.FLAT and place.z > level.z and cell in level.cells:
                yield f"{step.id} moves the tray of level {index} under panel {place}."
            elif place.z == level.z and place.is_upright and _is_between(place, level.cells):
                yield f"{step.id} moves the tray of level {index} round panel {place}."
        for whose, ramp_index in sorted(self._now.ramps):
            ramp = self._plans[whose].ramps[ramp_index]
            levels = self._plans[whose].design.levels
            if level.z in (levels[ramp.level].z, levels[ramp.landing].z) and level.cells & {
                ramp.cell,
                *ramp.lane,
            }:
                yield f"{step.id} moves the tray of level {index} with ramp {ramp_index} on it."

    def _closed_over_ramp(self, step: Step, plan: Structure, index: int) -> Iterator[str]:
        ramp = plan.ramps[index]
        z = plan.design.levels[ramp.level].z
        for cell in (ramp.cell, *ramp.lane):
            for place in self._now.panels:
                if place.face is Face.FLAT and place.z > z and Cell(place.row, place.col) == cell:
                    yield f"{step.id} moves ramp {index} under panel {place}."

    # --- What must be so at every moment ---

    def _unsafe(self) -> Iterator[str]:
        yield from self._hanging()
        yield from self._loose()
        yield from self._trays_without_floor()
        yield from self._ramps_without_hold()
        for place in sorted(self._now.anchors - self._now.panels.keys()):
            yield f"the anchor at {place} grips nothing."
        for place, _at_foot in sorted(self._now.pups):
            if place not in self._now.panels:
                yield f"the pup panel at {place} is clipped to nothing."

    def _hanging(self) -> Iterator[str]:
        held: set[PanelPlace] = set()
        waiting = set(self._now.panels)
        while True:
            now = {place for place in waiting if rests(place, held)}
            if not now:
                break
            held |= now
            waiting -= now
        yield from (f"panel {place} has nothing that holds it." for place in sorted(waiting))

    def _loose(self) -> Iterator[str]:
        corners = {corner for place in self._now.panels for corner in place.corners}
        for joint in sorted(corners - self._now.connectors.keys()):
            yield f"panels meet at {joint} without a connector."
        for joint in sorted(self._now.connectors.keys() - corners):
            yield f"the connector at {joint} holds nothing."

    def _trays_without_floor(self) -> Iterator[str]:
        for whose, index in sorted(self._now.trays):
            level = self._plans[whose].design.levels[index]
            for cell in sorted(level.cells):
                if (
                    level.z
                    and PanelPlace(Face.FLAT, cell.row, cell.col, level.z) not in self._now.panels
                ):
                    yield f"the tray of level {index} lies over nothing at {cell}."

    def _ramps_without_hold(self) -> Iterator[str]:
        for whose, index in sorted(self._now.ramps):
            plan = self._plans[whose]
            ramp = plan.ramps[index]
            doorway = wall_place(ramp.cell, ramp.side, plan.design.levels[ramp.level].z)
            if not self._now.panels.get(doorway):
                yield f"ramp {index} hangs from no doorway panel."
            for level in (ramp.level, ramp.landing):
                if not self._tray_at(plan, level):
                    yield f"ramp {index} stands where the tray of level {level} is missing."
            for place in _across(plan, index):
                if place in self._now.panels:
                    yield f"ramp {index} reaches through panel {place}."

    def _tray_at(self, plan: Structure, index: int) -> bool:
        wanted = plan.design.levels[index]
        return any(
            (level.z, level.cells) == (wanted.z, wanted.cells)
            for whose, number in self._now.trays
            for level in [self._plans[whose].design.levels[number]]
        )

    def _unlike_target(self) -> Iterator[str]:
        new, now = self._plans["new"], self._now
        wanted = {panel.place: panel.doorway for panel in new.panels}
        for place in sorted(wanted.keys() | now.panels.keys()):
            if wanted.get(place) != now.panels.get(place):
                yield f"In the end panel {place} is not as the target has it."
        for joint in sorted(new.stances.keys() | now.connectors.keys()):
            if new.stances.get(joint) != now.connectors.get(joint):
                yield f"In the end the connector at {joint} does not sit as it should."
        if len(now.trays) != len(new.trays):
            yield f"In the end there are {len(now.trays)} trays, not {len(new.trays)}."
        yield from (
            f"In the end level {index} has no tray."
            for index in range(len(new.trays))
            if not self._tray_at(new, index)
        )
        hung = sorted(_hanging_at(self._plans[whose], index) for whose, index in now.ramps)
        if hung != sorted(_hanging_at(new, index) for index in range(len(new.ramps))):
            yield "In the end the ramps are not the target's."
        if now.anchors != _anchored(new):
            yield "In the end the wall anchors are not the target's."
        if now.pups != _doubled(new):
            yield "In the end the pup set is not the target's."


def _hanging_at(plan: Structure, index: int) -> tuple[object, ...]:
    ramp = plan.ramps[index]
    return plan.design.levels[ramp.level].z, ramp.cell, ramp.side, ramp.panels, ramp.foot_mm


def _anchored(plan: Structure) -> set[PanelPlace]:
    """The highest panel of the level's wall at each anchor."""
    return {
        wall_place(Cell(one.row, one.col), one.side, level.z + level.wall_panels - 1)
        for one in plan.fittings
        for level in plan.design.levels
        if one.kind == "anchor" and one.side and level.z == one.z and one.cell in level.cells
    }


def _doubled(plan: Structure) -> set[tuple[PanelPlace, bool]]:
    """Outer walls, doors and dividers on the ground's floor, and ramps that end there."""
    if not plan.design.pup_set:
        return set()
    return {
        (one.place, False)
        for one in plan.panels
        if one.place.z == 0 and one.place.is_upright and one.role in ("wall", "door", "divider")
    } | {
        (wall_place(one.cell, one.side, plan.design.levels[one.level].z), True)
        for one in plan.ramps
        if one.landing == 0
    }


def _across(plan: Structure, index: int) -> Iterator[PanelPlace]:
    """Upright places across a ramp, between its doorway and its foot."""
    ramp, size = plan.ramps[index], plan.design.panel.size_mm
    heights = range(plan.design.levels[ramp.landing].z, plan.design.levels[ramp.level].z)
    cell = ramp.cell.beyond(ramp.side)
    for _edge in range(size, ramp.foot_mm, size):
        yield from (wall_place(cell, ramp.side, z) for z in heights)
        cell = cell.beyond(ramp.side)


def _is_between(place: PanelPlace, cells: frozenset[Cell]) -> bool:
    """Whether an upright panel has floor of the same tray on both sides."""
    here = Cell(place.row, place.col)
    across = (
        Cell(place.row - 1, place.col) if place.face is Face.EW else Cell(place.row, place.col - 1)
    )
    return here in cells and across in cells


def rests(place: PanelPlace, held: set[PanelPlace]) -> bool:
    """On the ground; on an edge of a panel that is held; or, lying, beside one that lies."""
    face, row, col, z = place
    below = {
        Face.EW: [
            PanelPlace(Face.EW, row, col, z - 1),
            PanelPlace(Face.FLAT, row, col, z),
            PanelPlace(Face.FLAT, row - 1, col, z),
        ],
        Face.NS: [
            PanelPlace(Face.NS, row, col, z - 1),
            PanelPlace(Face.FLAT, row, col, z),
            PanelPlace(Face.FLAT, row, col - 1, z),
        ],
        Face.FLAT: [
            *(PanelPlace(Face.EW, row + more, col, z - 1) for more in (0, 1)),
            *(PanelPlace(Face.NS, row, col + more, z - 1) for more in (0, 1)),
            *(PanelPlace(Face.FLAT, row + more, col, z) for more in (-1, 1)),
            *(PanelPlace(Face.FLAT, row, col + more, z) for more in (-1, 1)),
        ],
    }
    return (face is not Face.FLAT and z == 0) or not held.isdisjoint(below[face])
