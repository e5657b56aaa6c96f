"""Adoptions on Today, for coordinators: trials that end, and adopters to ask."""

from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import Adoption
from habitats.adoptions.models.follow_ups import AdoptionFollowUp
from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import (
    ADOPTIONS,
    MOST_ROWS,
    TodayPart,
    TodayRow,
    total_of,
)


def adoptions_part(day: date) -> TodayPart:
    """What ended or is due longest comes first; trials before follow-ups."""
    trials = Adoption.objects.trials_over(day)
    due = AdoptionFollowUp.objects.open().filter(on__lte=day).soonest_first()
    asks = due.select_related("adoption__adopter").prefetch_related("adoption__animals__animal")
    ended_rows = [_ended(one, day) for one in trials.with_names()[:MOST_ROWS]]
    due_rows = [_due(one, day) for one in asks[:MOST_ROWS]]
    total = total_of(ended_rows, trials) + total_of(due_rows, due)
    rows = [*ended_rows, *due_rows][:MOST_ROWS]
    return TodayPart(ADOPTIONS, _("Adoptions"), rows, total, reverse("adoptions"), shown=3)


def _ended(one: Adoption, day: date) -> TodayRow:
    ends = vars(one)["trial_ends"]
    link = reverse("adoption", args=[one.code])
    return TodayRow(
        str(one), link, _("Decide"), _("the trial is over"), since_words(ends, day), is_wrong=False
    )


def _due(one: AdoptionFollowUp, day: date) -> TodayRow:
    link = reverse("adoption_answer", args=[one.adoption.code, one.pk])
    return TodayRow(str(one.adoption), link, _("Ask"), _("follow-up"), since_words(one.on, day))
