"""What a person did in one go: a move, a joining, a departure, with every row that it changed.

So a slip is undone as what it was, and stays to be read. Each row that an act begins, ends or
appends is noted by itself (``listen``), also where one function calls another: the outermost names
the act. What was done before acts were noted has none, and cannot be undone.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Self

from django.db import models, transaction
from django.db.models.signals import post_save
from django.utils.translation import gettext_lazy

from habitats.common.happened import AppendOnly, Span, span_ended
from habitats.enclosures.models.enclosures import EnclosureEvent
from habitats.people.models.people import Person

_COMPANY = ("stay__group__memberships__animal", "membership__group__memberships__animal")


class ActQuerySet(models.QuerySet["Act"]):
    def standing(self) -> Self:
        """Those that nobody has undone."""
        return self.filter(undone__isnull=True)

    def of_animals(self, animals: Any) -> Self:
        return self._with(models.Q(membership__animal__in=animals), models.Q(animal__in=animals))

    def of_groups(self, groups: Any) -> Self:
        there = models.Q(membership__group__in=groups) | models.Q(stay__group__in=groups)
        return self._with(there)

    def of_enclosures(self, enclosures: Any) -> Self:
        return self._with(
            models.Q(stay__enclosure__in=enclosures) | models.Q(standing__enclosure__in=enclosures)
        )

    def _with(self, part: models.Q, itself: models.Q | None = None) -> Self:
        found = models.Exists(ActPart.objects.filter(part, act=models.OuterRef("pk")))
        return self.filter(found if itself is None else models.Q(found) | itself)

    def latest_first(self) -> Self:
        return self.order_by("-pk")

    def with_parts(self) -> Self:
        """With all that ``pages/acts.py`` tells of: so many queries, however many acts."""
        parts = ActPart.objects.order_by("pk").select_related(
            "membership__animal",
            "membership__group",
            "stay__group",
            "stay__enclosure",
            "standing__home",
            "standing__enclosure",
        )
        related = self.select_related("animal", "made_by", "undone__made_by")
        return related.prefetch_related(models.Prefetch("parts", parts.prefetch_related(*_COMPANY)))


class Act(AppendOnly):
    """``on`` is the day of which it tells. ``animal``: who came, left or is back; ``left_why`` of
    one that left. Of a readmission ``left_on`` and ``left_why`` are the departure that it ended.
    Everything else is told by its parts."""

    class Kind(models.TextChoices):
        INTAKE = "intake", gettext_lazy("Intake")
        DEPARTURE = "departure", gettext_lazy("Departure")
        READMISSION = "readmitted", gettext_lazy("Readmission")
        GROUP = "group", gettext_lazy("New group")
        JOIN = "join", gettext_lazy("Joined a group")
        PART = "part", gettext_lazy("Left a group")
        MOVE = "move", gettext_lazy("Group moved")
        LEAVE = "leave", gettext_lazy("Left an enclosure")
        STAND = "stand", gettext_lazy("Enclosure moved")

    kind = models.CharField(max_length=10, choices=Kind)
    on = models.DateField()
    animal = models.ForeignKey(
        "habitats.Animal", on_delete=models.PROTECT, null=True, related_name="acts"
    )
    left_on = models.DateField(null=True)
    left_why = models.CharField(max_length=10, blank=True)

    objects = ActQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.kind} on {self.on}"


class ActPart(models.Model):
    """One row that an act began or appended, or a span that it ended (not ``has_begun``)."""

    act = models.ForeignKey(Act, on_delete=models.CASCADE, related_name="parts")
    membership = models.ForeignKey(
        "habitats.Membership", on_delete=models.PROTECT, null=True, related_name="act_parts"
    )
    stay = models.ForeignKey(
        "habitats.Stay", on_delete=models.PROTECT, null=True, related_name="act_parts"
    )
    standing = models.ForeignKey(
        "habitats.Standing", on_delete=models.PROTECT, null=True, related_name="act_parts"
    )
    event = models.ForeignKey(
        EnclosureEvent, on_delete=models.PROTECT, null=True, related_name="act_parts"
    )
    has_begun = models.BooleanField()

    def __str__(self) -> str:
        return f"part of act {self.act_id}"

    @property
    def span(self) -> Span | None:
        return self.membership or self.stay or self.standing  # type: ignore[return-value]

    @classmethod
    def undone_spans(cls, name: str) -> "models.QuerySet[ActPart, Any]":
        """The keys of spans, such as memberships, that were begun by an act undone since."""
        undone = cls.objects.filter(has_begun=True, act__undone__isnull=False)
        return undone.filter(**{f"{name}__isnull": False}).values(name)


class Undone(AppendOnly):
    """An act is as if it had not been, and stays to be read: by whom, when and why."""

    act = models.OneToOneField(Act, on_delete=models.PROTECT, related_name="undone")
    why = models.CharField(max_length=200)

    class Meta:
        constraints = [
            models.CheckConstraint(name="undone_for_a_reason", condition=~models.Q(why="")),
        ]

    def __str__(self) -> str:
        return f"act {self.act_id} undone"


@dataclass
class _Recording:
    parts: list[ActPart] = field(default_factory=list)


_open: ContextVar[_Recording | None] = ContextVar("recording", default=None)
_watched: ContextVar[list[ActPart] | None] = ContextVar("watching", default=None)


@contextmanager
def watching() -> Iterator[list[ActPart]]:
    """All that is begun, ended or opened again inside, be it recorded as an act or not."""
    found: list[ActPart] = []
    token = _watched.set(found)
    try:
        yield found
    finally:
        _watched.reset(token)


@contextmanager
def recording(
    kind: Act.Kind,
    on: date,
    *,
    by: Person,
    animal: Any = None,
    left_on: date | None = None,
    left_why: str = "",
) -> Iterator[None]:
    """What is done inside is one act, in one transaction. Inside another act it is part of it.

    Without an animal, what changed nothing is no act: the same form sent twice.
    """
    with transaction.atomic():
        if _open.get() is not None:
            yield
            return
        mine = _Recording()
        token = _open.set(mine)
        try:
            yield
        finally:
            _open.reset(token)
        if mine.parts or animal is not None:
            act = Act.objects.create(
                kind=kind, on=on, animal=animal, left_on=left_on, left_why=left_why, made_by=by
            )
            for part in mine.parts:
                part.act = act
            ActPart.objects.bulk_create(mine.parts)


def _note(instance: models.Model, *, has_begun: bool) -> None:
    mine, watched = _open.get(), _watched.get()
    if mine is None and watched is None:
        return
    name = "event" if isinstance(instance, EnclosureEvent) else instance._meta.model_name
    part = ActPart(has_begun=has_begun, **{str(name): instance})
    if mine is not None:
        mine.parts.append(part)
    if watched is not None:
        watched.append(part)


def _made(sender: type[models.Model], instance: models.Model, created: bool, **_: Any) -> None:
    if created:
        _note(instance, has_begun=True)


def _ended(sender: type[models.Model], instance: models.Model, **_: Any) -> None:
    _note(instance, has_begun=False)


def listen(*spans: type[Span]) -> None:
    made: tuple[type[models.Model], ...] = (*spans, EnclosureEvent)
    for sender in made:
        post_save.connect(_made, sender=sender, dispatch_uid=f"act_made/{sender.__name__}")
    for span in spans:
        span_ended.connect(_ended, sender=span, dispatch_uid=f"act_ended/{span.__name__}")
