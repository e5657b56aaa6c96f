"""The plan on the board, with the tool that is in hand."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, Self
from urllib.parse import urlencode

from builds.common.figures import level_name
from builds.designs.pages.grid import GridRow, fitting_grid, floor_grid, ramp_grid
from builds.drawing.draft import draft_picture, window_of
from builds.drawing.kinds import KINDS as DRAWN
from builds.drawing.space import Corner
from habitats.designs.models.structures import limits
from habitats.measures import lengths_in
from habitats.structure.design import Design as Shape
from habitats.structure.design import Fitting
from habitats.structure.kinds import KINDS as WHAT
from habitats.structure.kinds import At, edge_kinds
from habitats.structure.read import MOST_COLS, MOST_ROWS
from habitats.wording import message

FLOOR, CELLS, RAMPS = "floor", "cells", "ramps"
LONGEST_HOME = 80
# Tools by name, as they lie beside each other: fittings by their keys in the design file.
FITTINGS = {kind.in_file: kind for kind in edge_kinds()}
TOOLS = {
    FLOOR: message("Rectangle"),
    CELLS: message("Cells"),
    **{key: kind.plural or key.capitalize() for key, kind in FITTINGS.items()},
    RAMPS: message("Ramps"),
}
# What may be tapped for a fitting, and why there is nothing to tap.
TAP: dict[At | None, Callable[[str], str]] = {
    At.INNER_EDGE: lambda fitting: message(
        "Tap an inner edge to add a %(fitting)s, or to remove it.", fitting=fitting
    ),
    At.OUTER_EDGE: lambda fitting: message(
        "Tap an outer edge to add a %(fitting)s, or to remove it.", fitting=fitting
    ),
}
NOTHING_TO_TAP: dict[At | None, Callable[[str], str]] = {
    At.INNER_EDGE: lambda fitting: message(
        "A %(fitting)s stands between two cells. This level has no inner edge yet.",
        fitting=fitting,
    ),
    At.OUTER_EDGE: lambda fitting: message(
        "A %(fitting)s stands on an outer edge. This level has no cell yet.", fitting=fitting
    ),
}
HINTS = {
    FLOOR: message("Drag to draw a rectangle of floor. Drag over floor alone to clear it."),
    CELLS: message("Tap cells, or drag over them, to draw or clear them one by one."),
    **{key: TAP[kind.at](kind.words) for key, kind in FITTINGS.items()},
    RAMPS: message("Tap an outer edge of this level. The ramp leads down from there."),
}
# The addresses that the plan's buttons post to.
PLAN_STEPS = {
    FLOOR: "rectangle",
    CELLS: "cells",
    **{key: kind.role for key, kind in FITTINGS.items()},
    RAMPS: "ramp",
}
WIDE, WIDER = 9, 15  # columns shown, from which cells are drawn smaller on a large screen


class Looking(NamedTuple):
    """Which level, with which tool, from which corner, and for which home; all go along with
    every step. ``home`` is a code, or whatever was searched for; empty: for none."""

    level: int = 0
    tool: str = FLOOR
    corner: Corner = Corner.SE
    home: str = ""

    @classmethod
    def read(cls, given: Mapping[str, str]) -> Self:
        """What was sent, or the ground and its floor where it makes no sense."""
        level = given.get("level", "")
        tool = given.get("tool", FLOOR)
        return cls(
            int(level) if level.isascii() and level.isdigit() and len(level) < 3 else 0,
            tool if tool in TOOLS else FLOOR,
            corner_named(given.get("corner", "")),
            given.get("home", "").strip()[:LONGEST_HOME],
        )

    @property
    def query(self) -> str:
        asked = {"level": self.level, "tool": self.tool, "corner": self.corner.name}
        return "?" + urlencode(asked | ({"home": self.home} if self.home else {}))

    @property
    def turned(self) -> Self:
        """From the next corner, going round by way of the south-west."""
        round_ = (Corner.SE, Corner.SW, Corner.NW, Corner.NE)
        return self._replace(corner=round_[(round_.index(self.corner) + 1) % len(round_)])


def corner_named(name: str) -> Corner:
    """The corner of this name, or the south-east."""
    return Corner[name] if name in Corner.__members__ else Corner.SE


class BoardTab(NamedTuple):
    """A level or a tool to choose."""

    name: str
    query: str
    is_chosen: bool


class KeyLine(NamedTuple):
    """A line of the plan's key: its class in the style sheet, and what it is of."""

    style: str
    words: str


@dataclass(frozen=True)  # without slots, so that the grid is worked out once
class DrawnPlan:
    """A level of the drawing, with what may be tapped on it; ``worked_out``: fittings that
    can be worked out, as they stand."""

    shape: Shape
    looking: Looking
    worked_out: tuple[Fitting, ...]
    units: str

    @property
    def picture(self) -> str:
        return draft_picture(
            self.shape,
            self.looking.level,
            self.worked_out,
            limits=limits(),
            lengths=lengths_in(self.units),
        )

    @cached_property
    def grid(self) -> list[GridRow]:
        if kind := FITTINGS.get(self.looking.tool):
            stand = self.worked_out if kind.auto else self.shape.fittings
            return fitting_grid(self.shape, self.looking.level, kind, stand)
        make = ramp_grid if self.looking.tool == RAMPS else floor_grid
        return make(self.shape, self.looking.level)

    @property
    def grid_is_empty(self) -> bool:
        return not any(spots for row in self.grid for spots in row)

    @property
    def css_class(self) -> str:
        window = window_of(self.shape)
        across = max(len(window.cols), len(window.rows))
        size = "wider" if across > WIDER else "wide" if across > WIDE else "small"
        return f"plan-{size} plan-{'floor' if self.is_floor else 'edges'}"

    @property
    def is_floor(self) -> bool:
        """Whether cells are tapped, and not edges."""
        return self.looking.tool in (FLOOR, CELLS)

    @property
    def lengths(self) -> str:
        """How long 1, 2, 3 … panels in a row are, for the script that shows it while one drags."""
        size, most = self.shape.panel.size_mm, max(MOST_ROWS, MOST_COLS)
        return "|".join(lengths_in(self.units)(size * count) for count in range(1, most + 1))

    @property
    def key(self) -> list[KeyLine]:
        """The lines of all fittings that are drawn."""
        return [
            *(KeyLine(drawn.board, WHAT[key].words) for key, drawn in DRAWN.items() if drawn.board),
            *([KeyLine("pup-layer", message("pup set"))] if self.shape.pup_set else []),
        ]

    @property
    def step(self) -> str:
        return PLAN_STEPS[self.looking.tool]

    @property
    def hint(self) -> str:
        if self.looking.tool == RAMPS and self.looking.level == 0:
            return message("Ramps lead down from upper levels. Choose or add one above.")
        if self.looking.tool == RAMPS and self.grid_is_empty:
            return message("No edge of this level has lower floor beyond it for a ramp.")
        kind = FITTINGS.get(self.looking.tool)
        if kind and self.grid_is_empty:
            return NOTHING_TO_TAP[kind.at](kind.words)
        return HINTS[self.looking.tool]

    @property
    def level_tabs(self) -> list[BoardTab]:
        return [
            BoardTab(
                level_name(self.shape, index),
                self.looking._replace(level=index).query,
                index == self.looking.level,
            )
            for index in range(len(self.shape.levels))
        ]

    @property
    def tool_tabs(self) -> list[BoardTab]:
        return [
            BoardTab(name, self.looking._replace(tool=tool).query, tool == self.looking.tool)
            for tool, name in TOOLS.items()
        ]

    @property
    def level_name(self) -> str:
        return level_name(self.shape, self.looking.level)
