"""A field for the label of a linen, as it was scanned or typed."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from habitats.linens.models.linens import Linen, LinenQuerySet
from habitats.rotation.labels import NotALabel, read_label, shown

LONGEST_TYPED = 300  # a link that a camera read, pasted


class LabelField(forms.CharField):
    """Cleans to the linen with this label, among those of ``seen``; None if nothing was typed.

    What a camera made of the code, the whole link, is read as well as the label alone.
    """

    def __init__(self, *, seen: LinenQuerySet | None = None, **options: Any) -> None:
        attrs = {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}
        widget = forms.TextInput(attrs={"class": "label-field", **attrs})
        super().__init__(**{"max_length": LONGEST_TYPED, "widget": widget, **options})
        self.seen = Linen.objects.none() if seen is None else seen

    def clean(self, value: Any) -> Linen | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            label = read_label(text.rstrip("/").rpartition("/")[2] if "://" in text else text)
        except NotALabel as fault:
            raise forms.ValidationError(str(fault)) from fault
        linen = self.seen.with_kind().select_related("spot__enclosure").filter(label=label).first()
        if linen is None:
            raise forms.ValidationError(
                _(
                    "%(label)s is a label, but you have no linen with it. Read it again, or ask a "
                    "coordinator which pool it belongs to."
                )
                % {"label": shown(label)}
            )
        return linen
