"""The doses of a treatment with how they stand, in the rescue's time zone."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import NamedTuple

from django.utils import timezone

from habitats.health.models.treatments import Treatment
from habitats.welfare.doses import DoseState, DueDose, state_of


class StandingDose(NamedTuple):
    due: DueDose
    state: DoseState

    @property
    def moment(self) -> datetime:
        return self.due.moment(timezone.get_current_timezone())


def standing_doses(
    treatment: Treatment,
    answers: Mapping[DueDose, bool | None],
    since: date,
    until: date,
    now: datetime,
) -> Iterator[StandingDose]:
    """Those of these days. ``answers``: whether each was given, as far as it was recorded."""
    zone = timezone.get_current_timezone()
    for planned in treatment.plan.planned(since, until, zone):
        yield StandingDose(planned.due, state_of(planned, answers, now, zone))
