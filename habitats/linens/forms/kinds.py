"""Forms about kinds of linens: the goods they are made of, and how those shrink."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.fields import (
    DayField,
    LengthField,
    NumberField,
    OnceField,
    use_today,
    use_units,
)
from habitats.common.idempotency import get_or_make
from habitats.linens.models.linens import LARGEST_MM, LEAST_MM, LinenKind
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import Sort
from habitats.people.models.people import Person
from habitats.rotation.cloth import LEAST_SHRINKAGE, MOST_SHRINKAGE, measure_fault
from habitats.rotation.goods import FLEECE, TERRY, usual_goods

TENTHS = 10


class PercentField(NumberField):
    """A shrinkage typed in percent; cleans to whole tenths of a percent."""

    def __init__(self, **options: Any) -> None:
        bounds = {
            "min_value": Decimal(LEAST_SHRINKAGE) / TENTHS,
            "max_value": Decimal(MOST_SHRINKAGE) / TENTHS,
        }
        super().__init__(**{"decimal_places": 1, "max_digits": 4, **bounds, **options})

    def prepare_value(self, value: Any) -> Any:
        return Decimal(value) / TENTHS if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:
        percent = super().clean(value)
        return None if percent is None else int(percent * TENTHS)


class KindForm(forms.ModelForm):
    """Goods, as they are bought and sewn. What a newcomer cannot know is what is usual."""

    USUAL = ("grams_per_m2", "shrink_length", "shrink_width")

    shrink_length = PercentField(
        label=gettext_lazy("Expected shrinkage along the roll, in percent"),
        required=False,
        help_text=format_lazy(
            gettext_lazy(
                "Empty: cotton {cotton}, synthetics {synthetic} (common practice). Once you have "
                "measured a piece, your figure is used."
            ),
            cotton=TERRY.shrinkage.length // TENTHS,
            synthetic=FLEECE.shrinkage.length // TENTHS,
        ),
    )
    shrink_width = PercentField(
        label=gettext_lazy("Expected shrinkage across the roll, in percent"), required=False
    )

    class Meta:
        model = LinenKind
        fields = [
            "name",
            "sort",
            "fibre",
            "layers",
            "grams_per_m2",
            "shrink_length",
            "shrink_width",
            "most_washes",
        ]
        labels = {
            "name": gettext_lazy("Name"),
            "layers": gettext_lazy("Layers"),
            "sort": gettext_lazy("Used as"),
            "fibre": gettext_lazy("Material"),
            "grams_per_m2": gettext_lazy("Mass of one layer, in g/m²"),
            "most_washes": gettext_lazy("Washes until worn out"),
        }
        help_texts = {
            "name": gettext_lazy(
                "What people call it, such as “two layers of fleece” or “white terry”."
            ),
            "layers": gettext_lazy("A ramp’s towel is one cloth, folded into 4."),
            "grams_per_m2": format_lazy(
                gettext_lazy(
                    "Empty: cotton {cotton}, synthetics {synthetic} (common practice). Weigh a "
                    "piece that you measured to know yours."
                ),
                cotton=TERRY.grams_per_m2,
                synthetic=FLEECE.grams_per_m2,
            ),
            "most_washes": gettext_lazy("When to check it for wear. Common practice, no source."),
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["sort"].choices = [("", _("Choose a use")), *Sort.choices]  # type: ignore[attr-defined]
        self.fields["grams_per_m2"].required = False
        if not self.instance.pk:
            # Nothing is expected of goods that nobody knows: an unseen 0 would cut all too small.
            self.initial.update(shrink_length=None, shrink_width=None)
        elif self.instance.linens.exists():
            self.fields["sort"].disabled = True
            self.fields["sort"].help_text = _(
                "There are linens of this kind, so you cannot change its use."
            )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        usual = usual_goods(is_synthetic=given.get("fibre") != LinenKind.Fibre.COTTON)
        figures = (usual.grams_per_m2, usual.shrinkage.length, usual.shrinkage.width)
        for name, figure in zip(self.USUAL, figures, strict=True):
            if name not in self.errors and given.get(name) is None:
                given[name] = figure
        return given


class ShrinkTestForm(forms.Form):
    """A piece of cloth measured before its first wash and after it, dry."""

    once = OnceField()
    before_length_mm = LengthField(
        label=gettext_lazy("Along the roll, before"), bounds=(LEAST_MM, LARGEST_MM)
    )
    after_length_mm = LengthField(
        label=gettext_lazy("Along the roll, after"), bounds=(LEAST_MM, LARGEST_MM)
    )
    before_width_mm = LengthField(
        label=gettext_lazy("Across the roll, before"), bounds=(LEAST_MM, LARGEST_MM)
    )
    after_width_mm = LengthField(
        label=gettext_lazy("Across the roll, after"), bounds=(LEAST_MM, LARGEST_MM)
    )
    on = DayField(label=gettext_lazy("Measured on"))

    def __init__(self, *args: Any, units: str, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for way in ("length", "width"):
            before, after = given.get(f"before_{way}_mm"), given.get(f"after_{way}_mm")
            if before and after and (fault := measure_fault(before, after)):
                self.add_error(f"after_{way}_mm", fault)
        return given

    def keep(self, kind: LinenKind, *, by: Person) -> ShrinkTest:
        given = dict(self.cleaned_data)
        return get_or_make(ShrinkTest.objects, given.pop("once"), **given, kind=kind, made_by=by)
