"""Steps on the drawing board that are about more than a cell: rectangles, levels, the whole."""

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.common.fields import CellsField
from builds.designs.forms.steps import EditForm
from habitats.designs.models.structures import faults_of, limits
from habitats.structure import edit, whole
from habitats.structure.design import Design
from habitats.structure.edit import Moved
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.lattice import Cell, Side
from habitats.structure.remedies import remedied
from habitats.structure.wishes import wished
from habitats.wording import message

LONGEST_CORNERS = 40
WAYS = {
    Side.N: _("North"),
    Side.E: _("East"),
    Side.S: _("South"),
    Side.W: _("West"),
}


class RectangleForm(EditForm):
    """The rectangle between two cells; of one cell, where only that was pressed."""

    cell = CellsField(required=False, max_length=LONGEST_CORNERS)
    corners = CellsField(required=False, max_length=LONGEST_CORNERS)

    def clean(self) -> None:
        if not self.errors and len(self.corners_given) != 2:
            raise forms.ValidationError(_("Name a cell as row,col, such as 0,2."))

    @property
    def corners_given(self) -> list[Cell]:
        given = self.cleaned_data
        return given.get("corners") or 2 * given.get("cell", [])

    def edit(self, shape: Design) -> Moved:
        corner, opposite = self.corners_given
        self._is_cleared = edit.cells_between(corner, opposite) <= shape.levels[self.level].cells
        return edit.rectangle(shape, self.level, corner, opposite)

    def sentence(self) -> str:
        (top, left), (bottom, right) = self.corners_given
        size = {"rows": abs(bottom - top) + 1, "cols": abs(right - left) + 1}
        if size["rows"] == size["cols"] == 1:
            return gettext("Cell cleared.") if self._is_cleared else gettext("Cell drawn.")
        if self._is_cleared:
            return gettext("%(rows)d × %(cols)d cells cleared.") % size
        return gettext("%(rows)d × %(cols)d cells drawn.") % size


class TurnForm(EditForm):
    """A quarter turn to the right."""

    def edit(self, shape: Design) -> Moved:
        return Moved(whole.turn(shape), 0, 0)

    def sentence(self) -> str:
        return gettext("Drawing turned.")


class MirrorForm(EditForm):
    def edit(self, shape: Design) -> Moved:
        return Moved(whole.mirror(shape), 0, 0)

    def sentence(self) -> str:
        return gettext("Drawing mirrored.")


class MoveLevelForm(EditForm):
    """The level one cell further, against the other levels."""

    way = forms.TypedChoiceField(choices=list(WAYS.items()), coerce=Side)

    def edit(self, shape: Design) -> Moved:
        return whole.move_level(shape, self.level, self.cleaned_data["way"])

    def sentence(self) -> str:
        return gettext("Level moved.")


class RemedyForm(EditForm):
    """A change that mends a fault, by its code."""

    remedy = forms.CharField(max_length=40)

    def edit(self, shape: Design) -> Moved:
        moved = remedied(shape, self.cleaned_data["remedy"], faults_of)
        if moved is None:
            raise BadDesign(
                [FileFault("", message("That is no longer needed: the drawing has changed."))]
            )
        return moved

    def level_after(self, shape: Design) -> int:
        return min(self.level, len(shape.levels) - 1)


class WishForm(EditForm):
    """One of the usual wishes, by its code."""

    wish = forms.CharField(max_length=40)

    def edit(self, shape: Design) -> Moved:
        wish = wished(shape, self.cleaned_data["wish"], limits())
        if wish is None or wish.moved is None:
            gone = message("This is no longer possible: the drawing has changed.")
            raise BadDesign([FileFault("", (wish and wish.why) or gone)])
        return wish.moved
