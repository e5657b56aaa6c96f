"""Days on which the people of a home are away, and who looks after its animals then."""

import uuid
from collections.abc import Collection, Mapping
from datetime import date, timedelta
from typing import Any, Self

from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.common.days import in_short
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.common.written import given, given_keys, written
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.people.models.written_names import PersonNameField

LONGEST_COVER = 60
# So early it is told, where animals are about to move in or the day is looked at.
TOLD_BEFORE_DAYS = 14


class AbsenceQuerySet(models.QuerySet["Absence"]):
    def not_over(self, day: date) -> Self:
        """Those that go on after this day, are on it, or are to come; none that came to nothing."""
        is_to_come = models.Q(last_day__isnull=True) | models.Q(last_day__gte=day)
        goes_on = models.Q(end__back_on__gt=models.F("first_day")) & models.Q(end__back_on__gt=day)
        found = self.filter(is_to_come, models.Q(end__isnull=True) | goes_on)
        return found.select_related("end").order_by("first_day", "pk")

    def on(self, day: date) -> Self:
        return self.not_over(day).filter(first_day__lte=day)

    def about(self, first: date, last: date | None) -> Self:
        """Those that share a day with this span."""
        found = self.not_over(first)
        return found.filter(first_day__lte=last) if last else found

    def by_home(self, homes: Collection[int] | None, day: date) -> Mapping[int, "Absence"]:
        """Of these homes, or of all, the first that is on this day or soon after it."""
        until = day + timedelta(days=TOLD_BEFORE_DAYS)
        of_all = homes is None
        found = (
            _SOON(day=day, until=until) if of_all else _SOON_OF(homes=homes, day=day, until=until)
        )
        first: dict[int, Absence] = {}
        for one in found:
            first.setdefault(one.home_id, one)
        return first

    def record(
        self, home: Home, *, by: Person, idempotency_key: uuid.UUID | None, **facts: Any
    ) -> "Absence":
        """The same key again changes nothing. Who moves animals there meanwhile waits, and is told
        of it."""
        with transaction.atomic():
            Home.objects.select_for_update(no_key=True).get(pk=home.pk)
            return get_or_make(self, idempotency_key, home=home, made_by=by, **facts)


class Absence(AppendOnly):
    """Both days are days away; ``last_day`` None: nobody knows yet.

    ``covered_by``: who looks after the animals; empty: nobody is told. It is never changed: an
    ``AbsenceEnd`` says that it was shorter, or came to nothing.
    """

    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="absences")
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)
    covered_by = PersonNameField(max_length=LONGEST_COVER, blank=True)

    objects = AbsenceQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["home", "first_day"], name="absences_of_home")]
        constraints = [
            models.CheckConstraint(
                name="absence_ends_after_it_begins",
                condition=models.Q(last_day__isnull=True)
                | models.Q(last_day__gte=models.F("first_day")),
            ),
        ]

    def __str__(self) -> str:
        return self.words

    @property
    def last(self) -> date | None:
        """The last day away, as far as is known."""
        if not hasattr(self, "end"):
            return self.last_day
        before = self.end.back_on - timedelta(days=1)
        return min(before, self.last_day) if self.last_day else before

    def is_on(self, day: date) -> bool:
        return self.first_day <= day and (self.last is None or self.last >= day)

    @property
    def words(self) -> str:
        """As “away from 1 Dec 2026 to 15 Dec 2026, Tobi covers”."""
        values = {
            "first": in_short(self.first_day),
            "last": in_short(self.last) if self.last else "",
            "person": self.covered_by,
        }
        if self.last is None:
            known = _("away from %(first)s on, %(person)s covers")
            return (known if self.covered_by else _("away from %(first)s on")) % values
        known = _("away from %(first)s to %(last)s, %(person)s covers")
        return (known if self.covered_by else _("away from %(first)s to %(last)s")) % values

    def end_on(self, back_on: date, *, by: Person, idempotency_key: uuid.UUID | None) -> None:
        """Ended once; a second end changes nothing."""
        key = idempotency_key or uuid.uuid4()
        facts = {"back_on": back_on, "made_by": by, "idempotency_key": key}
        AbsenceEnd.objects.get_or_create(absence=self, defaults=facts)


class AbsenceEnd(AppendOnly):
    """They are back on this day; on the first day away or earlier: they did not go at all."""

    absence = models.OneToOneField(Absence, on_delete=models.PROTECT, related_name="end")
    back_on = models.DateField()

    def __str__(self) -> str:
        return f"absence {self.absence_id} ended on {self.back_on}"


def _soon() -> AbsenceQuerySet:
    return Absence.objects.not_over(given("day", date)).filter(first_day__lte=given("until", date))


_SOON = written(_soon)
_SOON_OF = written(lambda: _soon().filter(home__in=given_keys("homes")))
