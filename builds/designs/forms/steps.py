"""Steps on the drawing board. Each form checks its values and edits the shape.

``edit`` gets the shape and the level looked at, and
returns the new shape with how far its cells moved; it may raise ``BadDesign``.
"""

import uuid
from dataclasses import replace
from typing import Any

from django import forms
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from builds.common.fields import CellsField, EdgeField
from habitats.common.fields import LengthField, OnceField, use_units
from habitats.designs.models.structures import structure_of
from habitats.structure import edit
from habitats.structure.design import Design, PanelSize, Species, TrayRule
from habitats.structure.edit import Moved
from habitats.structure.kinds import KINDS, Role, with_fittings
from habitats.structure.lattice import Side
from habitats.structure.ramp import MOST_RAMP_PANELS
from habitats.structure.read import (
    CLEARANCE_MM,
    LONGEST_NAME,
    MOST_COLS,
    MOST_ROWS,
    MOST_TIERS,
    MOST_Z,
    PANEL_MM,
    ROUND_MM,
    SQUARES,
    WALL_MM,
    plan_cells,
)

SPECIES = [(Species.GUINEA_PIG.value, _("Guinea pigs")), (Species.RABBIT.value, _("Rabbits"))]
LONGEST_STROKE = 8 * (MOST_ROWS + 2) * (MOST_COLS + 2)  # each cell is written in 8 marks or less


class BaseForm(forms.Form):
    """``base`` is the revision the person was looking at."""

    base = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def is_behind(self, base: int) -> bool:
        """Whether it was meant for another revision than this; without one, it is not."""
        return self.is_valid() and self.cleaned_data["base"] not in (None, base)


class EditForm(BaseForm):
    """``idempotency_key`` makes a repeat harmless."""

    once = OnceField()

    def __init__(self, *args: Any, shape: Design, level: int, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.auto_id = f"{type(self).__name__}_%s"
        self.level = level
        self.start_from(shape)
        use_units(self, units)

    @property
    def idempotency_key(self) -> uuid.UUID | None:
        return self.cleaned_data.get("once")

    def start_from(self, shape: Design) -> None:
        """Fill in what the shape holds now."""

    def edit(self, shape: Design) -> Moved:
        raise NotImplementedError

    def level_after(self, shape: Design) -> int:
        """Which level to look at in the shape that the step left."""
        return self.level

    def sentence(self) -> str:
        """The step in words, for those who listen."""
        return gettext("Drawing changed.")


class CellsForm(EditForm):
    """One cell turned over, or a stroke of cells made floor (or not)."""

    cell = CellsField(required=False, max_length=LONGEST_STROKE)
    cells = CellsField(required=False, max_length=LONGEST_STROKE)
    floor = forms.BooleanField(required=False)

    def clean(self) -> None:
        if not self.errors and not self.cleaned_data["cell"] and not self.cleaned_data["cells"]:
            raise forms.ValidationError(_("Name a cell as row,col, such as 0,2."))

    def edit(self, shape: Design) -> Moved:
        if self.cleaned_data["cells"]:
            return edit.paint(
                shape, self.level, self.cleaned_data["cells"], floor=self.cleaned_data["floor"]
            )
        design, rows, cols = Moved(shape, 0, 0)
        for cell in self.cleaned_data["cell"]:
            design, down, right = edit.toggle_cell(design, self.level, cell)
            rows, cols = rows + down, cols + right
        return Moved(design, rows, cols)

    def sentence(self) -> str:
        count = len(self.cleaned_data["cells"] or self.cleaned_data["cell"])
        return ngettext("%(count)d cell changed.", "%(count)d cells changed.", count) % {
            "count": count
        }


class PlanForm(EditForm):
    """The level's plan, typed."""

    plan = forms.CharField(
        label=_("Plan of this level"),
        max_length=2 * MOST_ROWS * (MOST_COLS + 2),
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "class": "typed-plan"}),
        help_text=_("One line a row, north at the top: # is a cell, a dot is none."),
    )

    def start_from(self, shape: Design) -> None:
        cells = shape.levels[self.level].cells
        self.initial["plan"] = "\n".join(
            "".join("#" if (row, col) in cells else "." for col in range(shape.cols))
            for row in range(shape.rows)
        )

    def clean_plan(self) -> list[str]:
        rows = [row.rstrip() for row in self.cleaned_data["plan"].strip("\r\n").splitlines()]
        for number, row in enumerate(rows, start=1):
            strange = row.replace("#", "").replace(".", "").replace(" ", "")
            if strange:
                raise forms.ValidationError(
                    _("Row %(number)s has “%(strange)s”. Use # for a cell and a dot for none.")
                    % {"number": number, "strange": strange[0]}
                )
            if len(row) > MOST_COLS:
                raise forms.ValidationError(
                    _("Row %(number)s has %(width)d marks; the most is %(most)d.")
                    % {"number": number, "width": len(row), "most": MOST_COLS}
                )
        if len(rows) > MOST_ROWS:
            raise forms.ValidationError(
                _("%(rows)d rows given; the most is %(most)d.")
                % {"rows": len(rows), "most": MOST_ROWS}
            )
        return rows

    def edit(self, shape: Design) -> Moved:
        return edit.set_plan(shape, self.level, plan_cells(self.cleaned_data["plan"]))


class FittingForm(EditForm):
    """A fitting that stands on an edge of the level; ``role`` is the key of its kind."""

    role: str
    edge = EdgeField()

    def edit(self, shape: Design) -> Moved:
        cell, side = self.cleaned_data["edge"]
        drawn = _as_drawn(shape, self.role)
        return Moved(edit.toggle_fitting(drawn, self.role, self.level, cell, side), 0, 0)


def _as_drawn(shape: Design, role: str) -> Design:
    """With those of this kind that were worked out, as if each had been placed by hand."""
    if KINDS[role].auto is None or role in shape.by_hand:
        return shape
    stands = structure_of(shape)
    return with_fittings(shape, role, stands.of_kind(role)) if stands else shape


def fitting_form(role: str) -> type[FittingForm]:
    return type("FittingForm", (FittingForm,), {"role": role})


class RampEdgeForm(EditForm):
    edge = EdgeField()

    def edit(self, shape: Design) -> Moved:
        return Moved(edit.toggle_ramp(shape, self.level, *self.cleaned_data["edge"]), 0, 0)


class RampForm(EditForm):
    """How a ramp is made, or that it goes; the doorway stays."""

    number = forms.IntegerField(min_value=0, widget=forms.HiddenInput)
    panels = forms.TypedChoiceField(
        label=_("Panels"),
        coerce=int,
        empty_value=None,
        required=False,
        choices=[("", _("fewest for the slope"))]
        + [(str(count), str(count)) for count in range(1, MOST_RAMP_PANELS + 1)],
    )
    overlap_squares = forms.IntegerField(label=_("Overlap, squares"), min_value=1)
    bend_squares = forms.IntegerField(label=_("Bent up each side, squares"), min_value=1)
    remove = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def edit(self, shape: Design) -> Moved:
        given = self.cleaned_data
        if given["remove"]:
            return Moved(edit.remove_ramp(shape, given["number"]), 0, 0)
        changed = edit.set_ramp(
            shape,
            given["number"],
            panels=given["panels"],
            overlap_squares=given["overlap_squares"],
            bend_squares=given["bend_squares"],
        )
        return Moved(changed, 0, 0)


class LevelForm(EditForm):
    """Height of an upper level's floor, and how high its walls are."""

    z = forms.IntegerField(
        label=_("Floor, panels above the ground"), min_value=1, max_value=MOST_Z, required=False
    )
    tiers = forms.IntegerField(label=_("Walls, panels high"), min_value=1, max_value=MOST_TIERS)

    def start_from(self, shape: Design) -> None:
        level = shape.levels[self.level]
        self._cells = level.cells
        self.initial.update({"z": level.z, "tiers": level.wall_panels})
        if self.level == 0:
            del self.fields["z"]

    def edit(self, shape: Design) -> Moved:
        changed = edit.set_tiers(shape, self.level, self.cleaned_data["tiers"])
        z = self.cleaned_data.get("z")
        if z and z != shape.levels[self.level].z:
            changed = edit.set_height(changed, self.level, z)
        return Moved(changed, 0, 0)

    def level_after(self, shape: Design) -> int:
        """The same level, which may have changed places with another."""
        z = self.cleaned_data.get("z") or self.initial["z"]
        same = [
            index
            for index, level in enumerate(shape.levels)
            if level.z == z and level.cells == self._cells
        ]
        return same[0] if same else self.level


class AddLevelForm(EditForm):
    """``like``: take over the footprint of the level looked at."""

    like = forms.BooleanField(required=False)

    def edit(self, shape: Design) -> Moved:
        like = self.level if self.cleaned_data["like"] else None
        return Moved(edit.add_level(shape, like=like), 0, 0)

    def level_after(self, shape: Design) -> int:
        return len(shape.levels) - 1

    def sentence(self) -> str:
        return gettext("Level added.")


class RemoveLevelForm(EditForm):
    def edit(self, shape: Design) -> Moved:
        return edit.remove_level(shape, self.level)

    def level_after(self, shape: Design) -> int:
        return max(0, self.level - 1)

    def sentence(self) -> str:
        return gettext("Level removed.")


class LidForm(EditForm):
    lid = forms.BooleanField(required=False)

    def edit(self, shape: Design) -> Moved:
        return Moved(replace(shape, lid=self.cleaned_data["lid"]), 0, 0)


class PupSetForm(EditForm):
    pup_set = forms.BooleanField(required=False)

    def edit(self, shape: Design) -> Moved:
        return Moved(replace(shape, pup_set=self.cleaned_data["pup_set"]), 0, 0)


class SupportsForm(EditForm):
    supports = forms.ChoiceField(
        choices=[("auto", _("where a floor needs them")), ("none", _("none"))]
    )

    def edit(self, shape: Design) -> Moved:
        supports = None if self.cleaned_data["supports"] == "auto" else ()
        return Moved(with_fittings(shape, Role.SUPPORT, supports), 0, 0)


class RoomWallsForm(EditForm):
    """A side of the whole drawing at which a wall of the room stands, or stands no more."""

    side = forms.TypedChoiceField(coerce=Side, choices=[(side.value, side.value) for side in Side])

    def edit(self, shape: Design) -> Moved:
        walls = shape.room_walls ^ {self.cleaned_data["side"]}
        return Moved(replace(shape, room_walls=walls), 0, 0)


class GuardsForm(EditForm):
    guards = forms.ChoiceField(
        choices=[("auto", _("where a ramp needs them")), ("none", _("none"))]
    )

    def edit(self, shape: Design) -> Moved:
        guards = None if self.cleaned_data["guards"] == "auto" else ()
        return Moved(with_fittings(shape, Role.GUARD, guards), 0, 0)


class PanelForm(EditForm):
    size_mm = LengthField(
        label=_("Panel, joint to joint"),
        bounds=PANEL_MM,
        required=False,
        help_text=_("Always measure yours: five panels in a row, divided by five."),
    )
    met = forms.IntegerField(required=False, min_value=PANEL_MM[0], max_value=PANEL_MM[1])
    squares = forms.IntegerField(
        label=_("Mesh squares a side"), min_value=SQUARES[0], max_value=SQUARES[1]
    )

    def start_from(self, shape: Design) -> None:
        self.initial.update({"size_mm": shape.panel.size_mm, "squares": shape.panel.squares})

    def clean(self) -> None:
        given = self.cleaned_data.get("met") or self.cleaned_data.get("size_mm")
        if not given and "size_mm" not in self.errors:
            self.add_error("size_mm", _("Give the size, such as 352 mm."))

    def edit(self, shape: Design) -> Moved:
        given = self.cleaned_data
        panel = PanelSize(given.get("met") or given["size_mm"], given["squares"])
        return Moved(edit.set_panel(shape, panel), 0, 0)


class TrayForm(EditForm):
    wall_mm = LengthField(label=_("Tray wall"), bounds=WALL_MM)
    clearance_mm = LengthField(
        label=_("Clearance, every side"),
        bounds=CLEARANCE_MM,
        help_text=_("Room for joints, the sheet's thickness and play."),
    )
    round_mm = LengthField(
        label=_("Inside rounded down to"),
        bounds=ROUND_MM,
        help_text=_("Whole steps of this length."),
    )

    def start_from(self, shape: Design) -> None:
        tray = shape.tray
        self.initial.update(
            {
                "wall_mm": tray.wall_mm,
                "clearance_mm": tray.clearance_mm,
                "round_mm": tray.round_mm,
            }
        )

    def edit(self, shape: Design) -> Moved:
        rule = TrayRule(
            *(self.cleaned_data[key] for key in ("wall_mm", "clearance_mm", "round_mm"))
        )
        return Moved(replace(shape, tray=rule), 0, 0)


class AboutForm(EditForm):
    name = forms.CharField(label=_("Name"), max_length=LONGEST_NAME)
    species = forms.ChoiceField(label=_("Species"), choices=SPECIES)

    def start_from(self, shape: Design) -> None:
        self.initial.update({"name": shape.name, "species": shape.species.value})

    def edit(self, shape: Design) -> Moved:
        species = Species(self.cleaned_data["species"])
        return Moved(replace(shape, name=self.cleaned_data["name"], species=species), 0, 0)
