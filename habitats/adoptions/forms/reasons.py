"""What speaks against a step is read first, and wants a reason, or a second look."""

from collections.abc import Callable, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adoptions import LONGEST_REASON
from habitats.adoptions.models.reasons import Reason
from habitats.animals.forms.groups import SECOND_LOOK
from habitats.welfare.new_home import CompanyAtHome


class ReasonedForm(forms.Form):
    """``reasons``: all that speaks against it, what was let be before among them."""

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

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.reasons: Sequence[Reason] = ()

    @property
    def asks(self) -> list[Reason]:
        return [one for one in self.reasons if one.override is None]

    @property
    def is_stopped(self) -> bool:
        """By something that nobody's word mends."""
        return any(one.is_final for one in self.asks)

    @property
    def asks_twice(self) -> bool:
        """Whether the second question is due: a block, and a reason that was given."""
        blocks = any(one.is_block for one in self.asks)
        return bool(self.is_bound and blocks and self.data.get("reason", "").strip())

    def weigh(self, given: dict[str, Any]) -> None:
        """Say what is missing: another choice, a reason, a second look."""
        if self.is_stopped:
            self.add_error(
                None,
                _(
                    "Not allowed for the reasons above. Choose other animals, or correct their "
                    "records."
                ),
            )
        elif self.asks and not given.get("reason"):
            self.add_error("reason", _("Enter a reason for the override."))
        elif any(one.is_block for one in self.asks) and not given.get("confirmed"):
            self.add_error("confirmed", SECOND_LOOK)


Judge = Callable[[CompanyAtHome], Sequence[Reason]]
