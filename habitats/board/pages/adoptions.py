"""Adoptions on Today, for coordinators: trials that end, and adopters to ask."""

from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import AdoptionEvent, trials_over, with_adoptions_names
from habitats.adoptions.models.follow_ups import AdoptionFollowUp
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import (
    ADOPTIONS,
    MOST_ROWS,
    TodayPart,
    TodayRow,
    numbered,
    with_number,
)
from habitats.common.written import given, written

_TRIALS_OVER = written(lambda: numbered(trials_over(given("day", date))))
_TO_ASK = written(
    lambda: numbered(
        with_adoptions_names(
            AdoptionFollowUp.objects.open().filter(on__lte=given("day", date)).soonest_first()
        )
    )
)


def adoptions_part(day: date) -> TodayPart:
    """What ended or is due longest comes first; trials before follow-ups."""
    trials, over = with_number(_TRIALS_OVER(day=day))
    asks, asked = with_number(_TO_ASK(day=day))
    rows = [*(_ended(one, day) for one in trials), *(_due(one, day) for one in asks)]
    link = reverse("adoptions")
    title = _("Adoptions and follow-ups")
    return TodayPart(ADOPTIONS, title, rows[:MOST_ROWS], over + asked, link, shown=3)


def _ended(trial: AdoptionEvent, day: date) -> TodayRow:
    link = reverse("adoption", args=[trial.adoption.code])
    when = since_words(trial.until, day) if trial.until else ""
    return TodayRow(str(trial.adoption), link, _("Decide"), _("the trial is over"), when)


def _due(one: AdoptionFollowUp, day: date) -> TodayRow:
    link = reverse("adoption_answer", args=[one.adoption.code, one.pk])
    return TodayRow(str(one.adoption), link, _("Ask"), _("follow-up"), since_words(one.on, day))
