"""Forms about builds as a whole: search, plan, edit, set the state."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.db import models
from django.utils.formats import date_format
from django.utils.functional import cached_property
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.plans.models.builds import FOLLOWS, LONGEST_NAME, OPEN, Build, BuildQuerySet, BuildState
from builds.plans.models.planning import plan_build
from habitats.common.fields import EARLIEST_DAY, DayField, OnceField, RowsField, use_today
from habitats.common.idempotency import made_before
from habitats.enclosures.forms import DesignField, DoubtfulForm, doubts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import home_of
from habitats.homes.forms.home_field import HomeField
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person

LONGEST_ADOPTER = 60
MOST_DAYS_AHEAD = 3 * 365
MINE, ALL = "mine", "all"
NO_ENCLOSURE = _(
    "No enclosure was found for this build: open the enclosure’s page and choose “Plan build” "
    "again."
)
NO_KIT = _("It makes %(enclosure)s, which stays with you. Leave this empty.")
# These are said on pages of their own, with what goes with them.
SAID_ELSEWHERE = (BuildState.INSPECTED, BuildState.HANDED_OVER)


class FindBuildsForm(forms.Form):
    """Which builds to list; what makes no sense finds all that are open."""

    words = forms.CharField(label=_("Name or code"), max_length=LONGEST_NAME, required=False)
    whose = forms.ChoiceField(
        choices=[(MINE, _("Mine")), (ALL, _("All"))], required=False, widget=forms.HiddenInput
    )
    state = forms.ChoiceField(
        label=_("State"), choices=[("", _("All open")), *BuildState.choices], required=False
    )
    home = forms.CharField(required=False, max_length=10, widget=forms.HiddenInput)

    def found(self, builds: BuildQuerySet, person: Person) -> BuildQuerySet:
        given = self.cleaned_data if self.is_valid() else {}
        state = given.get("state")
        builds = builds.in_state(state) if state else builds.in_state(*OPEN)
        if given.get("words"):
            builds = builds.named_like(given["words"])
        if given.get("home"):
            builds = builds.filter(home__code=given["home"].upper())
        return builds.filter(people=person) if given.get("whose") == MINE else builds


class PeopleField(RowsField):
    """Who builds: builders and coordinators who may log in."""

    def __init__(self, **options: Any) -> None:
        people = Person.objects.with_role(Person.Role.BUILDER, Person.Role.COORDINATOR)
        super().__init__(
            people.filter(is_active=True).order_by("first_name", "last_name", "pk"),
            required=False,
            widget=forms.CheckboxSelectMultiple,
            **options,
        )

    def label_from_instance(self, obj: models.Model) -> str:
        """In full, since coordinators choose here."""
        assert isinstance(obj, Person)
        return obj.full_name

    def also(self, people: models.QuerySet[Person]) -> None:
        """Who is on a build stays to be chosen, though no builder any more."""
        assert self.queryset is not None
        self.queryset = (self.queryset | people).distinct()


class PlannedDayField(forms.DateField):
    """A day to come, or one that has been; not one that is a slip of the pen."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(required=False, widget=widget, **options)
        self.today: date | None = None

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        if day is None or self.today is None:
            return day
        last = self.today + timedelta(days=MOST_DAYS_AHEAD)
        if EARLIEST_DAY <= day <= last:
            return day
        raise forms.ValidationError(
            gettext("%(day)s given; give a day from %(first)s to %(last)s, or none.")
            % {
                "day": date_format(day, gettext("j F Y")),
                "first": date_format(EARLIEST_DAY, gettext("j F Y")),
                "last": date_format(last, gettext("j F Y")),
            }
        )


class KeptHomeField(HomeField):
    """A home that is open, or the one that was chosen before: ``kept``, None for none."""

    kept: Home | None = None

    def clean(self, value: Any) -> Home | None:
        words = value.strip() if isinstance(value, str) else value
        if self.kept and words in (self.kept.code, self.prepare_value(self.kept.code)):
            return self.kept
        return super().clean(value)


class BuildForm(forms.Form):
    """What a build is for, who does it and when."""

    name = forms.CharField(
        label=_("Name"), max_length=LONGEST_NAME, help_text=_("The name that your team uses.")
    )
    home = KeptHomeField(
        label=_("Home"),
        required=False,
        help_text=_("Its name, its code or your own number for it. Empty: none, or not known."),
    )
    adopter = forms.CharField(
        label=_("Or a kit for an adopter"),
        max_length=LONGEST_ADOPTER,
        required=False,
        help_text=_("A first name is enough. A kit goes to the adopter, not to a home of yours."),
    )
    planned_on = PlannedDayField(label=_("Planned for"))
    people = PeopleField(label=_("Builders"))
    notes = forms.CharField(
        label=_("Notes"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_(
            "For the builders. Addresses and telephone numbers belong with the home, not here."
        ),
    )

    def __init__(self, *args: Any, today: date, units: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.units = units
        day = self.fields["planned_on"]
        assert isinstance(day, PlannedDayField)
        day.today = today

    def clean(self) -> None:
        given = self.cleaned_data
        if given.get("home") and given.get("adopter"):
            self.add_error(
                "adopter", gettext("A home and an adopter given; a build is for one of the two.")
            )

    def facts(self) -> dict[str, Any]:
        """All but the people, as the model has it."""
        names = ("name", "home", "adopter", "planned_on", "notes")
        return {name: self.cleaned_data[name] for name in names}


class NewBuildForm(DoubtfulForm, BuildForm):
    """``enclosure``: the code of a planned one that the build makes; empty: it makes another."""

    once = OnceField()
    enclosure = forms.CharField(required=False, max_length=10, widget=forms.HiddenInput)
    design = DesignField(label=_("Design"))
    field_order = [
        "once",
        "enclosure",
        "design",
        "name",
        "home",
        "adopter",
        "planned_on",
        "people",
        "notes",
        "anyway",
    ]

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self._choose_the_only_design()
        name = self.fields["name"]
        name.required = False
        name.help_text = gettext("The name that your team uses. Empty: the name of the design.")

    def clean(self) -> None:
        super().clean()
        given = self.cleaned_data
        if given.get("design") and not given.get("name"):
            given["name"] = given["design"].name[:LONGEST_NAME]
        design, home, planned = given.get("design"), given.get("home"), self.planned
        if planned is None and given.get("enclosure"):
            self.add_error(None, NO_ENCLOSURE)
        if planned and given.get("adopter"):
            self.add_error("adopter", NO_KIT % {"enclosure": planned})
        is_new = not made_before(Build.objects, given["once"])
        # What is planned there was asked about when it was planned.
        if design and home and is_new and not (planned and home_of(planned) == home):
            self.ask_once_more(
                list(doubts(home, design.shape(), given.get("name", ""), self.units))
            )

    def _choose_the_only_design(self) -> None:
        design = self.fields["design"]
        assert isinstance(design, DesignField)
        if only := design.the_only():
            self.initial.setdefault("design", only)

    @cached_property
    def planned(self) -> Enclosure | None:
        """The enclosure that it makes, if it is one that was planned before."""
        code = str(self["enclosure"].value() or "").upper()
        return Enclosure.objects.filter(code=code).first() if code else None

    def plan(self, *, by: Person, on: date) -> Build:
        """Raises ``CannotBuild``."""
        given = self.cleaned_data
        facts = self.facts()
        revision = given["design"].current
        return plan_build(
            revision,
            facts.pop("name"),
            by=by,
            on=on,
            people=given["people"],
            idempotency_key=given["once"],
            enclosure=self.planned,
            **facts,
        )


class EditBuildForm(BuildForm):
    def __init__(self, *args: Any, build: Build, **options: Any) -> None:
        names = ("name", "adopter", "planned_on", "notes")
        initial: dict[str, Any] = {name: getattr(build, name) for name in names}
        initial["name"] = str(build)
        initial["home"] = build.home.code if build.home else None
        initial["people"] = list(build.people.values_list("pk", flat=True))
        super().__init__(*args, initial=initial, **options)
        people, home = self.fields["people"], self.fields["home"]
        assert isinstance(people, PeopleField)
        assert isinstance(home, KeptHomeField)
        people.also(build.people.all())
        home.kept = build.home
        self.enclosure = build.enclosure
        if build.state_now() == BuildState.HANDED_OVER:
            home.disabled = True
            # Who has the kit stays a somebody, though the name may have to go.
            self.fields["adopter"].disabled = not build.adopter
            self.fields["adopter"].required = bool(build.adopter)

    def clean(self) -> None:
        super().clean()
        if self.enclosure and self.cleaned_data.get("adopter"):
            self.add_error("adopter", NO_KIT % {"enclosure": self.enclosure})

    def keep(self, build: Build) -> None:
        facts = self.facts()
        if "name" in self.changed_data:
            build.is_named_as_repair = False
        else:
            del facts["name"]
        for name, value in facts.items():
            setattr(build, name, value)
        build.save()
        build.people.set(self.cleaned_data["people"])


class BuildStateForm(forms.Form):
    """What state it is in from a day on; inspected and handed over are said elsewhere."""

    once = OnceField()
    state = forms.ChoiceField(label=_("State"))
    day = DayField(label=_("Since"))
    note = forms.CharField(
        label=_("Note"),
        max_length=300,
        required=False,
        help_text=_("For example, why it is stopped."),
    )

    def __init__(self, *args: Any, state: str, person: Person, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)
        field = self.fields["state"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(one, BuildState(one).label) for one in offered(state, person)]
        field.error_messages["invalid_choice"] = gettext(
            "It cannot become “%(value)s” now. Choose a state from the list."
        )

    def set_state(self, build: Build, *, by: Person) -> None:
        """Raises ``CannotBuild``."""
        given = self.cleaned_data
        build.set_state(
            given["state"], given["day"], by=by, note=given["note"], idempotency_key=given["once"]
        )


def offered(state: str, person: Person) -> list[str]:
    """What may be said of a build in this state by this person, without a page of its own."""
    return [
        one
        for one in FOLLOWS[state]
        if one not in SAID_ELSEWHERE
        and (person.is_coordinator or BuildState.STOPPED not in (one, state))
    ]
