"""Days as Today tells them: beside what is due, in as few words as it takes."""

from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext


def since_words(day: date, today: date) -> str:
    """``today``, ``since 3 Mar``, or the day that is still to come."""
    if day == today:
        return _("today")
    if day < today:
        return pgettext("in few words", "since %(day)s") % {"day": _short(day)}
    return _short(day)


def until_words(day: date) -> str:
    return _("until %(day)s") % {"day": _short(day)}


def _short(day: date) -> str:
    return date_format(day, _("j M"))
