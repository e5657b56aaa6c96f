"""What matters now of an animal's health: treatments, today's doses, what was missed, re-checks."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from habitats.animals.models.animals import Animal
from habitats.health.models.entries import HealthEntry
from habitats.health.models.seen import MISSED_DAYS
from habitats.health.models.treatments import Dose, Treatment, know_days_away
from habitats.health.pages.dose_rows import CAUTION, LAPSED, MISSED, TOO_LATE, DoseRow, rows_of
from habitats.welfare.doses import DoseState


class HealthInShort(NamedTuple):
    """``running``: treatments of which doses are due today or later. ``lapsed``: a departure ended
    them, and nobody has said yet what the vet wants now."""

    running: Sequence[Treatment]
    today: Sequence[DoseRow]
    missed: Sequence[DoseRow]
    to_follow: Sequence[HealthEntry]
    lapsed: Sequence[Treatment] = ()

    @property
    def lapsed_caution(self) -> str:
        return str(LAPSED)

    @property
    def caution(self) -> str:
        return str(CAUTION)

    @property
    def has_missed(self) -> bool:
        """Or late: what to do about it is asked of a vet in both cases."""
        late = (DoseState.LATE, DoseState.TOO_LATE)
        return bool(self.missed) or any(row.state in late for row in self.today)

    @property
    def missed_caution(self) -> str:
        is_too_late = any(row.state is DoseState.TOO_LATE for row in self.today)
        return f"{TOO_LATE} {MISSED}" if is_too_late else str(MISSED)

    @property
    def has_any(self) -> bool:
        return bool(self.running or self.missed or self.to_follow or self.lapsed)


def health_in_short(animal: Animal, today: date, now: datetime) -> HealthInShort:
    """However much there is: six queries at most."""
    since = today - timedelta(days=MISSED_DAYS)
    treatments = list(
        animal.treatments.running(since, date.max).select_related("stop", "animal").latest_first()
    )
    know_days_away(treatments)
    answers = Dose.objects.filter(treatment__in=treatments).answers(since)
    rows = rows_of(treatments, answers, since, today, now)
    return HealthInShort(
        [one for one in treatments if not one.is_over],
        [row for row in rows if row.due.day == today or row.can_be_ticked],
        [row for row in rows if row.state is DoseState.NO_ENTRY],
        list(animal.health_entries.to_follow().order_by("again_on", "pk")),
        list(animal.treatments.lapsed(today).latest_first()),
    )
