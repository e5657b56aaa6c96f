"""Which labels are printed, on which sheet, beginning where."""

import re
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.fields import NumberField
from habitats.drawing.label_sheets import GRIDS, label_size
from habitats.linens.models.linens import Linen, LinenQuerySet
from habitats.linens.models.pools import Pool
from habitats.rotation.labels import NotALabel, read_label, shown
from habitats.rotation.states import State

NEW, POOL, TYPED = "new", "pool", "typed"
MOST_LABELS = 1000
MOST_SHIFT_MM = 20


class LinenLabelsForm(forms.Form):
    which = forms.ChoiceField(
        label=gettext_lazy("Print labels of"),
        choices=[
            (NEW, gettext_lazy("new linens, never washed yet")),
            (POOL, gettext_lazy("all linens of the pool")),
            (TYPED, gettext_lazy("the linens typed below")),
        ],
        initial=NEW,
        widget=forms.RadioSelect,
    )
    pool = forms.ModelChoiceField(
        Pool.objects.none(),
        label=gettext_lazy("Pool"),
        empty_label=gettext_lazy("All pools"),
        required=False,
    )
    labels = forms.CharField(
        label=gettext_lazy("Labels"),
        required=False,
        max_length=8000,
        widget=forms.Textarea(attrs={"rows": 3, "class": "label-field"}),
        help_text=gettext_lazy("Such as K3F7-H, with commas or spaces in between."),
    )
    grid = forms.ChoiceField(label=gettext_lazy("Label sheet"))
    first = forms.IntegerField(
        label=gettext_lazy("First free label"),
        initial=1,
        min_value=1,
        help_text=gettext_lazy("Counted along the rows, if the first sheet is partly used."),
    )
    right_mm = NumberField(
        label=gettext_lazy("Shift to the right, mm"),
        initial=0,
        min_value=-MOST_SHIFT_MM,
        max_value=MOST_SHIFT_MM,
        max_digits=4,
        decimal_places=1,
        help_text=gettext_lazy("First print on plain paper, and hold it against the sheet."),
    )
    down_mm = NumberField(
        label=gettext_lazy("Shift down, mm"),
        initial=0,
        min_value=-MOST_SHIFT_MM,
        max_value=MOST_SHIFT_MM,
        max_digits=4,
        decimal_places=1,
    )

    def __init__(
        self, *args: Any, seen: LinenQuerySet, paper: str, units: str, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.seen = seen
        self.fields["pool"].queryset = Pool.objects.filter(  # type: ignore[attr-defined]
            pk__in=seen.values("pool")
        ).by_name()
        names = sorted(GRIDS, key=lambda name: GRIDS[name].paper != paper)
        self.fields["grid"].choices = [(name, _grid_words(name, units)) for name in names]  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        grid = GRIDS.get(given.get("grid", ""))
        first = given.get("first")
        if grid and first and first > grid.labels:
            self.add_error(
                "first",
                _("%(first)d is too high: this sheet has %(labels)d labels. Enter 1 to %(labels)d.")
                % {"first": first, "labels": grid.labels},
            )
        return given

    def linens(self) -> list[Linen]:
        """The linens asked for, by label; with an error and none where that cannot be."""
        given = self.cleaned_data
        found = self.seen.live().with_kind().by_label()
        if given["which"] == TYPED:
            return self._typed(found)
        if given["pool"]:
            found = found.filter(pool=given["pool"])
        if given["which"] == NEW:
            found = found.in_state(State.NEW)
        linens = list(found[: MOST_LABELS + 1])
        if not linens:
            self.add_error("which", _("There are no such linens. Choose others, or add linens."))
        if len(linens) > MOST_LABELS:
            sentence = _("That is more than %(most)d labels. Choose one pool.")
            self.add_error("which", sentence % {"most": MOST_LABELS})
            return []
        return linens

    def _typed(self, found: LinenQuerySet) -> list[Linen]:
        words = re.split(r"[,;\s]+", self.cleaned_data["labels"].strip())
        labels = []
        for word in filter(None, words):
            try:
                labels.append(read_label(word))
            except NotALabel as fault:
                self.add_error("labels", str(fault))
                return []
        by_label = {one.label: one for one in found.filter(label__in=labels[:MOST_LABELS])}
        if missing := [one for one in labels if one not in by_label]:
            sentence = _("There is no linen with the label %(label)s. Read it again.")
            self.add_error("labels", sentence % {"label": shown(missing[0])})
            return []
        if not labels:
            self.add_error("labels", _("Type the labels to print, such as K3F7-H."))
        return [by_label[one] for one in labels]

    def shift(self) -> tuple[int, int]:
        """Right and down, in tenths of a millimetre."""
        given = self.cleaned_data
        return int(given["right_mm"] * 10), int(given["down_mm"] * 10)


def _grid_words(name: str, units: str) -> str:
    grid = GRIDS[name]
    return _("%(paper)s, %(labels)d labels of %(size)s") % {
        "paper": grid.paper,
        "labels": grid.labels,
        "size": label_size(grid, units),
    }
