"""What the drawing board shows: made from the design and where the person looks, nothing else."""

import uuid
from collections.abc import Mapping
from functools import cached_property, partial
from typing import NamedTuple, Self
from urllib.parse import urlencode

from builds.common.figures import (
    Figure,
    Said,
    floor_figures,
    is_large,
    level_name,
    part_figures,
    said,
)
from builds.common.reckonings import clearest_corner, corner_view, sheet_pieces
from builds.designs.forms import steps
from builds.designs.pages.grid import GridRow, divider_grid, floor_grid, ramp_grid, spot_id
from builds.drawing.draft import draft_picture, window_of
from builds.drawing.space import Corner
from habitats import measures
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import faults_of, limits, structure_of
from habitats.structure.edit import Moved
from habitats.structure.lattice import Cell
from habitats.structure.read import MOST_LEVELS
from habitats.structure.structure import Structure
from habitats.structure.warnings import Caution, warnings_for

FLOOR, DIVIDERS, RAMPS = "floor", "dividers", "ramps"
TOOLS = {FLOOR: "Floor", DIVIDERS: "Dividers", RAMPS: "Ramps"}
HINTS = {
    FLOOR: "Tap a cell to make it floor, or to take it away.",
    DIVIDERS: "Tap an inner edge to stand a divider on it, or to take it away.",
    RAMPS: "Tap an outer edge of this level: the ramp leaves it there, down to the floor beyond.",
}
# The addresses that the plan's buttons post to.
PLAN_STEPS = {FLOOR: "cells", DIVIDERS: "divider", RAMPS: "ramp"}
WIDE, WIDER = 9, 15  # columns shown, from which cells are drawn smaller on a large screen


class Looking(NamedTuple):
    """Which level, with which tool, and from which corner; all go along with every step."""

    level: int = 0
    tool: str = FLOOR
    corner: Corner = Corner.SE

    @classmethod
    def read(cls, given: Mapping[str, str]) -> Self:
        """What was sent, or the ground and its floor where it makes no sense."""
        level = given.get("level", "")
        tool = given.get("tool", FLOOR)
        return cls(
            int(level) if level.isascii() and level.isdigit() and len(level) < 3 else 0,
            tool if tool in TOOLS else FLOOR,
            corner_named(given.get("corner", "")),
        )

    @property
    def query(self) -> str:
        return "?" + urlencode({"level": self.level, "tool": self.tool, "corner": self.corner.name})

    @property
    def turned(self) -> Self:
        """From the next corner, going round by way of the south-west."""
        round_ = (Corner.SE, Corner.SW, Corner.NW, Corner.NE)
        return self._replace(corner=round_[(round_.index(self.corner) + 1) % len(round_)])


def corner_named(name: str) -> Corner:
    """The corner of this name, or the south-east."""
    return Corner[name] if name in Corner.__members__ else Corner.SE


class Tab(NamedTuple):
    """A level or a tool to choose."""

    name: str
    query: str
    is_chosen: bool


class BoardPage:
    """The board of a design as one person looks at it, fresh or after a step."""

    def __init__(self, design: Design, units: str, looking: Looking) -> None:
        self.design = design
        self.units = units
        self.shape = design.shape()
        self.looking = looking._replace(level=min(looking.level, len(self.shape.levels) - 1))
        self.refused: steps.StepForm | None = None
        self.note = ""
        self.announced = ""
        self.focus = ""
        self.moved = (0, 0)
        self.once = uuid.uuid4()

    def from_clearest_corner(self) -> Self:
        """As somebody looks who comes anew; a large design is not searched for it."""
        if self.structure is not None and not self.is_large:
            self.looking = self.looking._replace(corner=clearest_corner(self.structure))
        return self

    # --- After a step ---

    def is_behind(self, form: steps.StepForm) -> bool:
        """Whether the step was meant for an earlier revision than the one that stands."""
        repeated = self.design.current is not None and form.given_once == self.design.current.once
        return form.is_behind(self.base) and not repeated

    def refusing(self, form: steps.StepForm) -> Self:
        self.refused = form
        self.announced = " ".join(self.refusals) or "Not done: see the field."
        return self

    def telling(self, note: str) -> Self:
        self.note = self.announced = note
        return self

    def announcing(self, told: str) -> Self:
        self.announced = f"{told} {self.summary}"
        return self

    def after(self, form: steps.StepForm, moved: Moved) -> "BoardPage":
        """The board as it is after the step, looking at what the step was about."""
        tool = FLOOR if isinstance(form, steps.AddLevelForm) else self.looking.tool
        looking = self.looking._replace(level=form.level_after(moved.design), tool=tool)
        page = BoardPage(self.design, self.units, looking)
        page.moved = (moved.rows, moved.cols)
        page.focus = _focus_after(form, moved)
        return page.announcing(form.told())

    # --- What is shown ---

    @property
    def base(self) -> int:
        return self.design.current.number if self.design.current else 0

    @property
    def refusals(self) -> list[str]:
        """What is wrong with a step that has no field of its own on the board."""
        if self.refused is None:
            return []
        on_board = [*self.forms.values(), *(form for _name, form in self.ramp_forms)]
        has_fields = any(form is self.refused for form in on_board)
        return [
            str(sentence)
            for field, sentences in self.refused.errors.items()
            for sentence in sentences
            if field == "__all__" or not has_fields
        ]

    @cached_property
    def faults(self) -> list[Said]:
        return [said(fault, self.shape, self.units) for fault in faults_of(self.shape)]

    @cached_property
    def structure(self) -> Structure | None:
        """The latest structure that stands: of this drawing, or the last one that did."""
        shape = self.design.last_sound_shape()
        return structure_of(shape) if shape else None

    @cached_property
    def figures(self) -> list[Figure]:
        if self.structure is None:
            return []
        figures = [*floor_figures(self.structure, self.units), *part_figures(self.structure)]
        if not self.is_large:
            figures.append(Figure("Pieces of sheet", str(sheet_pieces(self.structure))))
        return figures

    @property
    def is_large(self) -> bool:
        """Too large for the view and the blanks to be worked out within one step: they follow."""
        return self.structure is not None and is_large(self.structure)

    @cached_property
    def corner(self) -> str:
        """The view from a raised corner; empty while nothing can be made, or it follows."""
        if self.structure is None or self.is_large:
            return ""
        return corner_view(self.structure, self.looking.corner)

    @cached_property
    def warnings(self) -> tuple[Caution, ...]:
        if self.faults or self.structure is None:
            return ()
        return warnings_for(self.structure, partial(measures.length, units=self.units))

    @property
    def summary(self) -> str:
        """The state of the drawing in a breath."""
        if self.faults:
            return f"Cannot be made yet. {self.faults[0].where}: {self.faults[0].sentence}"
        return ", ".join(f"{one.name} {one.value}" for one in self.figures) + "."

    @property
    def plan(self) -> str:
        stands = None if self.faults else self.structure
        guards = stands.guards if stands else self.shape.guards or ()
        return draft_picture(self.shape, self.looking.level, guards, limits=limits())

    @cached_property
    def grid(self) -> list[GridRow]:
        make = {FLOOR: floor_grid, DIVIDERS: divider_grid, RAMPS: ramp_grid}[self.looking.tool]
        return make(self.shape, self.looking.level)

    @property
    def grid_is_empty(self) -> bool:
        return not any(spots for row in self.grid for spots in row)

    @property
    def plan_class(self) -> str:
        window = window_of(self.shape)
        across = max(len(window.cols), len(window.rows))
        size = "wider" if across > WIDER else "wide" if across > WIDE else "small"
        return f"plan-{size} plan-{self.looking.tool}"

    @property
    def plan_step(self) -> str:
        return PLAN_STEPS[self.looking.tool]

    @property
    def hint(self) -> str:
        if self.looking.tool == RAMPS and self.looking.level == 0:
            return "Ramps leave upper levels: choose or add one above."
        if self.looking.tool == RAMPS and self.grid_is_empty:
            return "No edge of this level has lower floor beyond it for a ramp to land on."
        if self.looking.tool == DIVIDERS and self.grid_is_empty:
            return "A divider stands between two cells: this level has no inner edge yet."
        return HINTS[self.looking.tool]

    @property
    def level_tabs(self) -> list[Tab]:
        return [
            Tab(
                level_name(self.shape, index),
                self.looking._replace(level=index).query,
                index == self.looking.level,
            )
            for index in range(len(self.shape.levels))
        ]

    @property
    def tool_tabs(self) -> list[Tab]:
        return [
            Tab(name, self.looking._replace(tool=tool).query, tool == self.looking.tool)
            for tool, name in TOOLS.items()
        ]

    @property
    def level_name(self) -> str:
        return level_name(self.shape, self.looking.level)

    @property
    def can_add_level(self) -> bool:
        return len(self.shape.levels) < MOST_LEVELS

    @property
    def guards_are_none(self) -> bool:
        return self.shape.guards == ()

    @property
    def panel_size(self) -> str:
        return measures.length(self.shape.panel.size_mm, self.units)

    @property
    def tray_wall(self) -> str:
        return measures.length(self.shape.tray.wall_mm, self.units)

    @property
    def panels_met(self) -> list[tuple[int, str]]:
        return [(mm, measures.length(mm, self.units)) for mm in steps.PANELS_MET]

    @cached_property
    def forms(self) -> dict[str, steps.StepForm]:
        """The forms that have fields on the board; one that was refused with what is wrong."""
        kinds = {
            "plan": steps.PlanForm,
            "level": steps.LevelForm,
            "panel": steps.PanelForm,
            "tray": steps.TrayForm,
            "about": steps.AboutForm,
        }
        return {name: self._form(kind) for name, kind in kinds.items()}

    @cached_property
    def ramp_forms(self) -> list[tuple[str, steps.StepForm]]:
        """A name and a form for each ramp, from whichever level it leaves."""
        forms = []
        for number, wish in enumerate(self.shape.ramps):
            refused = self.refused
            if isinstance(refused, steps.RampForm) and refused.data.get("number") == str(number):
                form: steps.StepForm = refused
            else:
                form = self._form(
                    steps.RampForm,
                    {
                        "number": number,
                        "panels": wish.panels or "",
                        "overlap_squares": wish.overlap_squares,
                        "bend_squares": wish.bend_squares,
                    },
                    f"ramp{number}_%s",
                )
            place = f"row {wish.row}, col {wish.col}, side {wish.side}"
            forms.append((f"{level_name(self.shape, wish.level)}, {place}", form))
        return forms

    def _form(
        self,
        kind: type[steps.StepForm],
        initial: dict[str, object] | None = None,
        auto_id: str = "",
    ) -> steps.StepForm:
        if type(self.refused) is kind and initial is None:
            return self.refused
        form = kind(
            shape=self.shape, level=self.looking.level, units=self.units, initial=initial or {}
        )
        form.auto_id = auto_id or form.auto_id
        return form


def _focus_after(form: steps.StepForm, moved: Moved) -> str:
    """The button that has the focus after a cell was turned over: it may have moved."""
    if not isinstance(form, steps.CellsForm):
        return ""
    row, col = (form.cleaned_data["cell"] or form.cleaned_data["cells"])[-1]
    return spot_id(Cell(row + moved.rows, col + moved.cols))
