"""Days in words, as the reader's language writes them."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _


def in_full(day: date) -> str:
    """As “11 March 2027”."""
    return date_format(day, _("j F Y"))


def in_short(day: date) -> str:
    """As “11 Mar 2027”."""
    return date_format(day, _("j M Y"))


def of_year(day: date) -> str:
    """As “11 March”."""
    return date_format(day, _("j F"))


def of_week(day: date) -> str:
    """As “Thursday, 11 March”."""
    return date_format(day, _("l, j F"))


def time_of(moment: datetime) -> str:
    """The time of day where the rescue is, as “14:05”."""
    return date_format(timezone.localtime(moment), "H:i")
