"""The facts of steps: the act, its place and its amount.

``step_keys`` makes keys of them, so what is told here decides what counts as the same work.
"""

from collections.abc import Iterable

from builds.making.anchoring import anchors_of
from builds.making.blank import Blank
from builds.making.furnishing import furniture_of
from builds.making.pup_set import pups_of
from builds.making.site import Placement
from builds.making.step import Task
from builds.making.step_keys import Facts
from builds.making.ties import TieSpot
from habitats.rotation.liners import liners_for
from habitats.structure.connectors import Turn
from habitats.structure.lattice import PanelPlace, Side, wall_place
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray


def panel_facts(task: str, structure: Structure, placement: Placement) -> Facts:
    """Panels, which of them have a doorway, how each connector sits, and what is tied."""
    doorways = {panel.place for panel in structure.panels if panel.doorway}
    return (
        task,
        tuple(sorted(placement.places)),
        tuple(sorted(doorways.intersection(placement.places))),
        tuple((joint, *structure.stances[joint]) for joint in sorted(placement.joints)),
        spot_facts(placement.spots),
    )


# Where the facts of panels that are put up tell whether a tray's wall is cut for them: after the
# act, the panels, doorways, connectors, ties and clips. Only these are cut in.
CUT_AT = 6
CUTTING = (Task.DIVIDER, Task.SUPPORT)


def facts_of_taking(facts: Facts) -> Facts:
    """A step's facts for taking off what it put up: a cut in a tray's wall is no work then."""
    return facts[:CUT_AT] if facts and facts[0] in CUTTING else facts


def spot_facts(spots: Iterable[TieSpot]) -> Facts:
    return tuple(sorted((spot.where.name, *sorted(spot.joints)) for spot in spots))


def turn_facts(turns: Iterable[Turn]) -> Facts:
    return tuple((turn.joint, *turn.before, *turn.after) for turn in sorted(turns))


def doorway_place(structure: Structure, ramp: Ramp) -> PanelPlace:
    """The doorway that a ramp leaves through."""
    return wall_place(ramp.cell, ramp.side, structure.design.levels[ramp.level].z)


def panel_size_facts(structure: Structure) -> Facts:
    """What every measure of a bent or cut panel hangs on."""
    return structure.design.panel.size_mm, structure.design.panel.squares


def blank_facts(blank: Blank) -> Facts:
    """A piece of sheet as it is cut; its flutes where they may not run the other way."""
    return (
        blank.level,
        blank.ramp,
        blank.quantity,
        (blank.width_mm, blank.height_mm),
        None if blank.turnable else blank.flute,
        *(
            tuple(tuple(one) for one in lines)
            for lines in (blank.outline, blank.slits, blank.scores, blank.flap_scores, blank.holes)
        ),
    )


def tray_facts(tray: Tray) -> Facts:
    """A tray's form, wherever it lies."""
    west, north, _east, _south = tray.bounds
    return (
        tray.wall_mm,
        tuple((wall.side, wall.length_mm) for ring in tray.rings for wall in ring),
        tuple(
            (one.side, one.x1 - west, one.y1 - north, one.width_mm)
            for one in sorted(tray.doorways, key=lambda one: (one.side, one.x1, one.y1))
        ),
    )


def laid_tray_facts(structure: Structure, tray: Tray) -> Facts:
    """A tray in its place."""
    level = structure.design.levels[tray.level]
    return level.z, tuple(sorted(level.cells)), *tray_facts(tray)


def hung_ramp_facts(structure: Structure, ramp: Ramp, foot_wall: Side | None) -> Facts:
    """A ramp in its place; its foot tied to the wall on that side, or None."""
    return (
        doorway_place(structure, ramp),
        ramp.side,
        (ramp.rise_mm, ramp.panels, ramp.seat_mm, ramp.foot_mm),
        foot_wall,
        (ramp.strip, ramp.towel),
    )


def liner_facts(structure: Structure) -> Facts:
    """Each liner, and the towels to tuck under them."""
    liners = tuple((one.level, *one.size) for one in liners_for(structure))
    return liners, len(structure.ramps)


def whole_facts(structure: Structure) -> Facts:
    """All that stands: each panel and what it is for, each ramp, each tray; anchors, furniture."""
    return (
        tuple((one.place, one.role, int(one.doorway)) for one in structure.panels),
        tuple(
            (doorway_place(structure, one), one.panels, round(one.length_mm))
            for one in structure.ramps
        ),
        tuple(tray_facts(one) for one in structure.trays),
        *((tuple(anchors),) if (anchors := anchors_of(structure)) else ()),
        *((tuple(stand.items()),) if (stand := furniture_of(structure)) else ()),
        *(("pup-set", pups) if (pups := pups_of(structure)) else ()),
    )
