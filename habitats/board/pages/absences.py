"""Homes that are away today or soon: who covers, and where nobody does yet."""

from datetime import date, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.board.pages.parts import AWAY, TodayPart, TodayRow, first_and_number
from habitats.homes.models.absences import TOLD_BEFORE_DAYS, Absence


def away_part(day: date) -> TodayPart:
    """The first to go first; of homes in which animals live or not, as both may be asked."""
    until = day + timedelta(days=TOLD_BEFORE_DAYS)
    found = Absence.objects.not_over(day).filter(first_day__lte=until, home__closed_on=None)
    shown, number = first_and_number(found.select_related("home", "end"))
    return TodayPart(AWAY, _("Homes away"), [_row(one, day) for one in shown], number)


def _row(absence: Absence, day: date) -> TodayRow:
    home = absence.home
    return TodayRow(
        _("%(home)s: %(absence)s") % {"home": home, "absence": absence.words},
        reverse("home_page", args=[home.code]),
        _("Open home"),
        advice="" if absence.covered_by else _("Nobody is recorded to look after the animals."),
        is_wrong=absence.is_on(day) and not absence.covered_by,
    )
