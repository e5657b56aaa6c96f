"""Enclosures: designs as built, what state they are in, what they are made of."""

import uuid
from datetime import date, datetime, timedelta
from itertools import takewhile
from typing import NamedTuple, Self

from django.conf import settings
from django.db import models
from django.dispatch import Signal
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from habitats.common.codes import CODE_LENGTH, LONGEST_OWN_ID
from habitats.common.happened import AppendOnly, SpanQuerySet
from habitats.common.idempotency import Idempotent, get_or_make
from habitats.common.written import given, written
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of_standing
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.structure.structure import Structure

# Sent when an enclosure stands as a structure from a day on, inside the transaction that says so:
# what goes wrong in a receiver undoes both. Gives ``enclosure``, ``structure``, ``on``, ``by`` and
# the key of what was done.
stands_as = Signal()


class EnclosureState(models.TextChoices):
    """What may be said of an enclosure. An occupied one that is sound is in use."""

    PLANNED = "planned", _("Planned")
    BUILDING = "building", _("Building")
    STANDING = "standing", _("Standing")
    IN_USE = "in use", _("In use")
    NEEDS_REPAIR = "repair", _("Needs repair")
    RETIRED = "retired", _("Retired")

    @property
    def in_a_sentence(self) -> str:
        """As in “the enclosure is …”."""
        return str(_IN_A_SENTENCE[self])


_IN_A_SENTENCE = {
    EnclosureState.PLANNED: pgettext_lazy("in a sentence", "planned"),
    EnclosureState.BUILDING: pgettext_lazy("in a sentence", "being built"),
    EnclosureState.STANDING: pgettext_lazy("in a sentence", "standing"),
    EnclosureState.IN_USE: pgettext_lazy("in a sentence", "in use"),
    EnclosureState.NEEDS_REPAIR: pgettext_lazy("in a sentence", "in need of repair"),
    EnclosureState.RETIRED: pgettext_lazy("in a sentence", "retired"),
}


A_MINUTE = timedelta(minutes=1)

# Where a group may move in; one that needs repair takes nobody new.
TAKES_A_GROUP = (EnclosureState.STANDING, EnclosureState.IN_USE)


class EnclosureQuerySet(models.QuerySet["Enclosure"]):
    def visible_to(self, person: Person, today: date) -> Self:
        """Coordinators and builders see all enclosures, fosters those in their home today."""
        sees_all = person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER)
        return self if sees_all else self.cared_for_by(person, today)

    def cared_for_by(self, person: Person, today: date) -> Self:
        """Those whose animals the person may see: all for coordinators, a foster's own."""
        if person.is_coordinator:
            return self
        if not person.has_role(Person.Role.FOSTER):
            return self.none()
        # One row each: standings do not overlap, and a person is in a home once.
        there = SpanQuerySet.covers(today, "standings__")
        return self.filter(there, standings__home__people=person)

    def with_state(self) -> Self:
        """Adds ``state``: what was last said of it; planned if nothing was."""
        last = EnclosureEvent.objects.filter(enclosure=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(
            state=models.functions.Coalesce(
                models.Subquery(last.values("state")[:1]),
                models.Value(EnclosureState.PLANNED.value),
            )
        )

    def live(self) -> Self:
        return self.with_state().exclude(state=EnclosureState.RETIRED)

    def with_shape(self) -> Self:
        """With the revision it was built from, so that ``shape()`` asks nothing more."""
        return self.select_related("revision")

    def in_state(self, state: str) -> Self:
        return self.with_state().filter(state=state)

    def named_like(self, words: str) -> Self:
        """The label holds the words, or the code or the own number is the words."""
        numbered = models.Q(code=words.upper()) | models.Q(own_id=words)
        return self.filter(models.Q(label__icontains=words) | numbered)

    def by_label(self) -> Self:
        return self.order_by("label", "pk")


class Enclosure(Idempotent):
    """A design as built. ``label`` is what stands on it and what people call it.

    ``own_id`` is the rescue's own number for it, empty if it has none.
    """

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    own_id = models.CharField(_("your own number"), max_length=LONGEST_OWN_ID, blank=True)
    label = models.CharField(max_length=60)
    revision = models.ForeignKey(
        DesignRevision, on_delete=models.PROTECT, related_name="enclosures"
    )
    notes = models.TextField(max_length=2000, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = EnclosureQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["own_id"],
                condition=~models.Q(own_id=""),
                name="enclosure_own_id_is_its_own",
            ),
            models.CheckConstraint(name="enclosure_has_a_label", condition=~models.Q(label="")),
        ]

    def __str__(self) -> str:
        return self.label

    def shape(self) -> Shape:
        """What was built, as a value. Load with ``with_shape()`` where many are shown."""
        return self.revision.shape()

    def structure(self) -> Structure | None:
        """What was built, raised; None only where limits were narrowed since."""
        return structure_of_standing(self.shape())

    def state_now(self) -> str:
        """What was last said of it; for many enclosures use ``with_state()``."""
        return _LAST_STATE.first(enclosure=self) or EnclosureState.PLANNED

    def ready_since(self) -> date | None:
        """Since when a group could move in, if that is recorded; None if none can now."""
        said = self.events.order_by("-pk").values_list("state", "on")
        ready = [on for _state, on in takewhile(lambda one: one[0] in TAKES_A_GROUP, said)]
        return min(ready, default=None)

    def set_state(
        self,
        state: str,
        *,
        on: date,
        by: Person,
        note: str = "",
        work: "WorkTimes | None" = None,
        idempotency_key: uuid.UUID | None = None,
    ) -> "EnclosureEvent":
        """Append what state it is in. The same key again changes nothing."""
        return get_or_make(
            EnclosureEvent.objects,
            idempotency_key,
            enclosure=self,
            state=state,
            on=on,
            note=note,
            made_by=by,
            **(work._asdict() if work else {}),
        )


class WorkTimes(NamedTuple):
    """When the work began and ended that a state is the end of, each if it was told.

    ``table_minutes`` is what the table of times says of it, None where nobody is to learn from it.
    """

    begun_at: datetime | None = None
    ended_at: datetime | None = None
    table_minutes: int | None = None


class EnclosureEvent(AppendOnly):
    """From this day on the enclosure is in this state.

    ``begun_at``, ``ended_at`` and ``table_minutes`` as ``WorkTimes`` has them; rows of earlier
    versions have the day alone.
    """

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="events")
    state = models.CharField(max_length=10, choices=EnclosureState)
    on = models.DateField()
    note = models.CharField(max_length=300, blank=True)
    begun_at = models.DateTimeField(null=True, editable=False)
    ended_at = models.DateTimeField(null=True, editable=False)
    table_minutes = models.PositiveSmallIntegerField(null=True, editable=False)

    class Meta:
        indexes = [models.Index(fields=["enclosure", "-id"], name="event_latest")]
        constraints = [
            models.CheckConstraint(
                name="enclosure_state_is_known",
                condition=models.Q(state__in=[one.value for one in EnclosureState]),
            ),
        ]

    def __str__(self) -> str:
        return f"enclosure {self.enclosure_id} {self.state}"

    @property
    def minutes_used(self) -> int | None:
        """How long the work took; None where that was not told."""
        if self.begun_at is None or self.ended_at is None:
            return None
        return max(1, round((self.ended_at - self.begun_at) / A_MINUTE))


_LAST_STATE = written(
    lambda: (
        EnclosureEvent.objects.filter(enclosure=given("enclosure", Enclosure))
        .order_by("-pk")
        .values_list("state", flat=True)[:1]
    )
)
