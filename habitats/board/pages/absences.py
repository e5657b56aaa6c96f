"""Homes that are away: on Today where nobody covers or they are away now; else among what waits."""

from datetime import date, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from habitats.board.pages.day_words import span_words
from habitats.board.pages.parts import AWAY, FEW_ROWS, MOST_ROWS, Fold, TodayPart, TodayRow
from habitats.common.written import given, written
from habitats.homes.models.absences import TOLD_BEFORE_DAYS, Absence

_NOT_OVER = written(
    lambda: (
        Absence.objects.not_over(given("day", date))
        .filter(first_day__lte=given("until", date), home__closed_on=None)
        .select_related("home", "end")
    )
)


class AwayToday:
    """Of homes in which animals live or not, as both may be asked; the first to go first."""

    def __init__(self, day: date) -> None:
        until = day + timedelta(days=TOLD_BEFORE_DAYS)
        told: list[TodayRow] = []
        waiting: list[TodayRow] = []
        for one in _NOT_OVER(day=day, until=until):
            (waiting if one.covered_by and not one.is_on(day) else told).append(_row(one, day))
        self.part = TodayPart(AWAY, _("Homes away"), told[:MOST_ROWS], len(told))
        self.folds = [self._fold(waiting)] if waiting else []

    def _fold(self, rows: list[TodayRow]) -> Fold:
        words = ngettext("%(number)d home away soon", "%(number)d homes away soon", len(rows))
        told = words % {"number": len(rows)}
        return Fold(told, _("Homes away"), rows[:FEW_ROWS], len(rows), reverse("homes"))


def _row(absence: Absence, day: date) -> TodayRow:
    home = absence.home
    covers = (
        _("%(name)s covers") % {"name": absence.covered_by}
        if absence.covered_by
        else _("no cover recorded")
    )
    return TodayRow(
        home.name,
        reverse("home_page", args=[home.code]),
        pgettext("a page", "Open"),
        covers,
        span_words(absence.first_day, absence.last),
        is_wrong=absence.is_on(day) and not absence.covered_by,
    )
