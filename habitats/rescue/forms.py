"""Forms about the rescue itself: which rule sets it answers to, and the figures it works by."""

import re
from collections.abc import Iterator
from dataclasses import asdict
from functools import partial
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.fields import AreaField, LengthField, use_units
from habitats.common.languages import choices
from habitats.decimals import percent
from habitats.measures import INCHES, area_needed, length
from habitats.money import CURRENCIES
from habitats.people.models.people import Person
from habitats.people.models.second_factor import has_second_factor
from habitats.rescue.models.rescue import MOST_FOLLOW_UP_DAYS, MOST_FOLLOW_UPS, Rescue
from habitats.structure.read import PANEL_MM
from habitats.structure.sources import common_panels
from habitats.welfare.own import OwnFigures, TooLax, own_rule_set
from habitats.welfare.rule_set import HeightRule, RuleSet
from habitats.welfare.rule_sets import rule_set, rule_sets_for
from habitats.welfare.values import Resident, Species
from habitats.welfare.weights import LEAST_GRAMS, MOST_GRAMS

RULES_FIELD = {Species.GUINEA_PIG: "guinea_pig_rules", Species.RABBIT: "rabbit_rules"}
# Headings of the settings, each with its first and last field.
GROUPS = (
    (_("Name, language and currency"), "name", "currency"),
    (_("Space standards"), "guinea_pig_rules", "rabbit_rules"),
    (_("Quarantine, weights and checks"), "guinea_pig_quarantine_days", "nail_check_days"),
    (_("Adoption"), "trial_days", "erase_adopters_after_years"),
    (_("Builds"), "learns_times", "learns_times"),
)
A_DAY = re.compile(r"[0-9]{1,4}", re.ASCII)
LARGEST_FLOOR_MM2 = 400_000_000  # 400 m²
SIDE_MM = (100, 20_000)


def choosable(species: Species) -> list[RuleSet]:
    return [one for one in rule_sets_for(species) if one.choosable]


def _choices(species: Species) -> Iterator[tuple[str, str]]:
    yield "", str(_("Not chosen yet: space is not checked"))
    for one in choosable(species):
        yield one.id, f"{one.name} ({one.standing_words})"


def _currencies() -> Iterator[tuple[str, str]]:
    yield "", str(_("Not chosen yet: prices have no currency sign"))
    for code, one in CURRENCIES.items():
        yield code, _("%(name)s (%(code)s)") % {"name": one.name, "code": code}


class RescueForm(forms.ModelForm):
    guinea_pig_rules = forms.ChoiceField(
        label=_("Space standard for guinea pigs"),
        choices=partial(_choices, Species.GUINEA_PIG),
        required=False,
        widget=forms.RadioSelect,
    )
    currency = forms.ChoiceField(
        label=_("Currency"),
        choices=_currencies,
        required=False,
        help_text=_("Used for all prices. If you change it, prices are not converted."),
    )
    rabbit_rules = forms.ChoiceField(
        label=_("Space standard for rabbits"),
        choices=partial(_choices, Species.RABBIT),
        required=False,
        widget=forms.RadioSelect,
    )

    language = forms.ChoiceField(
        label=_("Language"),
        choices=choices,
        required=False,
        help_text=_(
            "For people who have not chosen a language and whose browser uses a different one."
        ),
    )

    class Meta:
        model = Rescue
        fields = [
            "name",
            "phone",
            "email",
            "language",
            "currency",
            "guinea_pig_rules",
            "rabbit_rules",
            "guinea_pig_quarantine_days",
            "rabbit_quarantine_days",
            "weigh_every_days",
            "weight_alarm_percent",
            "safety_check_days",
            "teeth_check_days",
            "nail_check_days",
            "trial_days",
            "adoption_follow_ups",
            "adoption_terms",
            "erase_adopters_after_years",
            "learns_times",
        ]
        widgets = {"adoption_terms": forms.Textarea(attrs={"rows": 8})}
        labels = {
            "name": _("Name of the rescue"),
            "phone": _("Telephone for adopters"),
            "email": _("Email for adopters"),
            "guinea_pig_quarantine_days": _("Quarantine for new guinea pigs, in days"),
            "rabbit_quarantine_days": _("Quarantine for new rabbits, in days"),
            "weigh_every_days": _("Days between weighings"),
            "weight_alarm_percent": _("Weight loss that triggers a warning, in percent"),
            "safety_check_days": _("Days between safety checks of an enclosure"),
            "trial_days": _("Usual length of an adoption trial, in days"),
            "adoption_follow_ups": _("Follow-ups: days after the adoption"),
            "adoption_terms": _("Terms of your adoption agreement"),
            "erase_adopters_after_years": _(
                "Suggest erasing an adopter after this many years without contact"
            ),
            "teeth_check_days": _("Days between teeth checks"),
            "nail_check_days": _("Days between nail checks"),
            "learns_times": _("Base time estimates on our own builds"),
        }
        help_texts = {
            "name": _("Printed on cards and reports."),
            "phone": _("Printed on every page of a kit, and shown on the adopter's phone."),
            "email": _("Printed and shown beside the telephone number."),
            "guinea_pig_quarantine_days": _(
                "At least 14; 21 is advised. No authority sets a figure: ask your vet."
            ),
            "rabbit_quarantine_days": _(
                "At least 14; 21 is advised, as for guinea pigs. Common practice: ask your vet, "
                "who knows the diseases in your area."
            ),
            "weigh_every_days": _(
                "For young animals. For adults, four times as long is enough. Common practice: "
                "agree it with your vet."
            ),
            "weight_alarm_percent": _("Common practice: agree it with your vet."),
            "safety_check_days": _("Checks of ties, wire ends, trays and tape. Common practice."),
            "trial_days": _("Common practice."),
            "adoption_follow_ups": _(
                "For example 7, 28, 180. Leave empty for no follow-ups. Common practice."
            ),
            "adoption_terms": _(
                "In your own words, one paragraph a line. Printed on every agreement. Have them "
                "checked by a lawyer."
            ),
            "erase_adopters_after_years": _(
                "They are then listed under Adopters, and you decide on each. Leave empty to list "
                "nobody. Check how long your law tells you to keep records."
            ),
            "teeth_check_days": _(
                "Enter 0 for no reminders. Common practice: agree it with your vet."
            ),
            "nail_check_days": _(
                "Enter 0 for no reminders. Common practice: agree it with your vet."
            ),
            "learns_times": _(
                "Learnt from the steps that builders start and tick. Existing plans keep their "
                "times."
            ),
        }

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The fields under their headings, in the order of ``Meta.fields``."""
        for heading, first, last in GROUPS:
            names = self.Meta.fields
            group = names[names.index(first) : names.index(last) + 1]
            yield str(heading), [self[name] for name in group]

    def save(self, commit: bool = True) -> Rescue:
        """Checks of teeth and nails are kept from the day on which a rhythm is first saved."""
        wanted = self.instance.teeth_check_days or self.instance.nail_check_days
        if not wanted:
            self.instance.checks_since = None
        elif self.instance.checks_since is None:
            self.instance.checks_since = timezone.localdate()
        saved: Rescue = super().save(commit)
        return saved

    def clean_language(self) -> str:
        return self.cleaned_data["language"] or self.instance.language

    def clean_adoption_follow_ups(self) -> str:
        parts = [one.strip() for one in self.cleaned_data["adoption_follow_ups"].split(",")]
        days = [one for one in parts if one]
        fits = all(A_DAY.fullmatch(one) and 1 <= int(one) <= MOST_FOLLOW_UP_DAYS for one in days)
        if not fits or len(days) > MOST_FOLLOW_UPS:
            raise forms.ValidationError(
                gettext(
                    "Enter up to %(most)d whole numbers from 1 to %(days)d, with commas between "
                    "them, such as 7, 28, 180."
                )
                % {"most": MOST_FOLLOW_UPS, "days": MOST_FOLLOW_UP_DAYS}
            )
        return ", ".join(str(one) for one in sorted({int(one) for one in days}))

    def clean(self) -> None:
        super().clean()
        for species, field in RULES_FIELD.items():
            chosen = self.cleaned_data.get(field)
            figures = self.instance.own_figures(species)
            if chosen and figures and (fault := _too_lax(chosen, figures)):
                self.add_error(
                    field,
                    _("%(fault)s Change or delete your own figures first.") % {"fault": fault},
                )


def _too_lax(chosen: str, figures: dict[str, Any]) -> str:
    """Why own figures do not go with a rule set; empty if they do."""
    try:
        own_rule_set(rule_set(chosen), OwnFigures(**figures), id="own", name="Own figures")
    except TooLax as fault:
        return next(iter(fault.faults.values()))
    return ""


class AccessRulesForm(forms.ModelForm):
    """``asked_by`` turns the second factor on for all only with one of their own."""

    class Meta:
        model = Rescue
        fields = ["coordinators_need_second_factor", "erase_people_after_years"]
        labels = {
            "coordinators_need_second_factor": _("All coordinators need a second factor"),
            "erase_people_after_years": _(
                "Suggest erasing a person after this many years without a log-in"
            ),
        }
        help_texts = {
            "coordinators_need_second_factor": _(
                "Coordinators without one set it up the next time they log in. Nobody is locked "
                "out."
            ),
            "erase_people_after_years": _(
                "Deactivated accounts are then listed on this page, and you decide on each. Leave "
                "empty to list nobody. Check how long your law tells you to keep records."
            ),
        }

    def __init__(self, *args: Any, asked_by: Person, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asked_by = asked_by

    def clean_coordinators_need_second_factor(self) -> bool:
        is_wanted: bool = self.cleaned_data["coordinators_need_second_factor"]
        if is_wanted and not has_second_factor(self.asked_by):
            raise forms.ValidationError(gettext("Set up your own second factor first."))
        return is_wanted


class OwnFiguresForm(forms.Form):
    """The rescue's own figures for one species, nowhere below the rule set it answers to."""

    animals = forms.IntegerField(
        label=_("Most animals on the basic floor"), min_value=1, max_value=20, initial=2
    )
    floor_mm2 = AreaField(label=_("Basic floor"), bounds=(100, LARGEST_FLOOR_MM2))
    further_mm2 = AreaField(label=_("Floor for each further animal"), bounds=(0, LARGEST_FLOOR_MM2))
    height_mm = LengthField(label=_("Height"), bounds=SIDE_MM, required=False)
    height_percent = forms.IntegerField(
        label=_("Part of the required floor with that height, in %"),
        min_value=1,
        max_value=100,
        required=False,
    )
    longest_side_mm = LengthField(label=_("Longest side"), bounds=SIDE_MM, required=False)
    shortest_side_mm = LengthField(label=_("Shortest side"), bounds=SIDE_MM, required=False)
    upper_counts = forms.BooleanField(
        label=_("Upper levels count where the space standard allows it"),
        required=False,
        initial=True,
    )

    def __init__(self, *args: Any, base: RuleSet, name: str, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.base, self.name, self.units = base, name, units
        use_units(self, units)
        self._tell_of_the_base()

    def _tell_of_the_base(self) -> None:
        """Beside each field what the rule set asks for, and how to write it."""
        floors = [self.base.required_mm2([Resident()] * number) for number in (1, 2, 3, 4)]
        figures = ", ".join(
            f"{number}: {area_needed(floor, self.units)}"
            for number, floor in enumerate(floors, start=1)
        )
        unit = "ft²" if self.units == INCHES else "m²"
        self.fields["floor_mm2"].help_text = _(
            "In %(unit)s if you write no unit. Number of grown animals and their floor by "
            "%(standard)s: %(figures)s."
        ) % {"unit": unit, "standard": self.base.name, "figures": figures}
        sides = (
            ("longest_side_mm", self.base.longest_side_mm),
            ("shortest_side_mm", self.base.shortest_side_mm),
            ("height_mm", self.base.needed_height_mm([Resident()])),
        )
        for field, asked in sides:
            self.fields[field].help_text = (
                _("The space standard asks for %(length)s.") % {"length": length(asked, self.units)}
                if asked
                else _("The space standard has no figure for this.")
            )
        self.fields["height_percent"].help_text = _share_asked(self.base.height)

    def clean(self) -> None:
        if self.errors:
            return
        has_height = self.base.height is not None or self.cleaned_data["height_mm"]
        if self.cleaned_data["height_percent"] and not has_height:
            self.add_error("height_mm", gettext("Enter the height that this part must have."))
            return
        own = {"id": f"own-{self.base.id}", "name": self.name, "units": self.units}
        try:
            own_rule_set(self.base, self.figures(), **own)
        except TooLax as fault:
            for field, sentence in fault.faults.items():
                self.add_error(field, sentence)
        except ValueError as fault:
            raise forms.ValidationError(str(fault)) from fault

    def figures(self) -> OwnFigures:
        return OwnFigures(**self.cleaned_data)

    def keep(self, rescue: Rescue) -> None:
        rescue.own_rules = {**rescue.own_rules, self.base.species.value: asdict(self.figures())}
        rescue.save(update_fields=["own_rules"])


def _share_asked(rule: HeightRule | None) -> str:
    """Over how much of the floor a rule set asks for its height."""
    if rule is None:
        return gettext("The space standard has no figure for this. Empty: all of it.")
    share = {"share": percent(rule.over)}
    if rule.strictly:
        return gettext("The space standard asks for more than %(share)s.") % share
    return gettext("The space standard asks for %(share)s.") % share


class PanelSizeForm(forms.ModelForm):
    """The panel that the rescue builds with: new designs begin with it."""

    panel_mm = LengthField(label=_("One panel, joint to joint"), bounds=PANEL_MM)

    class Meta:
        model = Rescue
        fields = ["panel_mm", "panel_squares"]
        labels = {"panel_squares": _("Mesh squares a side")}
        help_texts = {"panel_squares": _("Count the squares along one edge of a panel.")}

    def __init__(self, *args: Any, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        self.fields["panel_mm"].help_text = gettext(
            "Common sizes are %(sizes)s. Yours decides, so measure it."
        ) % {"sizes": common_panels(units)}


class CompareForm(forms.Form):
    """For which animals rule sets are laid beside each other; nonsense counts as not given."""

    grams = forms.IntegerField(
        label=_("Weight of each animal, in grams"),
        min_value=LEAST_GRAMS,
        max_value=MOST_GRAMS,
        required=False,
        help_text=_("Leave this empty for the heaviest class of each space standard."),
    )
