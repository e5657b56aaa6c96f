"""Forms of what may be said of a linen that was just scanned."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.fields import DayField, OnceField, use_today
from habitats.linens.forms.labels import LabelField
from habitats.linens.models.linens import SUSPICIONS, Linen, LinenQuerySet
from habitats.rotation.states import State, may_follow

# What a person with the linen in hand may see of it, in the words of the buttons.
_STATE_WORDS = {
    State.SOILED: gettext_lazy("Soiled"),
    State.SET_ASIDE: gettext_lazy("Set aside for a suspected infection"),
    State.MENDING: gettext_lazy("Needs mending"),
    State.CLEAN: gettext_lazy("Clean: mended or measured"),
    State.LOST: gettext_lazy("Lost"),
}
# Clean again after the wash is said of the load, where its programme is known.
_CLEAN_AFTER = (State.MENDING, State.FIRST_WASHED)


def state_choices(linen: Linen) -> list[tuple[str, str]]:
    """What may be said of the linen as it stands, as choices."""
    now = State(linen.state)
    return [
        (state.value, _("Found, and soiled") if now is State.LOST else str(words))
        for state, words in _STATE_WORDS.items()
        if may_follow(now, state)
        and state is not now
        and not (state is State.CLEAN and now not in _CLEAN_AFTER)
        and not (state is State.SOILED and linen.suspicion)
    ]


class ScanForm(forms.Form):
    """A label typed by hand, where there is no camera."""

    label = LabelField(
        label=gettext_lazy("Label of the linen"),
        help_text=gettext_lazy(
            "The five characters on it, such as K3F7-H. You can type small letters."
        ),
        error_messages={
            "required": gettext_lazy("Type the five characters on its label, such as K3F7-H.")
        },
    )

    def __init__(self, *args: Any, seen: LinenQuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["label"].seen = seen  # type: ignore[attr-defined]


class LinenStateForm(forms.Form):
    """What somebody says of a linen; for one that is set aside, what is suspected."""

    once = OnceField()
    state = forms.ChoiceField(label=gettext_lazy("New state"), widget=forms.RadioSelect)
    suspicion = forms.ChoiceField(
        label=gettext_lazy("Suspected"),
        required=False,
        choices=[("", "–"), *SUSPICIONS],
        help_text=gettext_lazy("Only for linens that are set aside. Ask a vet."),
    )
    on = DayField(label=gettext_lazy("Day"))
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)

    def __init__(self, *args: Any, linen: Linen, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        choices = state_choices(linen)
        self.may_be_set_aside = State.SET_ASIDE in dict(choices)
        self.fields["state"].choices = choices  # type: ignore[attr-defined]
        use_today(self, today)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        is_apart = given.get("state") == State.SET_ASIDE
        if is_apart and not given.get("suspicion"):
            self.add_error(
                "suspicion", _("Choose what is suspected: it decides how the linen is washed.")
            )
        return given

    def more(self) -> dict[str, Any]:
        """What is kept with the event beside its state and day."""
        given = self.cleaned_data
        more: dict[str, Any] = {"note": given["note"], "idempotency_key": given["once"]}
        if given["state"] == State.SET_ASIDE:
            more["suspicion"] = given["suspicion"]
        return more
