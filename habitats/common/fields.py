"""Fields that many forms share: lengths and areas in the reader's units, days that have come."""

import re
import uuid
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.validators import DecimalValidator
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats import measures, money, photos, typed_measures
from habitats.common import days, photo_queue
from habitats.common.several_codes import codes_joined, codes_of
from habitats.structure.fields import is_one_line

EARLIEST_DAY = date(1990, 1, 1)
# Of a row; both databases count a little further.
A_KEY = re.compile(r"[0-9]{1,18}", re.ASCII)


class MeasureField(forms.CharField):
    """A measure typed in the reader's units; cleans to a whole number within bounds.

    ``kept`` is the measure that was shown: sent back as it was shown, it is kept exactly, and not
    rounded to what its words can tell.
    """

    show: Callable[[int, str], str]
    read: Callable[[str, str], int]
    wrong: type[ValueError]

    def __init__(self, *, bounds: tuple[int, int], **options: Any) -> None:
        super().__init__(max_length=typed_measures.LONGEST_TEXT, **options)
        self.bounds = bounds
        self.units = measures.METRIC
        self.kept: int | None = None

    def prepare_value(self, value: Any) -> Any:
        return self.show(value, self.units) if isinstance(value, int) else value

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        if self.kept is not None and _plain(text) == _plain(self.show(self.kept, self.units)):
            return self.kept
        try:
            found = self.read(text, self.units)
        except self.wrong as fault:
            raise forms.ValidationError(str(fault)) from fault
        least, most = self.bounds
        if least <= found <= most:
            return found
        given, low, high = (self.show(one, self.units) for one in (found, least, most))
        raise forms.ValidationError(
            _("%(given)s is not allowed. Enter %(low)s to %(high)s.")
            % {"given": given, "low": low, "high": high}
        )


class LengthField(MeasureField):
    """A length, in whole millimetres."""

    show = staticmethod(measures.length)
    read = staticmethod(typed_measures.parse_length)
    wrong = typed_measures.NotALength


class AreaField(MeasureField):
    """An area, in whole square millimetres."""

    show = staticmethod(measures.area_in_a_field)
    read = staticmethod(typed_measures.parse_area)
    wrong = typed_measures.NotAnArea


class KilogramField(MeasureField):
    """A mass typed in kilograms, in whole grams."""

    show = staticmethod(measures.kilograms)
    read = staticmethod(typed_measures.parse_kilograms)
    wrong = typed_measures.NotAMass


class NumberField(forms.DecimalField):
    """A number with decimals, typed with a comma or a point."""

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override] # as Django's own
        return super().to_python(
            typed_measures.plain_number(value) if isinstance(value, str) else value
        )


class PriceField(NumberField):
    """An amount of money, not below 0, in whole coins of the currency (`use_currency`)."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"min_value": 0, "decimal_places": money.DECIMALS_KEPT, **options})

    def use_currency(self, code: str) -> None:
        places = money.currency(code).decimals
        self.decimal_places = places
        self.widget.attrs["step"] = str(Decimal(1).scaleb(-places))
        self.validators = [one for one in self.validators if not isinstance(one, DecimalValidator)]
        self.validators.append(DecimalValidator(self.max_digits, places))
        if not places:
            self.error_messages["max_decimal_places"] = _(
                "This currency has no decimals. Enter a whole amount."
            )

    def prepare_value(self, value: Any) -> Any:
        """As many decimals as the currency has; more only where they were kept before it was."""
        if not isinstance(value, Decimal) or value != round(value, self.decimal_places):
            return value
        return f"{value:.{self.decimal_places}f}"


class DayField(forms.DateField):
    """A day that has come: today is given by the view, with ``use_today``."""

    def __init__(self, **options: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(**{"widget": widget, **options})
        self.today: date | None = None

    def clean(self, value: Any) -> date | None:
        day: date | None = super().clean(value)
        if day is None or self.today is None:
            return day
        if day > self.today:
            raise forms.ValidationError(
                _("%(day)s is in the future. Enter today or an earlier day.")
                % {"day": days.in_full(day)}
            )
        if day < EARLIEST_DAY:
            raise forms.ValidationError(
                _("%(day)s is too long ago. Enter %(earliest)s or a later day.")
                % {"day": days.in_full(day), "earliest": days.in_full(EARLIEST_DAY)}
            )
        return day


class LineField(forms.CharField):
    """A text on one line, such as the name of a design, which stands in files and on labels."""

    def clean(self, value: Any) -> str:
        text: str = super().clean(value)
        if text and not is_one_line(text):
            raise forms.ValidationError(
                _("The text contains a line break or a control character. Write it on one line.")
            )
        return text


class RowsField(forms.ModelMultipleChoiceField):
    """Several rows of a table, by their keys.

    A number that no database counts to is no key. Django looks such a one up all the same where
    there are several, and the database breaks on it.
    """

    default_error_messages = {
        "invalid_choice": gettext_lazy("“%(value)s” is not in the list. Choose one that is."),
        "invalid_pk_value": gettext_lazy("“%(pk)s” is not in the list. Choose one that is."),
    }

    def clean(self, value: Any) -> Any:
        for key in value if isinstance(value, list | tuple) else ():
            if not A_KEY.fullmatch(str(key)):
                shown = {"pk": str(key)[:20], "value": str(key)[:20]}
                raise forms.ValidationError(
                    self.error_messages["invalid_pk_value"], "invalid_pk_value", shown
                )
        return super().clean(value)


class CodesField(forms.MultipleChoiceField):
    """Any of several words, ticked; cleans to what one column has of them."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, words: Mapping[str, object], **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(choices=list(words.items()), **options)
        self.codes = list(words)

    def prepare_value(self, value: Any) -> Any:
        return codes_of(value) if isinstance(value, str) else value

    def clean(self, value: Any) -> str:
        return codes_joined(super().clean(value), self.codes)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial or ""), data)


class PhotoField(forms.FileField):
    """A photo; cleans to a JPEG that tells nothing but its pixels, or None where none was sent."""

    def __init__(self, **options: Any) -> None:
        accept = {"accept": "image/jpeg,image/png,image/webp"}
        super().__init__(
            **{
                "label": gettext_lazy("Photo"),
                "widget": forms.FileInput(attrs=accept),
                "help_text": gettext_lazy(
                    "Up to 15 MB. JPEG up to 80 megapixels, PNG up to 30, WebP up to 8. Place, "
                    "time and camera are removed."
                ),
                **options,
            }
        )
        self.error_messages |= {
            "required": gettext_lazy("No file was sent. Choose a photo first."),
            "empty": gettext_lazy("The file is empty. Choose a photo."),
        }

    def clean(self, data: Any, initial: Any = None) -> bytes | None:
        sent = super().clean(data, initial)
        if not sent:
            return None
        try:
            return photo_queue.taken_in(sent)
        except photos.NoPhoto as fault:
            raise forms.ValidationError(str(fault)) from fault


class OnceField(forms.UUIDField):
    """Made anew for each page: what is sent twice happens once. What is broken is a new one."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            **{
                "required": False,
                "widget": forms.HiddenInput,
                "initial": lambda: uuid.uuid4(),
                **options,
            }
        )

    def clean(self, value: Any) -> uuid.UUID:
        try:
            return super().clean(value) or uuid.uuid4()
        except forms.ValidationError:
            return uuid.uuid4()


def choose_among(form: forms.BaseForm, name: str, rows: QuerySet[Any]) -> None:
    """Offer these rows in the form's field of this name."""
    field = form.fields[name]
    assert isinstance(field, forms.ModelChoiceField)
    field.queryset = rows


def use_currency(form: forms.BaseForm, code: str) -> None:
    """Let the form's prices be typed in this currency."""
    for field in form.fields.values():
        if isinstance(field, PriceField):
            field.use_currency(code)


def use_units(form: forms.BaseForm, units: str) -> None:
    """Let the form's lengths and areas be read and shown in these units."""
    for name, field in form.fields.items():
        if isinstance(field, MeasureField):
            field.units = units
            field.kept = form.initial.get(name)


def use_today(form: forms.BaseForm, today: date) -> None:
    """Let the form's days be today or earlier; those that are asked for begin as today."""
    for field in form.fields.values():
        if isinstance(field, DayField):
            field.today = today
            if field.required and field.initial is None:
                field.initial = today


def _plain(text: str) -> str:
    return " ".join(text.split())
