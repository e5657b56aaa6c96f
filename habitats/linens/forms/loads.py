"""Forms of the laundry: what goes into a load, what comes out, what a linen measures after."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict

from habitats.common.fields import DayField, LengthField, OnceField, use_today, use_units
from habitats.linens.models.linens import LARGEST_MM, LEAST_MM, Linen, LinenQuerySet
from habitats.linens.models.pools import Pool
from habitats.linens.models.releasing import MOST_IN_A_ROW, Offer, not_released
from habitats.rotation.cloth import measure_fault
from habitats.rotation.labels import NotALabel, read_label, shown
from habitats.rotation.rating import cotton_g, overload
from habitats.rotation.states import State

MOST_TYPED = 2000
CHOOSE_A_PROGRAMME = "Choose the programme that the machine runs."


class LoadForm(forms.Form):
    """A load: its programme, and linens that are ticked, scanned or typed.

    ``is_too_much`` and ``is_short`` are set when somebody has to say that it is meant: of a load
    that is too heavy, and of a wash that does not release what is set aside.
    """

    once = OnceField()
    programme = forms.ChoiceField(
        error_messages={"required": CHOOSE_A_PROGRAMME, "invalid_choice": CHOOSE_A_PROGRAMME}
    )
    linens = forms.MultipleChoiceField(
        label="Goes in", required=False, widget=forms.CheckboxSelectMultiple
    )
    typed = forms.CharField(
        label="Others, scanned or typed",
        required=False,
        max_length=MOST_TYPED,
        widget=forms.TextInput(attrs={"class": "label-field", "autocapitalize": "characters"}),
        help_text="Such as K3F7-H, with commas or blanks in between.",
    )
    on = DayField(label="Washed on")
    is_heavy = forms.BooleanField(label="Wash it all the same", required=False)
    short = forms.BooleanField(label="Start this wash anyway", required=False)

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        pool: Pool,
        offers: Sequence[Offer],
        waiting: Sequence[Linen],
        ticked: Iterable[str],
        seen: LinenQuerySet,
        today: date,
    ) -> None:
        """``offers``: the programmes, the one to choose first; none is chosen that is short."""
        initial = {"linens": list(ticked)}
        super().__init__(sent, initial=initial)
        self.pool, self.offers, self.waiting, self.seen = pool, offers, waiting, seen
        self.is_too_much = self.is_short = False
        if offers and offers[0].releases:
            self.initial["programme"] = offers[0].key
        if any(one.suspicion for one in waiting):
            self.fields["programme"].widget = forms.RadioSelect()
        self.fields["programme"].choices = [(one.key, one.words) for one in offers]  # type: ignore[attr-defined]
        self.fields["linens"].choices = [(one.label, _words(one, pool)) for one in waiting]  # type: ignore[attr-defined]
        use_today(self, today)

    def clean_programme(self) -> Offer:
        return next(one for one in self.offers if one.key == self.cleaned_data["programme"])

    def clean_typed(self) -> list[Linen]:
        words = self.cleaned_data["typed"].replace(",", " ").split()
        labels = []
        for word in words:
            try:
                labels.append(read_label(word.rstrip("/").rpartition("/")[2]))
            except NotALabel as fault:
                raise forms.ValidationError(str(fault)) from fault
        found = {one.label: one for one in self.seen.with_kind().filter(label__in=labels)}
        if missing := [label for label in labels if label not in found]:
            raise forms.ValidationError(
                f"{shown(missing[0])} is a label, but of no linen that you see. Read it again."
            )
        return [found[label] for label in labels]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not self.errors:
            linens = self.chosen()
            if not linens:
                self.add_error("linens", "Nothing is ticked. Tick, scan or type what goes in.")
            drum = [one.weighed() for one in linens]
            fault = overload(drum, self.pool.cotton_g, self.pool.synthetic_percent)
            if fault and not given["is_heavy"]:
                self.is_too_much = True
                self.add_error("is_heavy", fault)
            self._ask_about_a_short_wash(given, linens)
        return given

    def _ask_about_a_short_wash(self, given: dict[str, Any], linens: Sequence[Linen]) -> None:
        if given["short"] or len({one.suspicion for one in linens}) > 1:
            return  # it is meant; or they may not share a drum, which is told instead
        left = not_released(given["programme"], linens)
        if left is not None:
            self.is_short = True
            self.add_error(
                "short",
                f"This wash does not release {_which(left.number, len(linens))} set aside. After "
                f"it they still take {left.missing}. Choose one that is marked, or start this one "
                "as one of several. Ask a vet when unsure.",
            )

    def marked(self) -> list[tuple[forms.boundfield.BoundWidget, Offer]]:
        """The programmes as radio buttons, each with what it does."""
        return list(zip(self["programme"], self.offers, strict=True))

    def chosen(self) -> list[Linen]:
        """All that goes in, each once."""
        ticked = set(self.cleaned_data["linens"])
        there = [one for one in self.waiting if one.label in ticked]
        return list(dict.fromkeys([*there, *self.cleaned_data["typed"]]))


class StepForm(forms.Form):
    """Linens of a load go on a step: out of the machine, dry, back."""

    once = OnceField()
    step = forms.ChoiceField(choices=[("out", "out"), ("dry", "dry"), ("back", "back")])
    washes = forms.ChoiceField(
        choices=[(str(n), str(n)) for n in range(1, MOST_IN_A_ROW + 1)], required=False
    )
    linens = forms.MultipleChoiceField(
        required=False, error_messages={"invalid_choice": "%(value)s is not in this load."}
    )
    on = DayField(label="On")

    def __init__(self, sent: QueryDict, *, linens: Iterable[Linen], today: date) -> None:
        super().__init__(sent)
        self.there = {one.label: one for one in linens}
        self.fields["linens"].choices = [(label, label) for label in self.there]  # type: ignore[attr-defined]
        use_today(self, today)

    def clean_washes(self) -> int:
        """How many washes were run in a row before they were taken out; one if it is not said."""
        return int(self.cleaned_data["washes"] or 1)

    def clean_linens(self) -> list[Linen]:
        labels = self.cleaned_data["linens"]
        if not labels:
            raise forms.ValidationError("Nothing is ticked. Tick the linens that this is true of.")
        return [self.there[label] for label in labels]


class MeasureForm(forms.Form):
    """A linen before its first wash and after it, dry and laid flat."""

    once = OnceField()
    before_width_mm = LengthField(label="Width before", bounds=(LEAST_MM, LARGEST_MM))
    before_length_mm = LengthField(label="Length before", bounds=(LEAST_MM, LARGEST_MM))
    after_width_mm = LengthField(label="Width now", bounds=(LEAST_MM, LARGEST_MM))
    after_length_mm = LengthField(label="Length now", bounds=(LEAST_MM, LARGEST_MM))
    on = DayField(label="Measured on")

    def __init__(self, sent: QueryDict | None, *, linen: Linen, units: str, today: date) -> None:
        cut = {"before_width_mm": linen.cut_width_mm, "before_length_mm": linen.cut_length_mm}
        super().__init__(sent, initial={name: mm for name, mm in cut.items() if mm})
        use_units(self, units)
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for side in ("width", "length"):
            before, after = given.get(f"before_{side}_mm"), given.get(f"after_{side}_mm")
            if before and after and (fault := measure_fault(before, after)):
                self.add_error(f"after_{side}_mm", fault)
        return given


def _which(number: int, of: int) -> str:
    return "what is" if number == of else f"{number} of the {of} linens"


def _words(linen: Linen, pool: Pool) -> str:
    counted = cotton_g(linen.weighed(), pool.synthetic_percent)
    heavier = "" if counted == linen.mass_g else f", counts as {counted} g"
    new = ", first wash" if linen.state == State.NEW else ""
    return f"{linen}: {str(linen.size).lower()}, {linen.mass_g} g{heavier}{new}"
