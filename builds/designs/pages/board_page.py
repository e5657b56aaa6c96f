"""The page of the drawing board, made from the design and the view of the person, nothing else."""

import uuid
from collections.abc import Mapping
from functools import cached_property
from typing import NamedTuple, Self

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.common.reckonings import clearest_corner, corner_view
from builds.designs.forms import steps
from builds.designs.forms.all_steps import STEPS
from builds.designs.forms.whole_steps import RectangleForm
from builds.designs.pages.board_facts import BoardFacts
from builds.designs.pages.board_home import TargetHome
from builds.designs.pages.board_outcome import Outcome
from builds.designs.pages.board_plan import CELLS, FLOOR, DrawnPlan, Looking
from builds.designs.pages.board_settings import Settings
from builds.designs.pages.grid import spot_id
from habitats.designs.models.designs import Design
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.structure.edit import Moved
from habitats.structure.kinds import KINDS
from habitats.structure.lattice import Cell
from habitats.structure.read import MOST_Z

CELL_STEPS = (RectangleForm, steps.CellsForm, steps.PlanForm)


class EmptyLevel(NamedTuple):
    """Where the first cell of a level is drawn; ``is_here``: on the plan that is shown."""

    query: str
    is_here: bool


class OtherHeight(NamedTuple):
    """Another height for a level, as its form takes it."""

    level: int
    z: int
    tiers: int


class BoardPage:
    """The board of a design as one person looks at it, fresh or after a step.

    ``known_steps`` are those that may be taken on it, as its addresses name them. A board of
    another kind has another head and other facts, and may offer wishes.
    """

    head_template = "designs/_board_head.html"
    facts_template = "designs/_drawing_facts.html"
    wishes_template = ""

    known_steps: Mapping[str, type[steps.EditForm]] = STEPS

    def __init__(self, design: Design, person: Person, looking: Looking) -> None:
        self.design = design
        self.person = person
        self.units = person.units
        self.shape = design.shape()
        self.target = TargetHome.searched(looking.home, person)
        self.looking = looking._replace(
            level=min(looking.level, len(self.shape.levels) - 1),
            home=self.target.home.code if self.target.home else "",
        )
        self.refused: steps.EditForm | None = None
        self.note = ""
        self.announced = ""
        self.focus = ""
        self.moved = (0, 0)
        self.idempotency_key = uuid.uuid4()

    def from_clearest_corner(self) -> Self:
        """As the board looks when it is opened; a large design is not searched for it."""
        structure = self.outcome.structure
        if structure is not None and not self.outcome.is_large:
            self.looking = self.looking._replace(corner=clearest_corner(structure))
        return self

    # --- A step, and the board after it ---

    @property
    def is_kept(self) -> bool:
        """Whether the design is in the database: one of which nothing was drawn yet need not be."""
        return self.design.pk is not None

    def take(self, form: steps.EditForm) -> Moved:
        """Draw what a form that is valid says. Raises ``Superseded`` and ``BadDesign``."""
        moved = form.edit(self.shape)
        if moved.design != self.shape:
            self.design.change(
                moved.design,
                by=self.person,
                idempotency_key=form.idempotency_key,
                moved=(moved.rows, moved.cols),
            )
        return moved

    def is_behind(self, form: steps.EditForm) -> bool:
        """Whether the step was meant for an earlier revision than the one that stands."""
        repeated = (
            self.design.current is not None
            and form.idempotency_key == self.design.current.idempotency_key
        )
        return form.is_behind(self.base) and not repeated

    def refusing(self, form: steps.EditForm) -> Self:
        self.refused = form
        self.announced = " ".join(self.refusals) or _("Not done: see the field.")
        return self

    def telling(self, note: str) -> Self:
        self.note = self.announced = note
        return self

    def announcing(self, sentence: str) -> Self:
        self.announced = f"{sentence} {self.outcome.summary}"
        return self

    def after(self, form: steps.EditForm, moved: Moved) -> "BoardPage":
        """The board as it is after the step, looking at what the step was about."""
        tool = FLOOR if isinstance(form, steps.AddLevelForm) else self.looking.tool
        looking = self.looking._replace(level=form.level_after(moved.design), tool=tool)
        page = self.looking_so(looking)
        page.moved = (moved.rows, moved.cols)
        page.focus = _focus_after(form, moved)
        return page.announcing(form.sentence())

    def looking_so(self, looking: Looking) -> "BoardPage":
        """The board as it is now, looked at otherwise."""
        return BoardPage(self.design, self.person, looking)

    # --- What is shown ---

    @property
    def address(self) -> str:
        """The board's; those of its steps begin with it."""
        return reverse("builds:board", args=[self.design.code])

    @property
    def corner_address(self) -> str:
        """Where the view of a large design comes from."""
        return reverse("builds:corner_view", args=[self.design.code])

    @property
    def can_undo(self) -> bool:
        return self.is_kept and self.design.can_undo()

    @property
    def can_redo(self) -> bool:
        return self.is_kept and self.design.can_redo()

    @property
    def base(self) -> int:
        return self.design.current.number if self.design.current else 0

    @property
    def refusals(self) -> list[str]:
        """What is wrong with a step that has no field of its own on the board."""
        if self.refused is None:
            return []
        on_board = [
            *self.settings.forms.values(),
            *(form for _name, form in self.settings.ramp_forms),
        ]
        has_fields = any(form is self.refused for form in on_board)
        return [
            str(sentence)
            for field, sentences in self.refused.errors.items()
            for sentence in sentences
            if field == "__all__" or not has_fields
        ]

    @cached_property
    def outcome(self) -> Outcome:
        return Outcome(self.design, self.shape, self.units)

    @property
    def corner(self) -> str:
        """The view from a raised corner; empty while nothing can be made, or it follows."""
        structure = self.outcome.structure
        if structure is None or self.outcome.is_large:
            return ""
        return corner_view(structure, self.looking.corner)

    @cached_property
    def plan(self) -> DrawnPlan:
        stands = None if self.outcome.faults else self.outcome.structure
        return DrawnPlan(
            self.shape,
            self.looking,
            tuple(one for one in (stands or self.shape).fittings if KINDS[one.kind].auto),
            self.units,
        )

    @cached_property
    def facts(self) -> BoardFacts:
        return BoardFacts(self.outcome.structure, Rescue.ours(), self.target.home, self.units)

    @property
    def empty_level(self) -> EmptyLevel:
        """The level whose first cell is to be drawn; this one, if it has none."""
        empty = [at for at, one in enumerate(self.shape.levels) if not one.cells]
        is_here = self.looking.level in empty and self.looking.tool in (FLOOR, CELLS)
        first = self.looking.level if self.looking.level in empty else empty[0]
        return EmptyLevel(self.looking._replace(level=first, tool=FLOOR).query, is_here)

    @property
    def homes_found(self) -> list[tuple[str, Home]]:
        return [(self.looking._replace(home=one.code).query, one) for one in self.target.several]

    @property
    def raising(self) -> OtherHeight | None:
        """What mends a step refused because two levels of one height have the cell."""
        level = self.shape.levels[self.looking.level]
        same = [one for one in self.shape.levels[1:] if one.z == level.z]
        if not isinstance(self.refused, CELL_STEPS) or len(same) < 2 or level.z == MOST_Z:
            return None
        return OtherHeight(self.looking.level, level.z + 1, level.wall_panels)

    @cached_property
    def settings(self) -> Settings:
        return Settings(self.shape, self.looking.level, self.units, self.refused)


def _focus_after(form: steps.EditForm, moved: Moved) -> str:
    """The button that has the focus after a cell was turned over: it may have moved."""
    if isinstance(form, RectangleForm):
        row, col = form.corners_given[-1]
    elif isinstance(form, steps.CellsForm):
        row, col = (form.cleaned_data["cell"] or form.cleaned_data["cells"])[-1]
    else:
        return ""
    return spot_id(Cell(row + moved.rows, col + moved.cols))
