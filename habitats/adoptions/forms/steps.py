"""Forms about the steps of an adoption."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.forms.reasons import ReasonedForm
from habitats.adoptions.models.adoptions import LONGEST_REASON, Visit
from habitats.adoptions.models.follow_ups import LONGEST_ANSWER
from habitats.adoptions.models.home_checks import HEIGHT_MM, SIDE_MM, HomeCheck
from habitats.adoptions.models.reasons import Reason
from habitats.adoptions.models.wishes import Wish, WishQuerySet
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.common.days import in_full
from habitats.common.fields import DayField, LengthField, OnceField, use_today, use_units
from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import MOST_TRIAL_DAYS
from habitats.wording import listed


class VisitForm(forms.Form):
    once = OnceField()
    on = DayField(label=gettext_lazy("Visited on"))
    outcome = forms.ChoiceField(
        label=gettext_lazy("Outcome"), choices=Visit.choices, widget=forms.RadioSelect
    )
    note = forms.CharField(
        label=gettext_lazy("What was seen"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Leave out names and addresses."),
    )

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


class HomeCheckForm(forms.Form):
    """The enclosure at the new home: measured, or one of our designs."""

    once = OnceField()
    kind = forms.ChoiceField(
        label=gettext_lazy("The enclosure is"),
        choices=[
            (HomeCheck.Kind.MEASURED, gettext_lazy("their own: enter its measures")),
            (HomeCheck.Kind.DRAWN, gettext_lazy("built by one of our designs: choose it")),
        ],
        widget=forms.RadioSelect,
        initial=HomeCheck.Kind.MEASURED,
    )
    width_mm = LengthField(
        label=gettext_lazy("Width of the floor, inside"), bounds=SIDE_MM, required=False
    )
    depth_mm = LengthField(
        label=gettext_lazy("Depth of the floor, inside"), bounds=SIDE_MM, required=False
    )
    height_mm = LengthField(
        label=gettext_lazy("Height"),
        bounds=HEIGHT_MM,
        required=False,
        help_text=gettext_lazy("The least height above the floor. Empty: not known."),
    )
    upper_width_mm = LengthField(
        label=gettext_lazy("Upper floor: width"), bounds=SIDE_MM, required=False
    )
    upper_depth_mm = LengthField(
        label=gettext_lazy("Upper floor: depth"), bounds=SIDE_MM, required=False
    )
    design = forms.ModelChoiceField(
        label=gettext_lazy("Design"),
        queryset=Design.objects.none(),
        to_field_name="code",
        required=False,
        empty_label=gettext_lazy("none"),
    )
    note = forms.CharField(label=gettext_lazy("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, species: str, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["design"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = Design.objects.listed().live().sound().for_species(species).by_name()
        use_units(self, units)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("kind") == HomeCheck.Kind.DRAWN:
            if not given.get("design"):
                self.add_error("design", _("Choose the design that the enclosure is built by."))
            return given
        for name in ("width_mm", "depth_mm"):
            if name not in self.errors and not given.get(name):
                self.add_error(name, _("Enter the inside measure, from wall to wall."))
        upper = [given.get("upper_width_mm"), given.get("upper_depth_mm")]
        if any(upper) and not all(upper):
            missing = "upper_depth_mm" if upper[0] else "upper_width_mm"
            if missing not in self.errors:
                self.add_error(missing, _("Enter width and depth of the upper floor, or neither."))
        return given

    def facts(self) -> dict[str, Any]:
        """The fields of a ``HomeCheck``."""
        given = self.cleaned_data
        if given["kind"] == HomeCheck.Kind.DRAWN:
            return {
                "kind": given["kind"],
                "revision": given["design"].current,
                "note": given["note"],
            }
        upper = (given["upper_width_mm"] or 0) * (given["upper_depth_mm"] or 0)
        return {
            "kind": given["kind"],
            **{name: given[name] for name in ("width_mm", "depth_mm", "height_mm", "note")},
            "upper_mm2": upper,
        }


class TrialForm(ReasonedForm):
    once = OnceField()
    on = DayField(label=gettext_lazy("Trial from"))
    until = forms.DateField(
        label=gettext_lazy("Last day of the trial"),
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )

    field_order = ["once", "on", "until", "reason", "confirmed"]

    def __init__(
        self, *args: Any, reasons: Sequence[Reason], today: date, days: int, **options: Any
    ) -> None:
        options.setdefault("initial", {"until": today + timedelta(days=days)})
        super().__init__(*args, **options)
        self.reasons = reasons
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        on, until = given.get("on"), given.get("until")
        if on and until:
            last = on + timedelta(days=MOST_TRIAL_DAYS)
            if not on <= until <= last:
                self.add_error(
                    "until",
                    _("Enter a day from %(first)s to %(last)s.")
                    % {"first": in_full(on), "last": in_full(last)},
                )
        self.weigh(given)
        return given


class AdoptForm(ReasonedForm):
    once = OnceField()
    on = DayField(label=gettext_lazy("Adopted on"))
    note = forms.CharField(label=gettext_lazy("Note"), max_length=1000, required=False)
    fulfils = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Wishes fulfilled, and off the waiting list"),
        queryset=Wish.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    field_order = ["once", "on", "note", "fulfils", "reason", "confirmed"]

    def __init__(
        self,
        *args: Any,
        reasons: Sequence[Reason],
        wishes: WishQuerySet,
        number: int,
        today: date,
        **options: Any,
    ) -> None:
        found = list(wishes)
        likely = [one.pk for one in found if one.number == number or len(found) == 1]
        options.setdefault("initial", {"fulfils": likely})
        super().__init__(*args, **options)
        self.reasons = reasons
        field = self.fields["fulfils"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = wishes
        if not found:
            del self.fields["fulfils"]
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        self.weigh(given)
        return given


class EndForm(forms.Form):
    """It falls through, or animals come back. Those of a reservation never went."""

    once = OnceField()
    animals = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Animals that come back"),
        queryset=Animal.objects.none(),
        to_field_name="code",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Choose the animals that come back.")},
    )
    on = DayField(label=gettext_lazy("Day"))
    note = forms.CharField(
        label=gettext_lazy("Reason"),
        max_length=LONGEST_REASON,
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": gettext_lazy("Enter a reason, also for those who come next.")},
    )
    with_quarantine = forms.BooleanField(
        label=gettext_lazy("Begin a quarantine for them, together"), required=False
    )

    reopens = forms.BooleanField(
        label=gettext_lazy("Put the adopter’s wish back on the waiting list"), required=False
    )

    field_order = ["once", "animals", "on", "note", "with_quarantine", "reopens"]

    def __init__(
        self,
        *args: Any,
        there: AnimalQuerySet,
        were_away: bool,
        may_choose: bool,
        fulfilled: Sequence[Wish],
        quarantine_days: int,
        today: date,
        **options: Any,
    ) -> None:
        options.setdefault(
            "initial", {"animals": [one.code for one in there], "with_quarantine": were_away}
        )
        super().__init__(*args, **options)
        self.there = there
        field = self.fields["animals"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = there
        self.fulfilled = fulfilled
        if not may_choose:
            del self.fields["animals"]
        if fulfilled:
            self.fields["reopens"].help_text = str(listed([str(one) for one in fulfilled]))
        else:
            del self.fields["reopens"]
        if were_away:
            self.fields["with_quarantine"].help_text = _(
                "At least %(days)d days. They may have met other animals."
            ) % {"days": quarantine_days}
        else:
            del self.fields["with_quarantine"]
        use_today(self, today)

    def reopened(self) -> Sequence[Wish]:
        return self.fulfilled if self.cleaned_data.get("reopens") else ()

    def coming(self) -> list[Animal]:
        return list(self.cleaned_data.get("animals", self.there))


class AnswerForm(forms.Form):
    """Somebody asked how they get on."""

    once = OnceField()
    on = DayField(label=gettext_lazy("Asked on"))
    note = forms.CharField(
        label=gettext_lazy("Answers"),
        max_length=LONGEST_ANSWER,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Leave out addresses and telephone numbers."),
    )

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)
