"""Settings beside the plan on the board: levels, panels, trays, ramps, name and animals."""

from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.common.figures import level_name
from builds.designs.forms import steps
from builds.designs.forms.furniture import FurnitureForm
from builds.designs.forms.whole_steps import WAYS
from builds.making.names import SIDE_WORDS
from habitats import measures
from habitats.structure.design import Design as Shape
from habitats.structure.furniture import furniture_words
from habitats.structure.lattice import Side
from habitats.structure.read import COMMON_PANELS_MM, MOST_LEVELS

SIDE_NAMES = {
    Side.N: gettext_lazy("North side"),
    Side.E: gettext_lazy("East side"),
    Side.S: gettext_lazy("South side"),
    Side.W: gettext_lazy("West side"),
}


@dataclass(frozen=True, eq=False)  # without slots: a form is made once
class Settings:
    """Of a drawing whose level is looked at; ``refused`` is the form of a step that was not done,
    None if all was."""

    shape: Shape
    level: int
    units: str
    refused: steps.EditForm | None

    @property
    def can_add_level(self) -> bool:
        return len(self.shape.levels) < MOST_LEVELS

    @property
    def guards_are_none(self) -> bool:
        return self.shape.guards == ()

    @property
    def sides(self) -> list[tuple[Side, object, bool]]:
        """Each side of the whole drawing, and whether a wall of the room stands there."""
        return [(side, SIDE_NAMES[side], side in self.shape.room_walls) for side in Side]

    @property
    def supports_are_none(self) -> bool:
        return self.shape.supports == ()

    @property
    def furniture(self) -> str:
        """What stands in it as planned; empty where nothing is."""
        return furniture_words(self.shape.furniture)

    @property
    def panel_size(self) -> str:
        return measures.length(self.shape.panel.size_mm, self.units)

    @property
    def tray_wall(self) -> str:
        return measures.length(self.shape.tray.wall_mm, self.units)

    @property
    def ways(self) -> list[tuple[Side, object]]:
        return list(WAYS.items())

    @property
    def panels_met(self) -> list[tuple[int, str]]:
        return [(mm, measures.length(mm, self.units)) for mm in COMMON_PANELS_MM]

    @cached_property
    def forms(self) -> dict[str, steps.EditForm]:
        """The forms that have fields on the board; one that was refused with what is wrong."""
        kinds = {
            "plan": steps.PlanForm,
            "level": steps.LevelForm,
            "panel": steps.PanelForm,
            "tray": steps.TrayForm,
            "about": steps.AboutForm,
            "furniture": FurnitureForm,
        }
        return {name: self._form(kind) for name, kind in kinds.items()}

    @cached_property
    def ramp_forms(self) -> list[tuple[str, steps.EditForm]]:
        """A name and a form for each ramp, from whichever level it leaves."""
        forms = []
        for number, wish in enumerate(self.shape.ramps):
            refused = self.refused
            if isinstance(refused, steps.RampForm) and refused.data.get("number") == str(number):
                form: steps.EditForm = refused
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
            name = _("%(level)s, %(cell)s, %(side)s side") % {
                "level": level_name(self.shape, wish.level),
                "cell": wish.cell.words,
                "side": SIDE_WORDS[wish.side],
            }
            forms.append((name, form))
        return forms

    def _form(
        self,
        kind: type[steps.EditForm],
        initial: dict[str, object] | None = None,
        auto_id: str = "",
    ) -> steps.EditForm:
        if type(self.refused) is kind and initial is None:
            return self.refused
        form = kind(shape=self.shape, level=self.level, units=self.units, initial=initial or {})
        form.auto_id = auto_id or form.auto_id
        return form
