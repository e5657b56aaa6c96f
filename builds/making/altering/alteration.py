"""An alteration: a target laid over what stands, and what that makes of every part.

Everything is told in one lattice: the target's, as it will be built. Where the drawing is laid
mirrored, that is the drawing with east and west swapped; ``as_drawn`` leads back to it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from builds.making.altering.counting import (
    Balance,
    PartKind,
    Ties,
    balance,
    clips_by_spot,
    ramps_moved,
    ties_by_spot,
    ties_left,
    ties_where_they_are,
)
from builds.making.altering.laying import Laying
from builds.making.altering.linens import Linens, linen_fates
from builds.making.altering.staying import Staying, what_stays
from builds.making.altering.trays import TrayFate, tray_fates
from builds.making.anchoring import anchors_of
from builds.making.blank import STOCK_SHEET, BlankSet, SheetSize
from builds.making.facts import doorway_place
from builds.making.furnishing import PIECES, Furnished
from builds.making.pup_set import pups_of
from builds.making.ties import TieGroup, ties_needed
from habitats.structure.connectors import Stance, Turn, turns, unheld
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.motion import Motion, mirrored_joint, moved
from habitats.structure.pups import PupPlace
from habitats.structure.structure import Structure

Counts = dict[str, int]


class AlterationWork(NamedTuple):
    """What an alteration takes; of two the lesser is less work.

    New panels and connectors are not in it: reuse before new makes them the same however the
    drawing is laid, so new material differs in ``sheet_mm2`` alone. ``panels`` and
    ``connectors`` are those that go on or come off. ``handled`` are panels, trays and ramps taken
    off or put on, so one that is lifted counts twice; ``cut`` are old trays cut for another shape
    or doorway.
    """

    sheet_mm2: int
    panels: int
    connectors: int
    handled: int
    turned: int
    cut: int
    ties: int


@dataclass(frozen=True, slots=True)
class Made:
    """A structure and what is cut from sheet for it. ``sheet``: what its blanks are made for."""

    structure: Structure
    blanks: BlankSet
    sheet: SheetSize = STOCK_SHEET


@dataclass(frozen=True)
class Alteration:
    """What stands, the target, and the way from one to the other, as the drawing is laid.

    ``motion`` takes the coordinates of ``standing``, as it was drawn, to those of all else:
    ``stands`` is the same moved there. ``wanted`` is the target as if built from nothing,
    ``target`` with the connectors as they will sit.
    """

    standing: Made
    wanted: Made
    laying: Laying
    motion: Motion
    stands: Structure
    staying: Staying

    @cached_property
    def trays(self) -> tuple[TrayFate, ...]:
        """What the tray of each level of the target is made from."""
        return tray_fates(
            self.stands,
            self.wanted.structure,
            self.standing.blanks,
            self.wanted.blanks,
            self.staying.same_trays,
        )

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        """Connectors to turn, wherever there was one and will be one."""
        structure = self.wanted.structure
        return turns(self.stands.stances, structure.places, structure.design.ground.cells)

    @cached_property
    def target(self) -> Structure:
        stances = self._stances_after()
        structure = self.wanted.structure
        return replace(structure, stances=stances, unheld=unheld(stances, structure.places))

    def _stances_after(self) -> dict[Joint, Stance]:
        """New connectors sit as built, old ones as they were or turned."""
        new, old = self.wanted.structure.stances, self.stands.stances
        kept = {joint: old[joint] for joint in new if joint in old}
        return {**new, **kept, **{turn.joint: turn.after for turn in self.turns}}

    @cached_property
    def ramps_moved(self) -> Mapping[int, int]:
        """Ramps that serve again whole elsewhere, the target's index to that of what stands."""
        return ramps_moved(self.stands, self.wanted.structure, self.staying.same_ramps)

    @cached_property
    def linens(self) -> Linens:
        stays = self.staying
        return linen_fates(
            self.standing.structure, self.motion, self.target, stays.same_trays, stays.same_ramps
        )

    @cached_property
    def ties(self) -> tuple[Ties, Ties]:
        """Ties by where they are pulled, before and after."""
        same = self.staying.same_ramps
        return (
            ties_by_spot(self.standing.structure, self.motion, {v: k for k, v in same.items()}),
            ties_by_spot(self.target, Motion(), {k: k for k in range(len(self.target.ramps))}),
        )

    @cached_property
    def target_ties(self) -> tuple[TieGroup, ...]:
        """Ties of the target, as if built from nothing."""
        return ties_needed(self.target)

    @cached_property
    def old_ties(self) -> tuple[TieGroup, ...]:
        """Ties of what stands, where they are."""
        return ties_where_they_are(self.standing.structure, self.motion)

    @cached_property
    def ties_left(self) -> Ties:
        """Ties that nobody touches."""
        return ties_left(self.ties, self.staying)

    @cached_property
    def anchors_left(self) -> frozenset[PanelPlace]:
        """Wall anchors that nobody touches, by the panels that they grip."""
        both = anchors_of(self.stands).keys() & anchors_of(self.target).keys()
        return self.staying.places & both

    @property
    def anchors_freed(self) -> frozenset[PanelPlace]:
        return frozenset(anchors_of(self.stands)) - self.anchors_left

    @property
    def anchors_fixed(self) -> frozenset[PanelPlace]:
        return frozenset(anchors_of(self.target)) - self.anchors_left

    @cached_property
    def pups_left(self) -> frozenset[PupPlace]:
        """Panels of the pup set that nobody touches: on a wall or at a ramp that stays as it is."""
        both = frozenset(pups_of(self.stands)) & frozenset(pups_of(self.target))
        roles = [
            {panel.place: panel.role for panel in one.panels} for one in (self.stands, self.target)
        ]
        doorways = {doorway_place(self.target, self.target.ramps[i]) for i in self.staying.ramps}
        return frozenset(
            one
            for one in both
            if one.place in self.staying.places
            and roles[0][one.place] == roles[1][one.place]
            and (one.place in doorways or not one.at_foot)
        )

    @property
    def pups_taken(self) -> frozenset[PupPlace]:
        return frozenset(pups_of(self.stands)) - self.pups_left

    @property
    def pups_put(self) -> frozenset[PupPlace]:
        return frozenset(pups_of(self.target)) - self.pups_left

    @property
    def furniture_new(self) -> Furnished:
        """What more stands in it, by the codes of parts."""
        return {what: new for what in PIECES if (new := self.new[PIECES[what]])}

    @property
    def furniture_left(self) -> Furnished:
        return {what: left for what in PIECES if (left := self.left[PIECES[what]])}

    @cached_property
    def balances(self) -> dict[PartKind, Balance]:
        """Every kind of part, counted."""
        return balance(
            self.stands,
            self.target,
            staying=self.staying,
            trays=self.trays,
            moved=self.ramps_moved,
            linens=self.linens,
            blanks=(self.standing.blanks, self.wanted.blanks),
            ties=self.ties,
            clips=(
                clips_by_spot(self.standing.structure, self.motion),
                clips_by_spot(self.target, Motion()),
            ),
            anchors_left=self.anchors_left,
            pups_left=self.pups_left,
        )

    @property
    def stays(self) -> Counts:
        """Parts that stay where they are, lifted or not."""
        return {kind: one.stays for kind, one in self._in_order()}

    @property
    def goes_on(self) -> Counts:
        return {kind: one.goes_on for kind, one in self._in_order()}

    @property
    def comes_off(self) -> Counts:
        return {kind: one.comes_off for kind, one in self._in_order()}

    @property
    def moved(self) -> Counts:
        """Of what goes on, how many came off elsewhere, as they are or cut or bent."""
        return {kind: one.again + one.remade for kind, one in self._in_order()}

    @property
    def new(self) -> Counts:
        return {kind: one.new for kind, one in self._in_order()}

    @property
    def left(self) -> Counts:
        """What goes back to the store; ties go into the bin."""
        return {kind: one.left for kind, one in self._in_order()}

    def _in_order(self) -> list[tuple[PartKind, Balance]]:
        return [(kind, self.balances[kind]) for kind in PartKind]

    @property
    def sheet_mm2(self) -> int:
        return sum(one.sheet_mm2 for one in self.trays)

    @property
    def handled(self) -> int:
        stays = self.staying
        stay = len(stays.places) + len(stays.trays) + len(stays.ramps)
        return _count(self.stands) + _count(self.wanted.structure) - 2 * stay

    @property
    def trays_cut(self) -> int:
        return sum(one.is_cut for one in self.trays)

    @property
    def panels_changed(self) -> int:
        """Panels that go on or come off; one that is lifted does neither."""
        there = len(self.stands.panels) + len(self.wanted.structure.panels)
        return there - 2 * len(self.staying.same_places)

    @property
    def connectors_changed(self) -> int:
        return len(self.stands.stances.keys() ^ self.wanted.structure.stances.keys())

    @property
    def work(self) -> AlterationWork:
        return AlterationWork(
            self.sheet_mm2,
            self.panels_changed,
            self.connectors_changed,
            self.handled,
            len(self.turns),
            self.trays_cut,
            self.balances[PartKind.TIE].new,
        )

    def as_drawn(self, joint: Joint) -> Joint:
        """A joint where the target's drawing has it."""
        cols = self.wanted.structure.design.cols
        return mirrored_joint(joint, cols) if self.laying.mirrored else joint


def _count(structure: Structure) -> int:
    return len(structure.panels) + len(structure.trays) + len(structure.ramps)


def laid(standing: Made, wanted: Made, laying: Laying) -> Alteration:
    """The alteration with the drawing laid so; ``wanted`` is mirrored already if it is."""
    design = wanted.structure.design
    motion = laying.from_standing(design.rows, design.cols)
    stands = moved(standing.structure, motion)
    stays = what_stays(stands, wanted.structure)
    return Alteration(standing, wanted, laying, motion, stands, stays)
