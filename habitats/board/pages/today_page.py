"""What a person sees on Today, by their roles: parts in order, then what can wait."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import cast

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.board.models.tasks import dues_in_enclosures
from habitats.board.pages.absences import AwayToday
from habitats.board.pages.adoptions import adoptions_part
from habitats.board.pages.day_words import since_words
from habitats.board.pages.doses import DosesToday
from habitats.board.pages.folds import KINDS, folds_of, next_day, slices_of
from habitats.board.pages.linens import CHANGES_NOW, linens_part
from habitats.board.pages.mended import mended_part
from habitats.board.pages.parts import (
    FAULTS,
    MOST_ROWS,
    Fold,
    TodayPart,
    TodayRow,
    first_and_number,
    in_order,
    today_asked,
)
from habitats.board.pages.unhoused import unhoused_part
from habitats.board.pages.urgent import just_due, needs_action, place_words, slices_now
from habitats.faults.models.faults import Fault
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import CHANGE
from habitats.readings.models.first_dues import NO_DUES, DueSlice, FirstDues, first_dues
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.upkeep.urgency import FaultUrgency

COORDINATOR, BUILDER, FOSTER, LAUNDRY = Person.Role


class TodayPage:
    """``parts`` and ``folds`` of one person on one day. ``any``: whether an enclosure is seen."""

    def __init__(self, person: Person, day: date) -> None:
        self._person, self._day = person, day
        self._first: Mapping[str, FirstDues] = {}
        self._doses: DosesToday | None = None
        self._away: AwayToday | None = None
        self.parts = in_order(self._parts())
        self.folds: list[Fold] = []
        self.any = True
        if person.has_role(COORDINATOR, FOSTER):
            self.folds = folds_of(person, day, self._first)
            self.folds += self._away.folds if self._away else []
            self.any = bool(self.parts) or self._seen().exists()

    @property
    def is_free(self) -> bool:
        """Whether nothing is due."""
        return not self.parts and not self.folds

    @property
    def free_until(self) -> date | None:
        """The day of the next due thing that this person sees; None: none is known."""
        days = [next_day(self._day, dues_in_enclosures(self._person, self._day))]
        if self._doses:
            days.append(self._doses.next_day)
        return min((one for one in days if one), default=None)

    def _parts(self) -> Iterator[TodayPart]:
        """Of all the roles of this person, each once."""
        person, day = self._person, self._day
        if person.has_role(COORDINATOR, FOSTER):
            yield from self._of_animals()
        if person.has_role(FOSTER):
            yield mended_part(person, day)
        if person.has_role(COORDINATOR):
            yield unhoused_part(day)
            yield adoptions_part(day)
            self._away = AwayToday(day)
            yield self._away.part
        elif person.has_role(BUILDER):
            yield self._faults()
        if person.has_role(COORDINATOR, BUILDER):
            yield from self._of_builds()
        if person.has_role(COORDINATOR, FOSTER, LAUNDRY):
            yield linens_part(person, day, self._first.get(CHANGES_NOW, NO_DUES).rows)

    def _of_animals(self) -> Iterator[TodayPart]:
        # Asked first: it makes the readings of the day, with what is due.
        Reading.objects.make_missing(self._day)
        self._first = first_dues(self._person, self._slices())
        yield needs_action(self._person, self._day, self._first)
        yield just_due(self._person, self._day, self._first)
        self._doses = DosesToday(self._person, self._day, timezone.now())
        yield self._doses.part

    def _slices(self) -> dict[str, DueSlice]:
        """A foster has changes of linens among the linens, not with what can wait."""
        sees_all = self._person.is_coordinator
        kinds = [kind for kind in KINDS if sees_all or kind != CHANGE]
        slices = {**slices_now(self._day), **slices_of(kinds, self._day)}
        if self._person.has_role(FOSTER):
            changes = KINDS[CHANGE].slice(self._day, MOST_ROWS)
            slices[CHANGES_NOW] = changes._replace(is_own=True)
        return slices

    def _seen(self) -> ReadingQuerySet:
        readings = Reading.objects.filter(day=self._day)
        return (
            readings if self._person.is_coordinator else readings.filter(home__people=self._person)
        )

    def _of_builds(self) -> Iterator[TodayPart]:
        for _receiver, parts in today_asked.send(Person, person=self._person, day=self._day):
            yield from cast(list[TodayPart], parts)

    def _faults(self) -> TodayPart:
        found = Fault.objects.open().visible_to(self._person, self._day).urgent_first()
        if self._person.has_role(FOSTER):
            # An unsafe one at home is told among what needs action now.
            told = self._seen().filter(urgency=Urgency.WRONG)
            at_home = Fault.objects.unsafe().filter(enclosure__reading__in=told)
            found = found.exclude(pk__in=at_home.values("pk"))
        shown, total = first_and_number(found.select_related("enclosure__reading__home"))
        rows = [_fault_row(one, self._day) for one in shown]
        title, link = _("Faults to mend"), reverse("faults")
        # A foster who builds mends elsewhere, and looks after the animals at home first.
        is_of_others = self._person.has_role(FOSTER)
        return TodayPart(FAULTS, title, rows, total, link, shown=5, is_of_others=is_of_others)


def _fault_row(fault: Fault, day: date) -> TodayRow:
    reading = getattr(fault.enclosure, "reading", None)
    home = reading.home if reading else None
    urgency = FaultUrgency(fault.urgency)
    return TodayRow(
        _("%(urgency)s: %(fault)s") % {"urgency": urgency.words, "fault": fault},
        reverse("fault", args=[fault.pk]),
        _("Mend"),
        place_words(fault.enclosure.label, home),
        since_words(fault.on, day),
        is_wrong=fault.is_unsafe,
    )
