"""From a standing structure to a target on the same lattice: what to add, remove, keep and turn.

Both are laid over each other as drawn, north on north. A part is kept where the same part is
wanted in the same place; a plain panel and a doorway panel are not the same part.
"""

from collections import Counter
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, replace

from builds.making.blank import Blank, BlankSet
from builds.making.ties import CLIPS_ON_A_LID_PANEL, lid_seams, ties_needed
from habitats.rotation.liners import Liner, liners_for
from habitats.structure.connectors import Stance, Turn, turns, unheld
from habitats.structure.faults import BadDesign, Fault
from habitats.structure.lattice import Joint, Place
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure

Counts = dict[str, int]


@dataclass(frozen=True, slots=True)
class Alteration:
    """Counts by kind of part, connectors to turn, and panel corners to tie because no turn helps.

    The kinds are ``panel``, ``doorway``, ``ramp`` (ramp panels), ``connector``, ``tie``, ``clip``
    (of the lid), ``blank``, ``towel`` and ``liner``. Ties at the corners of ``unheld`` are among
    the ties.
    """

    add: Counts
    remove: Counts
    keep: Counts
    turns: tuple[Turn, ...]
    unheld: tuple[tuple[Joint, Place], ...]


def alter(
    standing: Structure, target: Structure, standing_blanks: BlankSet, target_blanks: BlankSet
) -> Alteration:
    """The alteration of a standing structure into a target.

    Raises ``BadDesign`` where the two are made of different panels.
    """
    if standing.design.panel != target.design.panel:
        raise BadDesign([Fault("panel", _different_panels(standing, target))])
    turned = turns(standing.stances, target.places, target.design.ground.cells)
    stances = _stances_after(standing, target, turned)
    left_to_tie = unheld(stances, target.places)
    had = _things(standing, standing_blanks)
    wanted = _things(replace(target, stances=stances, unheld=left_to_tie), target_blanks)
    return Alteration(
        add={kind: (wanted[kind] - had[kind]).total() for kind in wanted},
        remove={kind: (had[kind] - wanted[kind]).total() for kind in wanted},
        keep={kind: (had[kind] & wanted[kind]).total() for kind in wanted},
        turns=turned,
        unheld=left_to_tie,
    )


def _different_panels(standing: Structure, target: Structure) -> str:
    old, new = standing.design.panel, target.design.panel
    return (
        f"What stands is made of panels of {old.size_mm} mm with {old.squares} squares, the target "
        f"of {new.size_mm} mm with {new.squares}. Draw the target with the panels that stand."
    )


def _stances_after(
    standing: Structure, target: Structure, turned: Iterable[Turn]
) -> dict[Joint, Stance]:
    """How connectors sit once the target stands: new ones as built, old ones as they were."""
    kept = {joint: standing.stances[joint] for joint in target.stances if joint in standing.stances}
    return {**target.stances, **kept, **{turn.joint: turn.after for turn in turned}}


def _things(structure: Structure, blanks: BlankSet) -> dict[str, Counter[Hashable]]:
    """All parts of a structure by kind, each as where it is and what it is."""
    return {
        "panel": Counter(one.place for one in structure.panels if not one.doorway),
        "doorway": Counter(one.place for one in structure.panels if one.doorway),
        "ramp": Counter({_ramp_key(structure, one): one.panels for one in structure.ramps}),
        "connector": Counter(structure.joints),
        "tie": _ties(structure),
        "clip": _clips(structure),
        "blank": Counter(_blank_key(structure, one) for one in blanks.blanks),
        "towel": Counter((_ramp_key(structure, one), one.towel) for one in structure.ramps),
        "liner": Counter(_liner_key(structure, one) for one in liners_for(structure)),
    }


def _ramp_key(structure: Structure, ramp: Ramp) -> Hashable:
    z = structure.design.levels[ramp.level].z
    return z, ramp.cell, ramp.side, ramp.overlap_squares, ramp.bend_squares


def _ties(structure: Structure) -> Counter[Hashable]:
    ties: Counter[Hashable] = Counter()
    for group in ties_needed(structure):
        for spot in group.spots:
            ramp = None if spot.ramp is None else _ramp_key(structure, structure.ramps[spot.ramp])
            ties[spot.where, spot.joints, spot.places, ramp] += spot.count
    return ties


def _clips(structure: Structure) -> Counter[Hashable]:
    hung = (one for one in lid_seams(structure) if one.clips is not None)
    return Counter({(one.panel.place, one.clips): CLIPS_ON_A_LID_PANEL for one in hung})


def _liner_key(structure: Structure, liner: Liner) -> Hashable:
    return structure.design.levels[liner.level].z, liner._replace(level=0)


def _blank_key(structure: Structure, blank: Blank) -> Hashable:
    """Where a blank goes and how it is cut; its name says neither."""
    where: Hashable = None
    if blank.base is not None and blank.level is not None:
        where = structure.design.levels[blank.level].z, blank.base.x1, blank.base.y1
    return where, blank.outline, blank.slits, blank.scores
