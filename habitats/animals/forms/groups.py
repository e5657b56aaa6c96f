"""Forms about groups: make one, let an animal join or part, move, let an objection be."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.groups import Group, GroupQuerySet
from habitats.animals.models.objections import Brought, GroupObjection
from habitats.common.fields import DayField, OnceField, use_today
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.forms.home_field import A_CODE
from habitats.welfare.objection import Objection, Severity

LONGEST_REASON = 300
# More in one group is a slip of the hand on the list.
MOST_CHOSEN = 50
SECOND_LOOK = gettext_lazy(
    "Read the reasons above again. An animal or a person can be hurt or fall ill. If it is still "
    "necessary, tick below and save again."
)


WITHOUT_A_NAME = gettext_lazy("Without a name, the group has the names of its animals.")


class FindGroupsForm(forms.Form):
    words = forms.CharField(
        label=gettext_lazy("Name or code, also of an animal"), max_length=60, required=False
    )

    def found(self, groups: GroupQuerySet) -> GroupQuerySet:
        words = self.cleaned_data["words"] if self.is_valid() else ""
        return groups.named_like(words) if words else groups


class GroupForm(forms.ModelForm):
    class Meta:
        model = Group
        fields = ["name", "notes"]
        labels = {"name": gettext_lazy("Name"), "notes": gettext_lazy("Notes")}
        help_texts = {"name": WITHOUT_A_NAME}
        widgets = {"notes": forms.Textarea(attrs={"rows": 4})}


class CompanyForm(forms.Form):
    """Animals come together on a day. What speaks against it wants a reason, or a second look.

    ``judge`` tells what the change would bring on a day that was not there before; ``brought`` is
    that of today, and of the day given once one is.
    """

    NOT_ALLOWED = gettext_lazy(
        "Not allowed for the reasons above. Choose other animals, or correct their records."
    )
    ASKS_REASON = gettext_lazy("Enter a reason for the override, or choose other animals.")

    once = OnceField()
    since = DayField(label=gettext_lazy("Together since"))
    reason = forms.CharField(
        label=gettext_lazy("Reason for the override"),
        max_length=LONGEST_REASON,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("It is saved with your name and today's date."),
    )
    confirmed = forms.BooleanField(
        label=gettext_lazy("I have read it twice, and it is necessary"), required=False
    )

    def __init__(
        self, *args: Any, judge: Callable[[date], Brought], today: date, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.judge, self.today = judge, today
        self.brought = judge(today)
        # What is in the way today no other day mends; else the form is there to give one.
        self.is_stopped = bool(self.brought.stops)
        use_today(self, today)

    @property
    def asks_twice(self) -> bool:
        """Whether the second question is due: a block, and a reason that was given."""
        return bool(self.is_bound and self.brought.blocks and self.data.get("reason", "").strip())

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        since = given.get("since", self.today)
        if since < self.today:
            self.brought = self.brought.and_on(since, self.judge(since))
        if self.brought.stops and not self.is_stopped:
            self.add_error(
                "since",
                _(
                    "Not allowed on that day, for the reasons above. Enter a later day, or correct "
                    "the animals' records."
                ),
            )
            return given
        if self.brought.stops:
            raise forms.ValidationError(self.NOT_ALLOWED)
        if self.brought.asks and not given.get("reason"):
            self.add_error("reason", self.ASKS_REASON)
        elif self.brought.blocks and not given.get("confirmed"):
            self.add_error("confirmed", SECOND_LOOK)
        return given


class NewGroupForm(CompanyForm):
    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=60,
        required=False,
        help_text=WITHOUT_A_NAME,
    )

    field_order = ["once", "name", "since", "reason", "confirmed"]


class LetBeForm(forms.Form):
    """Objections of a group are let be, for one reason; a block is asked about twice."""

    keys = forms.MultipleChoiceField(
        widget=forms.MultipleHiddenInput,
        error_messages={
            "invalid_choice": gettext_lazy(
                "That reason no longer applies, or it cannot be overridden. Check the list below."
            ),
            "required": gettext_lazy("Choose the reason that you override below."),
        },
    )
    reason = forms.CharField(
        label=gettext_lazy("Reason for the override"),
        max_length=LONGEST_REASON,
        error_messages={"required": gettext_lazy("Enter a reason for the override.")},
    )
    confirmed = forms.BooleanField(
        label=gettext_lazy("I have read it twice, and it is necessary"), required=False
    )

    def __init__(self, *args: Any, objections: Sequence[GroupObjection], **options: Any) -> None:
        super().__init__(*args, **options)
        self.open = {one.objection.key: one.objection for one in objections if one.may_be_let_be}
        field = self.fields["keys"]
        assert isinstance(field, forms.MultipleChoiceField)
        field.choices = [(key, key) for key in self.open]

    @property
    def objections(self) -> list[Objection]:
        """What it is about, once the form is valid."""
        return [self.open[key] for key in self.cleaned_data["keys"]]

    @property
    def asks_twice(self) -> bool:
        return self._blocks(self["keys"].value() or []) and bool(
            self.data.get("reason", "").strip()
        )

    def clean(self) -> dict[str, Any] | None:
        given = super().clean() or self.cleaned_data
        blocks = self._blocks(given.get("keys", []))
        if blocks and given.get("reason") and not given.get("confirmed"):
            self.add_error("confirmed", SECOND_LOOK)
        return given

    def _blocks(self, keys: Sequence[str]) -> bool:
        asked = [self.open[key] for key in keys if key in self.open]
        return any(one.severity is Severity.BLOCK for one in asked)


class PartForm(forms.Form):
    """An animal leaves its group, or a group its enclosure, on a day."""

    on = DayField(label=gettext_lazy("Since"))

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)


class MoveForm(forms.Form):
    """A group moves. Where the rule set says it is not enough there, that is asked about."""

    once = OnceField()
    since = DayField(label=gettext_lazy("Moved on"))
    confirmed = forms.BooleanField(
        label=gettext_lazy("I have seen that the space is too small; move them anyway"),
        required=False,
    )

    def __init__(self, *args: Any, is_enough: bool, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        self.is_enough = is_enough
        use_today(self, today)
        if is_enough:
            del self.fields["confirmed"]

    def clean_confirmed(self) -> bool:
        confirmed: bool = self.cleaned_data["confirmed"]
        if not confirmed:
            raise forms.ValidationError(
                _(
                    "The enclosure is too small by your space standard. Tick that you have seen "
                    "it, or choose another enclosure."
                )
            )
        return confirmed


class FindPlacesForm(forms.Form):
    """Where a group could move to: the free ones, or those that cannot take it, with the reason."""

    SHOWN = [
        ("", gettext_lazy("Available")),
        ("others", gettext_lazy("Not available")),
    ]

    words = forms.CharField(
        label=gettext_lazy("Enclosure, home or area"), max_length=60, required=False
    )
    shown = forms.ChoiceField(label=gettext_lazy("Show"), choices=SHOWN, required=False)


def chosen_animals(codes: Sequence[str]) -> AnimalQuerySet:
    """The animals with these codes, in care, by name; codes that nobody has are left out."""
    upper = {code.upper() for code in codes if A_CODE.fullmatch(code)}
    return Animal.objects.all().here().filter(code__in=upper).by_name()


def found_enclosure(code: str) -> Enclosure | None:
    if not A_CODE.fullmatch(code):
        return None
    return Enclosure.objects.with_state().with_shape().filter(code=code.upper()).first()
