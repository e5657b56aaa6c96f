"""Forms of the laundry: what goes into a load, what comes out, what a linen measures after."""

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from habitats.common.fields import DayField, LengthField, OnceField, use_today, use_units
from habitats.linens.forms.linens import size_words
from habitats.linens.models.linens import LARGEST_MM, LEAST_MM, Linen, LinenQuerySet
from habitats.linens.models.pools import Pool
from habitats.linens.models.releasing import MOST_IN_A_ROW, NotReleased, Offer, not_released
from habitats.measures import grams
from habitats.rotation.cloth import measure_fault
from habitats.rotation.labels import NotALabel, read_label, shown
from habitats.rotation.rating import cotton_g, overload
from habitats.rotation.states import State

MOST_TYPED = 2000
CHOOSE_A_PROGRAMME = gettext_lazy("Choose the programme that the machine runs.")


class LoadForm(forms.Form):
    """A load: its programme, and linens that are ticked, scanned or typed.

    ``is_too_much`` and ``is_short`` are set when somebody has to say that it is meant: of a load
    that is too heavy, and of a wash that does not release what is set aside.
    """

    once = OnceField()
    programme = forms.ChoiceField(
        label=gettext_lazy("Programme"),
        error_messages={"required": CHOOSE_A_PROGRAMME, "invalid_choice": CHOOSE_A_PROGRAMME},
    )
    linens = forms.MultipleChoiceField(
        label=gettext_lazy("Linens for this load"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    typed = forms.CharField(
        label=gettext_lazy("Others, scanned or typed"),
        required=False,
        max_length=MOST_TYPED,
        widget=forms.TextInput(attrs={"class": "label-field", "autocapitalize": "characters"}),
        help_text=gettext_lazy("Such as K3F7-H, with commas or spaces in between."),
    )
    on = DayField(label=gettext_lazy("Washed on"))
    is_heavy = forms.BooleanField(label=gettext_lazy("Start this load anyway"), required=False)
    short = forms.BooleanField(label=gettext_lazy("Start this wash anyway"), required=False)

    def __init__(
        self,
        sent: QueryDict | None,
        *,
        pool: Pool,
        offers: Sequence[Offer],
        waiting: Sequence[Linen],
        ticked: Iterable[str],
        seen: LinenQuerySet,
        units: str,
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
        choices = [(one.label, _words(one, pool, units)) for one in waiting]
        self.fields["linens"].choices = choices  # type: ignore[attr-defined]
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
                _("%(label)s is a label, but you have no linen with it. Read it again.")
                % {"label": shown(missing[0])}
            )
        return [found[label] for label in labels]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not self.errors:
            linens = self.chosen()
            if not linens:
                self.add_error(
                    "linens", _("Nothing is ticked. Tick, scan or type the linens that go in.")
                )
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
                _short_words(left, len(linens)),
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
        required=False,
        error_messages={"invalid_choice": gettext_lazy("%(value)s is not in this load.")},
    )
    on = DayField(label=gettext_lazy("Day"))

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
            raise forms.ValidationError(_("Nothing is ticked. Tick the linens that you mean."))
        return [self.there[label] for label in labels]


class MeasureForm(forms.Form):
    """A linen before its first wash and after it, dry and laid flat."""

    once = OnceField()
    before_width_mm = LengthField(label=gettext_lazy("Width before"), bounds=(LEAST_MM, LARGEST_MM))
    before_length_mm = LengthField(
        label=gettext_lazy("Length before"), bounds=(LEAST_MM, LARGEST_MM)
    )
    after_width_mm = LengthField(label=gettext_lazy("Width now"), bounds=(LEAST_MM, LARGEST_MM))
    after_length_mm = LengthField(label=gettext_lazy("Length now"), bounds=(LEAST_MM, LARGEST_MM))
    on = DayField(label=gettext_lazy("Measured on"))

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


def _short_words(left: NotReleased, of: int) -> str:
    known = {"number": left.number, "of": of, "washes": left.missing}
    if left.number == of:
        return (
            _(
                "This wash does not release these linens. They still need %(washes)s after it. "
                "Choose a programme that is marked, or start this wash as one of several. "
                "Ask a vet when unsure."
            )
            % known
        )
    return (
        ngettext(
            "This wash does not release %(number)d of the %(of)d linens. It still needs %(washes)s "
            "after it. Choose a programme that is marked, or start this wash as one of several. "
            "Ask a vet when unsure.",
            "This wash does not release %(number)d of the %(of)d linens. They still need "
            "%(washes)s after it. Choose a programme that is marked, or start this wash as one of "
            "several. Ask a vet when unsure.",
            left.number,
        )
        % known
    )


def _words(linen: Linen, pool: Pool, units: str) -> str:
    counted = cotton_g(linen.weighed(), pool.synthetic_percent)
    words = [f"{linen}: {size_words(linen.size, units)}", grams(linen.mass_g)]
    if counted != linen.mass_g:
        words.append(_("counts as %(mass)s") % {"mass": grams(counted)})
    if linen.state == State.NEW:
        words.append(_("first wash"))
    return ", ".join(words)
