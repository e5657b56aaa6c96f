"""Forms about pools of linens: the laundry they go through, its programmes, who draws from them."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from habitats.common.fields import (
    DayField,
    KilogramField,
    LengthField,
    OnceField,
    choose_among,
    use_today,
    use_units,
)
from habitats.homes.models.homes import Home, HomeQuerySet
from habitats.linens.models.linens import Linen
from habitats.linens.models.pools import MOST_COTTON_G, Pool, Programme
from habitats.linens.models.spots import LinenSize
from habitats.rotation.buying import USUAL_CLOTH_MM

WEEKDAYS = [
    ("0", gettext_lazy("Mondays")),
    ("1", gettext_lazy("Tuesdays")),
    ("2", gettext_lazy("Wednesdays")),
    ("3", gettext_lazy("Thursdays")),
    ("4", gettext_lazy("Fridays")),
    ("5", gettext_lazy("Saturdays")),
    ("6", gettext_lazy("Sundays")),
]
LEAST_COTTON_G = 500
CLOTH_MM = (100, 5000)


class PoolForm(forms.ModelForm):
    """A pool and its laundry. The figures of the machine are in its manual."""

    wash_days = forms.MultipleChoiceField(
        label=gettext_lazy("Wash days"),
        choices=WEEKDAYS,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Tick at least one wash day.")},
    )
    cotton_g = KilogramField(
        label=gettext_lazy("Rating of the machine"),
        bounds=(LEAST_COTTON_G, MOST_COTTON_G),
        help_text=gettext_lazy(
            "Kilograms of dry cotton. Read it off the front of the machine, off its plate inside "
            "the door, or in the manual. Do not guess: nothing gets clean in a drum that is too "
            "full."
        ),
    )

    class Meta:
        model = Pool
        fields = [
            "name",
            "home",
            "wash_days",
            "loads_a_day",
            "cotton_g",
            "synthetic_percent",
            "washing_days",
            "drying_days",
        ]
        labels = {
            "name": gettext_lazy("Name"),
            "home": gettext_lazy("Cupboard in"),
            "loads_a_day": gettext_lazy("Loads on a wash day"),
            "synthetic_percent": gettext_lazy("Synthetics, in percent of that rating"),
            "washing_days": gettext_lazy("Days in the wash"),
            "drying_days": gettext_lazy("Days to dry"),
        }
        help_texts = {
            "name": gettext_lazy(
                "What people call it, such as “the depot’s cupboard”. A place, not a person."
            ),
            "synthetic_percent": gettext_lazy(
                "Fleece fills a drum before it weighs much: see the manual. 50 is common practice."
            ),
            "washing_days": gettext_lazy(
                "0 if the linens come out of the machine on the same day."
            ),
            "drying_days": gettext_lazy("0 with a dryer on the same day, 1 on a line overnight."),
        }

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["home"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = _homes_for(self.instance)
        field.empty_label = _("Choose a home")
        if self.instance.pk is None:
            self.initial.pop("cotton_g", None)  # a guess would overload a smaller drum
        self.initial.setdefault(
            "wash_days", [str(day) for day in sorted(self.instance.wash_weekdays)]
        )
        use_units(self, units)

    def save(self, commit: bool = True) -> Pool:
        """Keep it; a new one is drawn from by the home it stands in."""
        bits = Pool.bits_of(map(int, self.cleaned_data["wash_days"]))
        if self.instance.pk is None:
            given = {name: self.cleaned_data[name] for name in _FIGURES}
            return Pool.objects.set_up(
                self.cleaned_data["name"], self.cleaned_data["home"], weekdays=bits, **given
            )
        self.instance.weekdays = bits
        pool: Pool = super().save(commit)
        return pool


_FIGURES = ("loads_a_day", "cotton_g", "synthetic_percent", "washing_days", "drying_days")


def _homes_for(pool: Pool) -> HomeQuerySet:
    """Open homes, and the one it stands in, by name."""
    homes = Home.objects.live()
    if pool.pk is not None:
        homes = homes | Home.objects.filter(pk=pool.home_id)
    return homes.by_name()


class ProgrammeForm(forms.ModelForm):
    """A programme of the machine. Its figures decide what a wash releases, so they are exact."""

    class Meta:
        model = Programme
        fields = ["name", "temperature_c", "minutes"]
        labels = {
            "name": gettext_lazy("Programme"),
            "temperature_c": gettext_lazy("Temperature, in °C"),
            "minutes": gettext_lazy("Minutes at that temperature"),
        }
        help_texts = {
            "temperature_c": gettext_lazy(
                "Of the water, as the manual gives it. Many programmes named after a temperature "
                "do not reach it."
            ),
            "minutes": gettext_lazy(
                "For how long the water is held there, not how long the programme runs."
            ),
        }

    def __init__(self, *args: Any, pool: Pool, **options: Any) -> None:
        super().__init__(*args, **options)
        self.pool = pool

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        if self.pool.programmes.filter(name=name, put_away_on__isnull=True).exists():
            raise forms.ValidationError(
                _(
                    "There is a programme “%(name)s” already. Archive it if its figures changed, "
                    "or choose another name."
                )
                % {"name": name}
            )
        return name

    def save(self, commit: bool = True) -> Programme:
        self.instance.pool = self.pool
        made: Programme = super().save(commit)
        return made


class DrawingHomeField(forms.ModelChoiceField):
    """A home, with the pool that it draws from already."""

    def label_from_instance(self, obj: Any) -> str:
        if not obj.pool:
            return str(obj)
        return _("%(home)s (in %(pool)s now)") % {"home": obj, "pool": obj.pool}


class DrawingHomeForm(forms.Form):
    """Another home that draws its linens from the pool."""

    home = DrawingHomeField(
        Home.objects.none(), label=gettext_lazy("Home"), empty_label=gettext_lazy("Choose a home")
    )

    def __init__(self, *args: Any, pool: Pool, **options: Any) -> None:
        super().__init__(*args, **options)
        choose_among(
            self, "home", Home.objects.live().exclude(pool=pool).select_related("pool").by_name()
        )


class ClosePoolForm(forms.Form):
    """A pool that is no more: nobody draws from it, and its linens went elsewhere."""

    day = DayField(label=gettext_lazy("Closed on"))

    def __init__(self, *args: Any, pool: Pool, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.pool = pool
        use_today(self, today)

    def clean(self) -> None:
        homes = [str(home) for home in self.pool.homes.order_by("name", "pk")[:3]]
        linens = Linen.objects.live().filter(pool=self.pool).count()
        if homes:
            raise forms.ValidationError(
                ngettext(
                    "%(homes)s still takes its linens from this pool. Add it to another pool.",
                    "%(homes)s still take their linens from this pool. Add them to another pool.",
                    len(homes),
                )
                % {"homes": ", ".join(homes)}
            )
        if linens:
            raise forms.ValidationError(
                ngettext(
                    "%(number)d linen still belongs to this pool. Move it to another pool, retire "
                    "it, or record it as lost.",
                    "%(number)d linens still belong to this pool. Move them to another pool, "
                    "retire them, or record them as lost.",
                    linens,
                )
                % {"number": linens}
            )


class ClothForm(forms.Form):
    """How wide the roll is that linens are cut from; what makes no sense is the usual width."""

    cloth = LengthField(label=gettext_lazy("Width of the roll"), bounds=CLOTH_MM, required=False)

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        self.fields["cloth"].initial = USUAL_CLOTH_MM

    def width_mm(self) -> int:
        found = self.cleaned_data.get("cloth") if self.is_valid() else None
        return found or USUAL_CLOTH_MM


class TransferForm(forms.Form):
    """How many clean linens of each size go to which other pool."""

    once = OnceField()
    to = forms.ModelChoiceField(
        Pool.objects.none(),
        label=gettext_lazy("New pool"),
        empty_label=gettext_lazy("Choose a pool"),
    )
    on = DayField(label=gettext_lazy("Day"))

    def __init__(
        self,
        *args: Any,
        pool: Pool,
        clean: Iterable[tuple[LinenSize, int]],
        today: date,
        **options: Any,
    ) -> None:
        """``clean``: sizes with how many clean ones there are."""
        super().__init__(*args, **options)
        choose_among(self, "to", Pool.objects.live().exclude(pk=pool.pk).by_name())
        self.sizes = {f"size-{size.pk}": size for size, _number in clean}
        for size, number in clean:
            self.fields[f"size-{size.pk}"] = _number_field(size, number)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not self.errors and not self.numbers():
            raise forms.ValidationError(
                _("No number is entered. Enter a number for at least one size.")
            )
        return given

    def numbers(self) -> dict[LinenSize, int]:
        return {
            size: number
            for name, size in self.sizes.items()
            if (number := self.cleaned_data.get(name))
        }


def _number_field(size: LinenSize, most: int) -> forms.IntegerField:
    return forms.IntegerField(
        label=str(size),
        required=False,
        min_value=0,
        max_value=most,
        error_messages={
            "invalid": _("Enter a whole number, or leave it empty."),
            "max_value": _("%(most)d are clean. Enter that number or fewer.") % {"most": most},
        },
    )
