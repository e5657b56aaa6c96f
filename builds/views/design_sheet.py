"""The design sheet: everything a design gives the animals and takes to make."""

from functools import cached_property
from typing import NamedTuple

from builds.drawing.corner import corner_picture
from builds.drawing.plan import plan_picture
from builds.views.figures import (
    Figure,
    Said,
    floor_figures,
    lengths_in,
    level_name,
    part_figures,
    said,
)
from habitats import measures
from habitats.models import Design
from habitats.models.structures import faults_of, structure_of
from habitats.structure.space import (
    clear_height_mm,
    floor_by_cell,
    longest_run_mm,
    shortest_side_mm,
)
from habitats.structure.structure import Structure
from habitats.structure.warnings import Caution, warnings_for


class LevelRow(NamedTuple):
    """One level's figures as they are printed, and its plan."""

    name: str
    floor: str
    heights: str
    longest: str
    shortest: str
    walls: str
    plan: str


class DesignSheet:
    def __init__(self, design: Design, units: str) -> None:
        self.design = design
        self.shape = design.shape()
        self.units = units

    @cached_property
    def structure(self) -> Structure | None:
        return structure_of(self.shape)

    @property
    def faults(self) -> list[Said]:
        return [said(fault, self.shape) for fault in faults_of(self.shape)]

    @property
    def figures(self) -> list[Figure]:
        if self.structure is None:
            return []
        return [*floor_figures(self.structure, self.units), *part_figures(self.structure)]

    @property
    def corner(self) -> str:
        return corner_picture(self.structure) if self.structure else ""

    @property
    def warnings(self) -> tuple[Caution, ...]:
        return warnings_for(self.structure) if self.structure else ()

    @property
    def levels(self) -> list[LevelRow]:
        structure = self.structure
        if structure is None:
            return []
        return [self._level(structure, index) for index in range(len(structure.trays))]

    def _level(self, structure: Structure, index: int) -> LevelRow:
        level = structure.design.levels[index]
        return LevelRow(
            name=level_name(structure.design, index),
            floor=measures.area(structure.trays[index].area_mm2, self.units),
            heights=self._heights(structure, index),
            longest=self._length(longest_run_mm(structure, index)),
            shortest=self._length(shortest_side_mm(structure, index)),
            walls=self._length(level.wall_panels * structure.design.panel.size_mm),
            plan=plan_picture(structure, index, lengths=lengths_in(self.units)),
        )

    def _heights(self, structure: Structure, index: int) -> str:
        """How much of the floor is how high: lowest first, open parts last."""
        areas = floor_by_cell(structure.trays[index], structure.design.panel.size_mm)
        shares: dict[int | None, int] = {}
        for cell, mm2 in areas.items():
            height = clear_height_mm(structure, index, cell)
            shares[height] = shares.get(height, 0) + mm2
        whole = sum(areas.values())
        return ", ".join(
            f"{'open above' if height is None else self._length(height)} over {mm2 / whole:.0%}"
            for height, mm2 in sorted(shares.items(), key=lambda one: (one[0] is None, one[0] or 0))
        )

    def _length(self, mm: int) -> str:
        return measures.length(mm, self.units)
