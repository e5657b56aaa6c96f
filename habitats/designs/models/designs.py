"""Designs and their revisions: what was drawn, step by step.

A revision is appended and never edited. A design points to the revision it stands at; undo and
redo move that pointer along the chain. After a change the branch that was undone is out of reach,
though its rows stay.
"""

import uuid
from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.db.models.functions import Lower
from django.utils import timezone

from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.idempotency import Idempotent, made_before
from habitats.designs.models.structures import faults_of, shape_in
from habitats.people.models.people import Person, WorkshopQuerySet
from habitats.structure.design import Design as Shape
from habitats.structure.design import Species
from habitats.structure.faults import FileFault
from habitats.structure.read import LONGEST_NAME, design_from, document_of


class Superseded(Exception):
    """The design has moved on since it was loaded, so nothing was changed."""


class DesignQuerySet(WorkshopQuerySet["Design"]):
    def drawable_by(self, person: Person) -> Self:
        """What the person may change: coordinators all that is listed and not archived."""
        return self.listed().live() if person.is_coordinator else self.none()

    def listed(self) -> Self:
        """Without the drawings of single enclosures, which stay with their enclosure."""
        return self.filter(enclosure__isnull=True)

    def live(self) -> Self:
        return self.filter(archived_at__isnull=True)

    def archived(self) -> Self:
        return self.filter(archived_at__isnull=False)

    def sound(self) -> Self:
        """Those that can be made; the others are drafts."""
        return self.filter(current__is_sound=True)

    def drafts(self) -> Self:
        return self.filter(current__is_sound=False)

    def named_like(self, words: str) -> Self:
        """Name holds the words, or the code is the words."""
        return self.filter(models.Q(name__icontains=words) | models.Q(code=words.upper()))

    def for_species(self, species: str) -> Self:
        return self.filter(species=species)

    def with_revision(self) -> Self:
        """With the revision each stands at, so that ``shape()`` asks nothing more."""
        return self.select_related("current", "current__sound_before")

    def by_name(self) -> Self:
        return self.order_by(Lower("name"), "pk")

    def draw(
        self,
        shape: Shape,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        **of_enclosure: object,
    ) -> "Design":
        """A new design with its first revision. The same key again gives the same design.

        ``of_enclosure``: ``enclosure`` and ``begun_from``, for the drawing of a single one.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(DesignRevision.objects.select_related("design"), idempotency_key)
            if known:
                return known.design
            design = self.create(
                name=shape.name,
                species=shape.species,
                code=self._free_code(),
                made_by=by,
                **of_enclosure,
            )
            design.change(shape, by=by, idempotency_key=idempotency_key)
        return design

    def _free_code(self) -> str:
        while True:
            code = new_code()
            if not self.filter(code=code).exists():
                return code


class Design(models.Model):
    """An enclosure as drawn. Name and species repeat what the current revision says, to search.

    ``enclosure``: the one whose alteration this draws, which then is in no list of designs; None
    for a design of its own. ``begun_from`` is what stood when such a drawing was begun. An
    enclosure has one such drawing that is not archived at most.
    """

    name = models.CharField(max_length=LONGEST_NAME)
    species = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Species])
    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    current = models.ForeignKey(
        "DesignRevision", on_delete=models.PROTECT, null=True, related_name="+", editable=False
    )
    enclosure = models.ForeignKey(
        "habitats.Enclosure",
        on_delete=models.PROTECT,
        null=True,
        related_name="drawings",
        editable=False,
    )
    begun_from = models.ForeignKey(
        "DesignRevision", on_delete=models.PROTECT, null=True, related_name="+", editable=False
    )
    archived_at = models.DateTimeField(null=True, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="designs"
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    changed_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = DesignQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="design_species_is_known",
                condition=models.Q(species__in=[one.value for one in Species]),
            ),
            models.CheckConstraint(name="design_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="drawing_of_an_enclosure_is_begun_from_what_stood",
                condition=models.Q(enclosure__isnull=True, begun_from__isnull=True)
                | models.Q(enclosure__isnull=False, begun_from__isnull=False),
            ),
            models.UniqueConstraint(
                fields=["enclosure"],
                condition=models.Q(archived_at__isnull=True),
                name="one_open_drawing_an_enclosure",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.code})"

    @property
    def is_archived(self) -> bool:
        return self.archived_at is not None

    def shape(self) -> Shape:
        """What is drawn, as a value. Load with ``with_revision()`` where many are shown."""
        assert self.current is not None, "a design is made by DesignQuerySet.draw"
        return self.current.shape()

    def faults(self) -> tuple[FileFault, ...]:
        """What keeps it from being made; empty for a design that can be."""
        return faults_of(self.shape())

    def last_sound_shape(self) -> Shape | None:
        """The latest shape, going back from here, that could be made; None if none could."""
        assert self.current is not None, "a design is made by DesignQuerySet.draw"
        if self.current.is_sound:
            return self.current.shape()
        return self.current.sound_before.shape() if self.current.sound_before else None

    def change(
        self,
        shape: Shape,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        moved: tuple[int, int] = (0, 0),
    ) -> "DesignRevision":
        """Append a revision and stand at it. The same key again changes nothing.

        ``moved``: how many rows and columns its cells went down and right on the lattice.

        Raises ``BadDesign`` for a shape whose document could not be read again, and
        ``Superseded`` where somebody else was quicker.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        document = document_of(shape)
        design_from(document)
        with transaction.atomic():
            known = made_before(self.revisions, idempotency_key)
            if known:
                return known
            # Two who append at once take turns here; the second finds that the first was quicker.
            type(self).objects.select_for_update(no_key=True).get(pk=self.pk)
            revision = self.revisions.create(
                document=document,
                is_sound=not faults_of(shape),
                made_by=by,
                idempotency_key=idempotency_key,
                **self._after_current(moved),
            )
            self._stand_at(revision)
        return revision

    def _after_current(self, moved: tuple[int, int]) -> dict[str, Any]:
        """Fields of the next revision that follow from those before it."""
        standing = self.current
        number = self.revisions.aggregate(last=models.Max("number"))["last"] or 0
        south, east = moved
        return {
            "number": number + 1,
            "parent": standing,
            "south": south + (standing.south if standing else 0),
            "east": east + (standing.east if standing else 0),
            "sound_before": standing and (standing if standing.is_sound else standing.sound_before),
        }

    def undo(self) -> bool:
        """Step back to the revision this one was made from. False if it is the first.

        Raises ``Superseded``, as ``redo`` does.
        """
        before = self.current and self.current.parent
        if before:
            self._stand_at(before)
        return bool(before)

    def redo(self) -> bool:
        """Step forward to the latest revision made from this one. False if there is none."""
        after = self._after()
        if after:
            self._stand_at(after)
        return bool(after)

    def can_undo(self) -> bool:
        return bool(self.current and self.current.parent_id)

    def can_redo(self) -> bool:
        return self._after() is not None

    def archive(self, at: datetime | None = None) -> None:
        self.archived_at = at or timezone.now()
        self.save(update_fields=["archived_at"])

    def unarchive(self) -> None:
        self.archived_at = None
        self.save(update_fields=["archived_at"])

    def _after(self) -> "DesignRevision | None":
        return self.revisions.filter(parent=self.current_id).order_by("number").last()

    def _stand_at(self, revision: "DesignRevision") -> None:
        """Move the pointer, if it still is where it was when this was loaded."""
        shape = revision.shape()
        moved = {
            "current": revision,
            "name": shape.name,
            "species": shape.species.value,
            "changed_at": timezone.now(),
        }
        where_it_was = type(self).objects.filter(pk=self.pk, current=self.current_id)
        if not where_it_was.update(**moved):
            raise Superseded
        for field, value in moved.items():
            setattr(self, field, value)


class DesignRevision(Idempotent):
    """One step of drawing. ``parent`` is the revision it was made from, None for the first.

    ``is_sound``: it could be made when it was drawn; ``sound_before`` is the latest of those
    before it that could. ``south`` and ``east``: how many cells what was drawn first lies further
    down and right by now, since a lattice is as large as its drawing.
    """

    design = models.ForeignKey(Design, on_delete=models.CASCADE, related_name="revisions")
    number = models.PositiveIntegerField()
    document = models.JSONField(encoder=DjangoJSONEncoder)
    parent = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="children")
    south = models.SmallIntegerField(default=0)
    east = models.SmallIntegerField(default=0)
    is_sound = models.BooleanField()
    sound_before = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="+")
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="design_revisions"
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["design", "number"], name="one_revision_a_number"),
        ]
        ordering = ["design", "number"]

    def __str__(self) -> str:
        return f"revision {self.number} of design {self.design_id}"

    def save(self, **options: Any) -> None:
        """Append only."""
        if self.pk is not None:
            raise TypeError("A revision is never edited; append another.")
        super().save(**options)

    def shape(self) -> Shape:
        return shape_in(self.document)
