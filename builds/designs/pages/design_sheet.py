"""The design sheet: all figures, parts and steps of a design."""

from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.common.figures import (
    BoardFault,
    Figure,
    board_fault,
    floor_figures,
    is_large,
    level_name,
    made_figures,
    part_figures,
)
from builds.common.pace import our_pace
from builds.common.reckonings import reckoning_of
from builds.designs.pages.board_facts import Holds, held_by
from builds.drawing.blanks import blank_picture
from builds.drawing.corner import corner_picture
from builds.drawing.plan import plan_picture
from builds.drawing.ramps import ramp_picture
from builds.making.blank import Blank
from builds.making.names import SIDE_WORDS, doorway_name
from builds.making.part_names import numbered_part
from builds.making.parts import Part
from builds.making.reckoning import Reckoning
from habitats import measures
from habitats.decimals import percent
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of
from habitats.enclosures.models.enclosures import Enclosure
from habitats.measures import lengths_in
from habitats.rescue.models.rescue import Rescue
from habitats.structure.caution import Caution
from habitats.structure.furniture import furniture_words
from habitats.structure.kinds import Role
from habitats.structure.ramp import Ramp
from habitats.structure.space import (
    clear_height_mm,
    floor_by_cell,
    longest_run_mm,
    shortest_side_mm,
)
from habitats.structure.structure import Structure


class LevelRow(NamedTuple):
    """One level's figures as they are printed, and its plan."""

    name: str
    floor: str
    heights: str
    longest: str
    shortest: str
    walls: str
    plan: str


class PartRow(NamedTuple):
    part: Part
    needed: str
    size: str
    cut: str


class BlankRow(NamedTuple):
    """A blank with its picture; ``number`` is how its files are asked for."""

    number: int
    blank: Blank
    size: str
    picture: str

    @property
    def caption(self) -> str:
        given = {
            "name": numbered_part(self.number, self.blank.code),
            "size": self.size,
            "count": self.blank.quantity,
        }
        if self.blank.quantity == 1:
            return _("%(name)s: %(size)s.") % given
        return _("%(name)s: %(size)s, %(count)d of them.") % given


class RampRow(NamedTuple):
    name: str
    figures: list[Figure]
    picture: str


class DesignSheet:
    """``reckoning`` is None, and all that hangs on it empty, for a draft."""

    def __init__(self, design: Design, units: str) -> None:
        self.design = design
        self.shape = design.shape()
        self.units = units
        self.reckoning: Reckoning | None = self._reckoned()

    def _reckoned(self) -> Reckoning | None:
        """With the times that a plan of today would have."""
        found = reckoning_of(self.shape, self.units)
        return replace(found, steps=our_pace().steps(found.steps)) if found else None

    @property
    def of_enclosure(self) -> Enclosure | None:
        """The one that it was drawn on; None for a design of its own."""
        return self.design.enclosure

    @property
    def faults(self) -> list[BoardFault]:
        return [board_fault(fault, self.shape, self.units) for fault in faults_of(self.shape)]

    @property
    def warnings(self) -> tuple[Caution, ...]:
        return self.reckoning.warnings if self.reckoning else ()

    @cached_property
    def structure(self) -> Structure:
        assert self.reckoning is not None, "the page asks only where there is a reckoning"
        return self.reckoning.structure

    @property
    def figures(self) -> list[Figure]:
        if self.reckoning is None:
            return []
        return [
            *floor_figures(self.structure, self.units),
            *part_figures(self.structure),
            *made_figures(self.reckoning, self.units),
        ]

    @property
    def holds(self) -> list[Holds]:
        """How many animals it holds; none where no standard is chosen."""
        return held_by(self.structure, Rescue.ours(), self.units)

    @property
    def is_large(self) -> bool:
        return is_large(self.structure)

    @property
    def corner(self) -> str:
        return corner_picture(self.structure)

    @property
    def levels(self) -> list[LevelRow]:
        return [
            _level_row(self.structure, index, self.units)
            for index in range(len(self.structure.trays))
        ]

    @property
    def parts(self) -> list[PartRow]:
        parts = self.reckoning.parts.parts if self.reckoning else ()
        return [
            PartRow(
                part,
                _counted(part, self.units),
                _size(part.size, self.units),
                _size(part.cut, self.units),
            )
            for part in parts
        ]

    @property
    def blanks(self) -> list[BlankRow]:
        blanks = self.reckoning.blanks.blanks if self.reckoning else ()
        return [
            BlankRow(
                number,
                blank,
                _size((blank.width_mm, blank.height_mm), self.units),
                blank_picture(blank, lengths=lengths_in(self.units)),
            )
            for number, blank in enumerate(blanks, start=1)
        ]

    @property
    def ramps(self) -> list[RampRow]:
        panel = self.shape.panel
        return [
            RampRow(
                _("From %(doorway)s") % {"doorway": doorway_name(ramp)},
                _ramp_figures(ramp, self.units),
                ramp_picture(ramp, panel, lengths=lengths_in(self.units)),
            )
            for ramp in self.structure.ramps
        ]

    @property
    def guards(self) -> str:
        """Where guards stand; empty where there are none."""
        return self._where(Role.GUARD)

    @property
    def supports(self) -> str:
        """Where supports stand; empty where there are none."""
        return self._where(Role.SUPPORT)

    @property
    def anchors(self) -> str:
        """Where wall anchors hold it; empty where there are none."""
        return self._where(Role.ANCHOR)

    @property
    def furniture(self) -> str:
        """What stands in it as planned; empty where nothing is."""
        return furniture_words(self.shape.furniture)

    def _where(self, role: str) -> str:
        return "; ".join(
            _("%(cell)s, %(side)s side") % {"cell": one.cell.words, "side": SIDE_WORDS[one.side]}
            for one in self.structure.of_kind(role)
            if one.side  # all of them stand on an edge
        )


def _counted(part: Part, units: str) -> str:
    count = measures.amount(part.count, part.unit, units)
    if part.spare:
        return _("%(count)s + %(spare)d spare") % {"count": count, "spare": part.spare}
    return count


def _level_row(structure: Structure, index: int, units: str) -> LevelRow:
    level, lengths = structure.design.levels[index], lengths_in(units)
    return LevelRow(
        name=level_name(structure.design, index),
        floor=measures.area(structure.trays[index].area_mm2, units),
        heights=_heights(structure, index, units),
        longest=lengths(longest_run_mm(structure, index)),
        shortest=lengths(shortest_side_mm(structure, index)),
        walls=lengths(level.wall_panels * structure.design.panel.size_mm),
        plan=plan_picture(structure, index, lengths=lengths),
    )


def _heights(structure: Structure, index: int, units: str) -> str:
    """How much of the floor is how high: lowest first, open parts last."""
    areas = floor_by_cell(structure.trays[index], structure.design.panel.size_mm)
    shares: dict[int | None, int] = {}
    for cell, mm2 in areas.items():
        height = clear_height_mm(structure, index, cell)
        shares[height] = shares.get(height, 0) + mm2
    whole = sum(areas.values())
    by_height = sorted(shares.items(), key=lambda one: (one[0] is None, one[0] or 0))
    opened = _("open above")
    return ", ".join(
        f"{opened if height is None else measures.length(height, units)}: "
        f"{percent(Fraction(mm2, whole))}"
        for height, mm2 in by_height
    )


def _ramp_figures(ramp: Ramp, units: str) -> list[Figure]:
    lengths = lengths_in(units)
    return [
        Figure(_("Slope"), measures.degrees(ramp.slope_deg)),
        Figure(_("Rise"), lengths(ramp.rise_mm)),
        Figure(_("Run"), lengths(round(ramp.run_mm))),
        Figure(_("Length"), lengths(round(ramp.length_mm))),
        Figure(
            _("Panels"),
            str(ramp.panels),
            ngettext("overlap %(count)d square", "overlap %(count)d squares", ramp.overlap_squares)
            % {"count": ramp.overlap_squares},
        ),
        Figure(_("Free before its foot"), lengths(ramp.landing_mm)),
        Figure(_("Strip"), _size(ramp.strip, units)),
        Figure(_("Folded towel"), _size(ramp.towel, units)),
    ]


def _size(size: tuple[int, int] | None, units: str) -> str:
    return measures.size(size, lengths_in(units)) if size else ""
