"""The design sheet: everything a design gives the animals and takes to make."""

from functools import cached_property
from typing import NamedTuple

from builds.common.figures import (
    Figure,
    Said,
    floor_figures,
    is_large,
    lengths_in,
    level_name,
    made_figures,
    part_figures,
    said,
)
from builds.common.reckonings import reckoning_of
from builds.drawing.blanks import blank_picture
from builds.drawing.corner import corner_picture
from builds.drawing.plan import plan_picture
from builds.drawing.ramps import ramp_picture
from builds.making.blank import Blank
from builds.making.parts import Part
from builds.making.reckoning import Reckoning
from habitats import measures
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of
from habitats.structure.design import Fitting
from habitats.structure.ramp import Ramp
from habitats.structure.space import (
    clear_height_mm,
    floor_by_cell,
    longest_run_mm,
    shortest_side_mm,
)
from habitats.structure.structure import Structure
from habitats.structure.warnings import Caution


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
        self.reckoning: Reckoning | None = reckoning_of(self.shape, units)

    @property
    def faults(self) -> list[Said]:
        return [said(fault, self.shape, self.units) for fault in faults_of(self.shape)]

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
    def is_large(self) -> bool:
        return is_large(self.structure)

    @property
    def corner(self) -> str:
        return corner_picture(self.structure)

    @property
    def levels(self) -> list[LevelRow]:
        return [self._level(index) for index in range(len(self.structure.trays))]

    @property
    def parts(self) -> list[PartRow]:
        parts = self.reckoning.parts.parts if self.reckoning else ()
        return [
            PartRow(part, _counted(part), self._size(part.size), self._size(part.cut))
            for part in parts
        ]

    @property
    def blanks(self) -> list[BlankRow]:
        blanks = self.reckoning.blanks.blanks if self.reckoning else ()
        return [
            BlankRow(
                number,
                blank,
                self._size((blank.width_mm, blank.height_mm)),
                blank_picture(blank, lengths=lengths_in(self.units)),
            )
            for number, blank in enumerate(blanks, start=1)
        ]

    @property
    def ramps(self) -> list[RampRow]:
        panel = self.shape.panel
        return [
            RampRow(
                f"From {level_name(self.shape, ramp.level).lower()}, "
                f"row {ramp.cell.row}, col {ramp.cell.col}, side {ramp.side}",
                self._ramp_figures(ramp),
                ramp_picture(ramp, panel, lengths=lengths_in(self.units)),
            )
            for ramp in self.structure.ramps
        ]

    @property
    def guards(self) -> tuple[Fitting, ...]:
        return self.structure.guards

    def _level(self, index: int) -> LevelRow:
        structure = self.structure
        level = self.shape.levels[index]
        return LevelRow(
            name=level_name(self.shape, index),
            floor=measures.area(structure.trays[index].area_mm2, self.units),
            heights=self._heights(index),
            longest=self._length(longest_run_mm(structure, index)),
            shortest=self._length(shortest_side_mm(structure, index)),
            walls=self._length(level.wall_panels * self.shape.panel.size_mm),
            plan=plan_picture(structure, index, lengths=lengths_in(self.units)),
        )

    def _heights(self, index: int) -> str:
        """How much of the floor is how high: lowest first, open parts last."""
        areas = floor_by_cell(self.structure.trays[index], self.shape.panel.size_mm)
        shares: dict[int | None, int] = {}
        for cell, mm2 in areas.items():
            height = clear_height_mm(self.structure, index, cell)
            shares[height] = shares.get(height, 0) + mm2
        whole = sum(areas.values())
        by_height = sorted(shares.items(), key=lambda one: (one[0] is None, one[0] or 0))
        return ", ".join(
            f"{'open above' if height is None else self._length(height)}: {mm2 / whole:.0%}"
            for height, mm2 in by_height
        )

    def _ramp_figures(self, ramp: Ramp) -> list[Figure]:
        return [
            Figure("Slope", f"{ramp.slope_deg:.1f}°"),
            Figure("Rise", self._length(ramp.rise_mm)),
            Figure("Run", self._length(round(ramp.run_mm))),
            Figure("Length", self._length(round(ramp.length_mm))),
            Figure("Panels", str(ramp.panels), f"overlap {ramp.overlap_squares} squares"),
            Figure("Free before its foot", self._length(ramp.landing_mm)),
            Figure("Strip", self._size(ramp.strip)),
            Figure("Folded towel", self._size(ramp.towel)),
        ]

    def _length(self, mm: int) -> str:
        return measures.length(mm, self.units)

    def _size(self, size: tuple[int, int] | None) -> str:
        return " × ".join(self._length(mm) for mm in size) if size else ""


def _counted(part: Part) -> str:
    unit = f" {part.unit}" if part.unit else ""
    spare = f" + {part.spare} spare" if part.spare else ""
    return f"{part.count}{unit}{spare}"
