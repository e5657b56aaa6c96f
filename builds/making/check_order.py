"""Checks an assembly order against its definition; shares no code with what works it out.

The site is rebuilt step by step. Whatever a step finds missing is one sentence in the answer; an
order without fault gives none. Known by the beginning of their ids are: ``cut-doorway-``,
``file-doorway-``, ``bend-ramp-``, ``tie-ramp-``, ``cut-blank-`` and ``fold-``; the last step is
``inspect``.
"""

from collections import Counter
from collections.abc import Iterator, Sequence, Set
from itertools import pairwise

from builds.making.blank import Blank, BlankSet
from builds.making.part_names import CONNECTOR, DOORWAY_PANEL, PLAIN_PANEL, part_name
from builds.making.parts import PartList
from builds.making.step import Step
from habitats.structure.lattice import Cell, Face, Joint, PanelPlace, wall_place
from habitats.structure.structure import Structure


def check_order(
    structure: Structure, blanks: BlankSet, parts: PartList, steps: Sequence[Step]
) -> list[str]:
    """Everything wrong with the order, one sentence each; empty if it can be worked by."""
    return [
        *faulty_needs(steps),
        *_not_once(structure, steps),
        *_falling(structure, steps),
        *_loose_corners(steps),
        *_bench_late(structure, blanks, steps),
        *_trays_late(structure, steps),
        *_anchored_early(steps),
        *_inspection_early(steps),
        *_wrong_sums(parts, steps),
    ]


def faulty_needs(steps: Sequence[Step]) -> Iterator[str]:
    """A sentence for each step that comes before what it needs, or can never start."""
    ids = Counter(step.id for step in steps)
    yield from (f"{count} steps are called {one}." for one, count in ids.items() if count > 1)
    done: set[str] = set()
    for step in steps:
        for need in step.needs:
            if need not in ids:
                yield f"{step.id} needs {need}, and there is no such step."
            elif need not in done:
                yield f"{step.id} needs {need}, which is not done before it."
        done.add(step.id)
    if circle := _in_a_circle(steps):
        yield f"These steps need each other in a circle: {', '.join(circle)}."


def _in_a_circle(steps: Sequence[Step]) -> list[str]:
    """Ids of steps that can never start, because what they need waits for them."""
    waiting = {step.id: set(step.needs) for step in steps}
    while ready := [one for one, needs in waiting.items() if not needs & waiting.keys()]:
        for one in ready:
            del waiting[one]
    return sorted(waiting)


def _not_once(structure: Structure, steps: Sequence[Step]) -> Iterator[str]:
    corners = {corner for panel in structure.panels for corner in panel.place.corners}
    kinds: tuple[tuple[str, Set[object], Counter[object]], ...] = (
        ("Panel", {p.place for p in structure.panels}, Counter(p for s in steps for p in s.places)),
        ("Connector", corners, Counter(j for s in steps for j in s.joints)),
        ("Tray", set(range(len(structure.trays))), Counter(t for s in steps for t in s.trays)),
        ("Pup panel", _doubled(structure), Counter(p for s in steps for p in s.pups)),
        ("Anchor", _gripped(structure), Counter(a for s in steps for a in s.anchors)),
        ("Ramp", set(range(len(structure.ramps))), Counter(r for s in steps for r in s.ramps)),
    )
    for name, wanted, placed in kinds:
        for one in sorted(wanted | placed.keys(), key=repr):
            if one not in wanted:
                yield f"{name} {one} is placed but is no part of the structure."
            elif placed[one] != 1:
                yield f"{name} {one} is placed {placed[one]} times."


def _gripped(structure: Structure) -> set[object]:
    """The highest panel of the level's wall at each wall anchor."""
    return {
        wall_place(one.cell, one.side, level.z + level.wall_panels - 1)
        for one in structure.fittings
        for level in structure.design.levels
        if one.kind == "anchor" and one.side and level.z == one.z and one.cell in level.cells
    }


def _doubled(structure: Structure) -> set[object]:
    """Every outer wall, door and divider on the ground's floor, and each ramp that ends there."""
    if not structure.design.pup_set:
        return set()
    walls = {
        (one.place, False)
        for one in structure.panels
        if one.place.z == 0 and one.place.is_upright and one.role in ("wall", "door", "divider")
    }
    feet = {
        (wall_place(one.cell, one.side, structure.design.levels[one.level].z), True)
        for one in structure.ramps
        if one.landing == 0
    }
    return {*walls, *feet}


def _anchored_early(steps: Sequence[Step]) -> Iterator[str]:
    """All stands before it is held to a wall: what is pushed there is not taken apart again."""
    for number, step in enumerate(steps):
        if step.anchors and any(one.places or one.trays for one in steps[number:]):
            yield f"{step.id} holds to the wall what does not stand yet."


def _falling(structure: Structure, steps: Sequence[Step]) -> Iterator[str]:
    standing: set[PanelPlace] = set()
    for step in steps:
        waiting = set(step.places)
        while now := {place for place in waiting if _is_carried(place, standing)}:
            standing |= now
            waiting -= now
        for place in sorted(waiting):
            yield f"In {step.id} panel {place} has nothing to stand on."
        standing |= waiting


def _is_carried(place: PanelPlace, standing: Set[PanelPlace]) -> bool:
    """On the ground; on the edge of a standing panel; or, lying, beside one that lies."""
    if place.is_upright:
        foot = frozenset(corner for corner in place.corners if corner.z == place.z)
        return place.z == 0 or any(foot <= set(other.corners) for other in _near(place, standing))
    return any(
        len(set(place.corners) & set(other.corners)) == 2
        and (not other.is_upright or other.z == place.z - 1)
        for other in _near(place, standing)
    )


def _near(place: PanelPlace, standing: Set[PanelPlace]) -> Iterator[PanelPlace]:
    for face in Face:
        for row in (place.row - 1, place.row, place.row + 1):
            for col in (place.col - 1, place.col, place.col + 1):
                for z in (place.z - 1, place.z, place.z + 1):
                    other = PanelPlace(face, row, col, z)
                    if other in standing and other != place:
                        yield other


def _loose_corners(steps: Sequence[Step]) -> Iterator[str]:
    held: set[Joint] = set()
    for step in steps:
        held |= set(step.joints)
        for place in step.places:
            for corner in place.corners:
                if corner not in held:
                    yield f"In {step.id} panel {place} has no connector at {corner} yet."


def _bench_late(structure: Structure, blanks: BlankSet, steps: Sequence[Step]) -> Iterator[str]:
    """Each part is ready before it is used, and made in the right order."""
    when = {step.id: number for number, step in enumerate(steps)}
    placed = {place: step.id for step in steps for place in step.places}
    for index, ramp in enumerate(structure.ramps):
        level = "ground" if ramp.level == 0 else f"level-{ramp.level}"
        key = f"{level}-r{ramp.cell.row}c{ramp.cell.col}{ramp.side}"
        doorway = wall_place(ramp.cell, ramp.side, structure.design.levels[ramp.level].z)
        hung = [step.id for step in steps if index in step.ramps]
        strips = [_cut_id(blank) for blank in blanks.blanks if blank.ramp == index]
        in_place = [placed[doorway]] if doorway in placed else []
        yield from _not_in_row(when, [f"cut-doorway-{key}", f"file-doorway-{key}", *in_place])
        yield from _not_in_row(when, [*in_place, *hung])
        yield from _not_in_row(when, [f"bend-ramp-{key}", f"tie-ramp-{key}", *hung])
        for strip in strips:
            yield from _not_in_row(when, [strip, f"fold-strip-{key}", *hung])
    for tray in structure.trays:
        fold = "fold-tray-" + ("ground" if tray.level == 0 else f"level-{tray.level}")
        laid = [step.id for step in steps if tray.level in step.trays]
        cut = [_cut_id(blank) for blank in blanks.blanks if blank.level == tray.level]
        yield from _not_in_row(when, [fold, *laid])
        for blank in cut:
            yield from _not_in_row(when, [blank, fold])


def _cut_id(blank: Blank) -> str:
    return f"cut-blank-{blank.code}"


def _not_in_row(when: dict[str, int], ids: Sequence[str]) -> Iterator[str]:
    missing = [one for one in ids if one not in when]
    yield from (f"There is no step {one}." for one in missing)
    known = [one for one in ids if one in when]
    for first, second in pairwise(known):
        if when[first] >= when[second]:
            yield f"{first} has to come before {second}."


def _trays_late(structure: Structure, steps: Sequence[Step]) -> Iterator[str]:
    """Trays lie before ramps, dividers or supports stand in them, or anything closes over them."""
    laid: set[int] = set()
    hung: set[int] = set()
    levels = structure.design.levels
    in_tray = {
        panel.place: panel
        for panel in structure.panels
        if panel.role in ("divider", "support") and panel.place.z == levels[panel.level].z
    }
    for step in steps:
        for place in step.places:
            panel = in_tray.get(place)
            if panel and panel.level not in laid:
                yield (
                    f"In {step.id} a {panel.role} stands where the tray of level {panel.level} is "
                    "missing."
                )
            if not place.is_upright:
                yield from _closed_too_early(structure, step, place, laid, hung)
        for index in step.ramps:
            ramp = structure.ramps[index]
            for level in (ramp.level, ramp.landing):
                if level not in laid:
                    yield f"{step.id} sets a ramp before the tray of level {level} lies."
        laid |= set(step.trays)
        hung |= set(step.ramps)


def _closed_too_early(
    structure: Structure, step: Step, flat: PanelPlace, laid: Set[int], hung: Set[int]
) -> Iterator[str]:
    cell = Cell(flat.row, flat.col)
    for index, level in enumerate(structure.design.levels):
        if cell in level.cells and level.z < flat.z and index not in laid:
            yield f"{step.id} closes {flat} over level {index}, whose tray is not laid yet."
    for index, ramp in enumerate(structure.ramps):
        below = structure.design.levels[ramp.level].z < flat.z
        if below and cell in (ramp.cell, *ramp.lane) and index not in hung:
            yield f"{step.id} closes {flat} over ramp {index}, which is not set yet."


def _inspection_early(steps: Sequence[Step]) -> Iterator[str]:
    ids = [step.id for step in steps]
    if ids.count("inspect") != 1 or ids[-1] != "inspect":
        yield "The inspection has to be the last step, once."
        return
    needed = {need for step in steps for need in step.needs}
    for step in steps[:-1]:
        if step.id not in needed:
            yield f"The inspection does not wait for {step.id}."


def _wrong_sums(parts: PartList, steps: Sequence[Step]) -> Iterator[str]:
    used = Counter[str]()
    for step in steps:
        for added in step.adds:
            used[added.what] += added.count
        panels = sum(a.count for a in step.adds if a.what in (PLAIN_PANEL, DOORWAY_PANEL))
        connectors = sum(added.count for added in step.adds if added.what == CONNECTOR)
        if (panels, connectors) != (len(step.places), len(step.joints)):
            yield (
                f"{step.id} adds {panels} panels and {connectors} connectors, but places "
                f"{len(step.places)} and {len(step.joints)}."
            )
    listed = Counter[str]()
    for part in parts.parts:
        if not part.unit:
            listed[part.what] += part.count
    for what in sorted(listed.keys() | used.keys()):
        if listed[what] != used[what]:
            name = part_name(what)
            yield f"The part list has {listed[what]} × {name}; the steps use {used[what]}."
