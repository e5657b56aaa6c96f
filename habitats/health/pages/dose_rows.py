"""Doses of treatments as rows: when each is due, how it stands, and what was recorded of it."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import NamedTuple

from django.utils.formats import time_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common import days
from habitats.health.models.doses import standing_doses
from habitats.health.models.treatments import Dose, Treatment
from habitats.welfare.doses import CAN_BE_TICKED, DoseState, DueDose

STATE_WORDS = {
    DoseState.COMING: gettext_lazy("later"),
    DoseState.DUE: gettext_lazy("due now"),
    DoseState.LATE: gettext_lazy("late: no entry yet"),
    DoseState.TOO_LATE: gettext_lazy("too late: the next dose is due"),
    DoseState.NO_ENTRY: gettext_lazy("no entry"),
    DoseState.GIVEN: gettext_lazy("given"),
    DoseState.NOT_GIVEN: gettext_lazy("not given"),
}
# Beside each treatment. Common practice, no source; it defers to a vet.
CAUTION = gettext_lazy(
    "Given as your vet wrote. In doubt, or if an animal does not eat: call a vet. A guinea pig or "
    "rabbit that does not eat is an emergency."
)
MISSED = gettext_lazy("A dose was missed? Ask your vet before you give anything in its place.")
TOO_LATE = gettext_lazy(
    "Never give two doses at once. Record the late one as not given, and ask your vet."
)
LAPSED = gettext_lazy(
    "Treatments end with a departure, and nothing is due from them. Ask your vet what still "
    "applies: record it again, or stop it."
)
# Of a dose that is due no longer, such as after a stop.
AS_RECORDED = {True: DoseState.GIVEN, False: DoseState.NOT_GIVEN, None: DoseState.NO_ENTRY}
WRONG = (DoseState.LATE, DoseState.TOO_LATE, DoseState.NO_ENTRY, DoseState.NOT_GIVEN)


class DoseRow(NamedTuple):
    treatment: Treatment
    due: DueDose
    state: DoseState
    entries: Sequence[Dose] = ()

    @property
    def is_wrong(self) -> bool:
        return self.state in WRONG

    @property
    def is_open(self) -> bool:
        return self.state.is_open

    @property
    def can_be_ticked(self) -> bool:
        """With one tap, which says that it was given just now."""
        return self.state in CAN_BE_TICKED

    @property
    def state_words(self) -> str:
        return str(STATE_WORDS[self.state])

    @property
    def words(self) -> str:
        """As “10 Mar, 08:00”."""
        return dose_words(self.due)


def dose_words(due: DueDose) -> str:
    values = {"day": days.of_year(due.day), "time": time_words(due)}
    return _("%(day)s, %(time)s") % values


def time_words(due: DueDose) -> str:
    return time_format(due.time, "H:i")


def rows_of(
    treatments: Iterable[Treatment],
    answers: Mapping[int, Mapping[DueDose, bool | None]],
    since: date,
    until: date,
    now: datetime,
) -> list[DoseRow]:
    """The doses of these days, in the order of their times."""
    found = [
        DoseRow(one, *standing)
        for one in treatments
        for standing in standing_doses(one, answers.get(one.pk, {}), since, until, now)
    ]
    return sorted(found, key=lambda row: (row.due, row.treatment.pk))


def history_of(treatment: Treatment, since: date, until: date, now: datetime) -> list[DoseRow]:
    """The doses of these days, the latest first, each with all that was recorded of it."""
    recorded: dict[DueDose, list[Dose]] = {}
    rows = treatment.doses.filter(due_day__range=(since, until)).select_related("made_by")
    for one in rows.in_time():
        recorded.setdefault(one.due, []).append(one)
    answers = {due: Dose.IS_GIVEN[some[-1].outcome] for due, some in recorded.items()}
    counted = {
        due: Dose.IS_GIVEN[one.outcome]
        for due, some in recorded.items()
        for one in some
        if one.made_at <= now
    }
    found = rows_of([treatment], {treatment.pk: counted}, since, until, now)
    # What was recorded stays, also where a stop left the dose out afterwards.
    due = {row.due for row in found}
    found += [DoseRow(treatment, one, AS_RECORDED[answers[one]]) for one in recorded.keys() - due]
    return [
        row._replace(entries=recorded.get(row.due, ()))
        for row in sorted(found, key=lambda row: row.due, reverse=True)
    ]
