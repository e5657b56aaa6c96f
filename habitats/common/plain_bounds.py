"""What is said beside a field whose value is out of bounds: what may be entered, and no more.

Django's own sentences tell a program what to ensure. They hang on its validators, which all forms
and models share, so that they are changed there, once, when the server starts.
"""

from django.core.validators import MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext_lazy


def say_bounds_plainly() -> None:
    MinValueValidator.message = _("Enter %(limit_value)s or more.")
    MaxValueValidator.message = _("Enter %(limit_value)s or less.")
    MaxLengthValidator.message = ngettext_lazy(
        "Enter %(limit_value)d character at most: this has %(show_value)d.",
        "Enter %(limit_value)d characters at most: this has %(show_value)d.",
        "limit_value",
    )
