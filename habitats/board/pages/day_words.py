"""Days as Today tells them: beside what is due, in as few words as it takes."""

from datetime import date
from functools import lru_cache

from django.utils.formats import date_format
from django.utils.translation import get_language, pgettext
from django.utils.translation import gettext as _

KEPT = 1000  # Today writes the same few days for many rows


def since_words(day: date, today: date) -> str:
    """``today``, ``since 3 Mar``, or the day that is still to come."""
    return _since(day, today, get_language() or "")


@lru_cache(KEPT)
def _since(day: date, today: date, language: str) -> str:
    if day == today:
        return _("today")
    if day < today:
        return pgettext("in few words", "since %(day)s") % {"day": _short(day)}
    return _short(day)


def until_words(day: date) -> str:
    return _("until %(day)s") % {"day": _short(day)}


def span_words(first: date, last: date | None) -> str:
    """Both days, or from when on where no end is known."""
    if last is None:
        return _("from %(day)s on") % {"day": _short(first)}
    return _("%(first)s to %(last)s") % {"first": _short(first), "last": _short(last)}


def _short(day: date) -> str:
    return date_format(day, _("j M"))
