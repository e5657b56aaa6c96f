"""Doses of the day: those that the person gives, one tap each, and those of others that went wrong.

Coordinators are told of every dose that is late, without an entry or not given; fosters of the
same in their homes. What was missed is told, with the word to ask a vet, and no more.
"""

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext, pgettext

from habitats.board.pages.day_words import since_words
from habitats.board.pages.parts import DOSES, MOST_ROWS, TodayPart, TodayRow
from habitats.health.models.doses import StandingDose
from habitats.health.models.seen import SeenTreatment, SeenTreatments
from habitats.health.pages.dose_rows import CAUTION, LAPSED, MISSED, TOO_LATE, time_words
from habitats.people.models.people import Person
from habitats.welfare.doses import CAN_BE_TICKED, DoseState

ROWS_SHOWN = 8
AHEAD_DAYS = 31  # every dose that comes again is due in these
NOT_GIVEN_DAYS = 1  # so many days a dose that was not given is told

_LATE = {
    DoseState.LATE: gettext_lazy("%(time)s, late"),
    DoseState.TOO_LATE: gettext_lazy("%(time)s, too late: the next dose is due"),
}
LATE = tuple(_LATE)


class _Of(NamedTuple):
    seen: SeenTreatment
    dose: StandingDose


class DosesToday:
    """``next_day``: the first day to come on which the person gives a dose."""

    def __init__(self, person: Person, day: date, now: datetime) -> None:
        self._is_coordinator, self._day = person.is_coordinator, day
        treatments = SeenTreatments(person, day, AHEAD_DAYS)
        self._lapsed = treatments.lapsed
        found = [_Of(*one) for one in treatments.doses(now)]
        ahead = [one.dose.due.day for one in found if one.seen.is_mine and one.dose.due.day > day]
        self.next_day = min(ahead, default=None)
        self.part = self._part([one for one in found if one.dose.due.day <= day])

    def _part(self, found: Sequence[_Of]) -> TodayPart:
        lapsed = [self._ended(one) for one in self._lapsed]
        rows = [*self._now(found), *lapsed, *self._wrong(found), *self._coming(found)]
        # Who only hears of them reads the first where they lead.
        cautions = [str(CAUTION)] if any(one.seen.is_mine for one in found) else []
        states = {one.dose.state for one in found}
        if DoseState.TOO_LATE in states:
            cautions.append(str(TOO_LATE))
        if not states.isdisjoint((*LATE, DoseState.NO_ENTRY)):
            cautions.append(str(MISSED))
        if lapsed:
            cautions.append(str(LAPSED))
        caution = " ".join(cautions)
        title, shown = _("Doses"), rows[:MOST_ROWS]
        return TodayPart(DOSES, title, shown, len(rows), shown=ROWS_SHOWN, caution=caution)

    def _now(self, found: Sequence[_Of]) -> Iterator[TodayRow]:
        """What is late or due of one's own, a row each; of others what is late, by treatment."""
        for seen, dose in found:
            if seen.is_mine and dose.state in (*LATE, DoseState.DUE):
                yield self._row(seen, dose)
        heard: dict[int, list[_Of]] = {}
        for one in found:
            if not one.seen.is_mine and one.dose.state in LATE:
                heard.setdefault(one.seen.treatment.pk, []).append(one)
        for late in heard.values():
            yield self._heard(late)

    def _coming(self, found: Sequence[_Of]) -> Iterator[TodayRow]:
        for seen, dose in found:
            if seen.is_mine and dose.state is DoseState.COMING:
                yield self._row(seen, dose)

    def _row(self, seen: SeenTreatment, dose: StandingDose) -> TodayRow:
        written, at = seen.treatment, time_words(dose.due)
        key = (written.animal.code, written.pk, dose.due.code)
        record = f"{reverse('record_dose', args=key)}?outcome=not+given"
        words = _("Not given")
        can_be_ticked = dose.state in CAN_BE_TICKED
        if not (can_be_ticked or dose.state is DoseState.TOO_LATE):
            record, words = _page_of(seen), pgettext("a page", "Open")
        return TodayRow(
            _what(seen),
            record,
            words,
            self._where(seen),
            _late_words(dose) if dose.state in LATE else at,
            is_wrong=dose.state in LATE,
            tick=reverse("give_dose", args=key) if can_be_ticked else "",
            tick_words=_("Given") if can_be_ticked else "",
        )

    def _heard(self, late: Sequence[_Of]) -> TodayRow:
        """Of one treatment, whose doses another gives."""
        seen = late[0].seen
        return TodayRow(
            _short(seen),
            _page_of(seen),
            pgettext("a page", "Open"),
            self._where(seen),
            "; ".join(_late_words(one.dose) for one in late),
            is_wrong=True,
        )

    def _wrong(self, found: Sequence[_Of]) -> Iterator[TodayRow]:
        """Of each treatment, how many doses have no entry or were not given."""
        lately = self._day - timedelta(days=NOT_GIVEN_DAYS)
        seen_ones = {one.seen.treatment.pk: one.seen for one in found}
        for key, seen in seen_ones.items():
            doses = [one.dose for one in found if one.seen.treatment.pk == key]
            missing = [one for one in doses if one.state is DoseState.NO_ENTRY]
            if missing:
                words = ngettext(
                    "%(what)s: %(number)d dose without an entry",
                    "%(what)s: %(number)d doses without an entry",
                    len(missing),
                )
                yield self._told(seen, words, missing)
            # Who left it out knows.
            left_out = (
                []
                if seen.is_mine and not self._is_coordinator
                else [
                    one
                    for one in doses
                    if one.state is DoseState.NOT_GIVEN and one.due.day >= lately
                ]
            )
            if left_out:
                words = ngettext(
                    "%(what)s: %(number)d dose not given",
                    "%(what)s: %(number)d doses not given",
                    len(left_out),
                )
                yield self._told(seen, words, left_out)

    def _told(self, seen: SeenTreatment, words: str, doses: Sequence[StandingDose]) -> TodayRow:
        return TodayRow(
            words % {"what": _short(seen), "number": len(doses)},
            _page_of(seen),
            pgettext("a page", "Open"),
            self._where(seen),
            since_words(doses[0].due.day, self._day),
            is_wrong=True,
        )

    def _ended(self, seen: SeenTreatment) -> TodayRow:
        return TodayRow(
            _("%(what)s: ended with the departure") % {"what": _short(seen)},
            _page_of(seen),
            pgettext("a page", "Open"),
            self._where(seen),
            is_wrong=True,
        )

    def _where(self, seen: SeenTreatment) -> str:
        if not self._is_coordinator:
            return ""
        if seen.adopter:
            return _("on trial with %(adopter)s") % {"adopter": seen.adopter}
        return seen.home or _("in no enclosure")


def _late_words(dose: StandingDose) -> str:
    return str(_LATE[dose.state]) % {"time": time_words(dose.due)}


def _page_of(seen: SeenTreatment) -> str:
    return reverse("treatment", args=[seen.treatment.animal.code, seen.treatment.pk])


def _short(seen: SeenTreatment) -> str:
    return _("%(animal)s, %(drug)s") % {
        "animal": seen.treatment.animal,
        "drug": seen.treatment.drug,
    }


def _what(seen: SeenTreatment) -> str:
    written = seen.treatment
    return _("%(animal)s: %(drug)s, %(amount)s, %(how)s") % {
        "animal": written.animal,
        "drug": written.drug,
        "amount": written.amount,
        "how": written.how,
    }
