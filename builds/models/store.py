"""The store, as far as sheet goes: kinds of sheet, offcuts, and what came and went.

Movements and moves are appended and never edited. How many sheets there are is what the latest
movement left; where an offcut lies, and whether it still is whole, is what was last said of it.
"""

import secrets
import uuid
from typing import TYPE_CHECKING, Any, Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone

from habitats.models import Person
from habitats.models.designs import CODE_MARKS

if TYPE_CHECKING:
    from builds.models.cutting_jobs import CuttingJob

LEAST_SHEET_MM, LARGEST_SHEET_MM = 100, 5000
MOST_SHEETS = 100_000
LABEL_LENGTH = 4


class NotEnough(Exception):
    """More was to be taken than there is, so nothing was changed."""


class SheetKindQuerySet(models.QuerySet["SheetKind"]):
    def live(self) -> Self:
        return self.filter(retired_at__isnull=True)

    def retired(self) -> Self:
        return self.filter(retired_at__isnull=False)

    def with_on_hand(self) -> Self:
        """Adds ``on_hand``: how many sheets the latest movement left; 0 if there never was one."""
        latest = SheetMovement.objects.filter(kind=models.OuterRef("pk")).order_by("-number")
        return self.annotate(
            on_hand=models.functions.Coalesce(models.Subquery(latest.values("left")[:1]), 0)
        )

    def by_size(self) -> Self:
        return self.order_by("thickness_mm", "-width_mm", "-height_mm", "name", "pk")


class SheetKind(models.Model):
    """A kind of sheet one can buy. Its flutes run along its height. ``cost`` is for one sheet."""

    name = models.CharField(max_length=40)
    width_mm = models.PositiveIntegerField()
    height_mm = models.PositiveIntegerField()
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1)
    cost = models.DecimalField(max_digits=8, decimal_places=2, validators=[MinValueValidator(0)])
    retired_at = models.DateTimeField(null=True, blank=True)

    objects = SheetKindQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="sheet_size_is_sane",
                condition=models.Q(
                    width_mm__range=(LEAST_SHEET_MM, LARGEST_SHEET_MM),
                    height_mm__range=(LEAST_SHEET_MM, LARGEST_SHEET_MM),
                ),
            ),
            models.CheckConstraint(
                name="sheet_has_a_thickness", condition=models.Q(thickness_mm__gt=0)
            ),
            models.CheckConstraint(
                name="sheet_cost_is_not_negative", condition=models.Q(cost__gte=0)
            ),
            models.CheckConstraint(name="sheet_has_a_name", condition=~models.Q(name="")),
            models.UniqueConstraint(
                fields=["name", "width_mm", "height_mm", "thickness_mm"],
                name="one_sheet_kind_a_name_and_size",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.width_mm} × {self.height_mm} mm"

    def count_on_hand(self) -> int:
        """How many sheets there are; for many kinds use ``with_on_hand()``."""
        latest = self.movements.order_by("-number").first()
        return latest.left if latest else 0

    @property
    def is_retired(self) -> bool:
        return self.retired_at is not None

    def move(
        self,
        change: int,
        why: str,
        *,
        by: Person,
        once: uuid.UUID | None = None,
        job: "CuttingJob | None" = None,
        note: str = "",
    ) -> "SheetMovement":
        """Append a movement. The same ``once`` again changes nothing.

        Raises ``NotEnough`` where more would go than there is.
        """
        once = once or uuid.uuid4()
        with transaction.atomic():
            known = SheetMovement.objects.filter(once=once).first()
            if known:
                return known
            # Two who append at once take turns here.
            type(self).objects.select_for_update().get(pk=self.pk)
            latest = self.movements.order_by("-number").first()
            number, left = (latest.number, latest.left) if latest else (0, 0)
            if left + change < 0:
                raise NotEnough(
                    f"{-change} sheets of “{self}” were to go; the store has {left}. "
                    "Count them, or write down first what came in."
                )
            return self.movements.create(
                number=number + 1, change=change, left=left + change, why=why, job=job,
                note=note, once=once, made_by=by,
            )  # fmt: skip

    def count(
        self, counted: int, *, by: Person, once: uuid.UUID | None = None
    ) -> "SheetMovement | None":
        """Set what there is to what was counted; None if that is what was thought."""
        with transaction.atomic():
            type(self).objects.select_for_update().get(pk=self.pk)
            known = SheetMovement.objects.filter(once=once).first() if once else None
            change = counted - self.count_on_hand()
            if known or not change:
                return known
            return self.move(change, SheetMovement.Why.COUNTED, by=by, once=once)


class SheetMovement(models.Model):
    """Sheets that came or went. ``left`` is how many there were after it."""

    class Why(models.TextChoices):
        BOUGHT = "bought", "Came in"
        COUNTED = "counted", "Counted"
        FOUND = "found", "Found when cutting"
        CUT = "cut", "Cut up"
        SCRAPPED = "scrapped", "Scrapped"

    kind = models.ForeignKey(SheetKind, on_delete=models.PROTECT, related_name="movements")
    number = models.PositiveIntegerField()
    change = models.IntegerField()
    left = models.IntegerField()
    why = models.CharField(max_length=10, choices=Why)
    job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    note = models.CharField(max_length=200, blank=True)
    once = models.UUIDField(unique=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="sheet_movements"
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["kind", "number"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "number"], name="one_movement_a_number"),
            models.CheckConstraint(name="stock_is_never_negative", condition=models.Q(left__gte=0)),
            models.CheckConstraint(name="movement_moves", condition=~models.Q(change=0)),
            models.CheckConstraint(
                name="movement_goes_its_way",
                condition=models.Q(why="counted")
                | models.Q(why__in=["bought", "found"], change__gt=0)
                | models.Q(why__in=["cut", "scrapped"], change__lt=0),
            ),
            models.CheckConstraint(
                name="what_is_cut_is_cut_for_a_job",
                condition=models.Q(why__in=["cut", "found"], job__isnull=False)
                | (~models.Q(why__in=["cut", "found"]) & models.Q(job__isnull=True)),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.change:+} of sheet kind {self.kind_id}"

    def save(self, **options: Any) -> None:
        """Append only."""
        _refuse_edit(self)
        super().save(**options)


class OffcutQuerySet(models.QuerySet["Offcut"]):
    def in_store(self) -> Self:
        """Those that nobody has cut up or thrown away."""
        return self.exclude(moves__what__in=OffcutMove.ENDINGS)

    def free(self) -> Self:
        """Those in the store that no plan still to be cut counts on."""
        return self.in_store().exclude(claims__job__ending__isnull=True, claims__isnull=False)

    def with_place(self) -> Self:
        """Adds ``place``: where it was last put; empty if nobody said."""
        latest = OffcutMove.objects.filter(offcut=models.OuterRef("pk")).order_by("-pk")
        return self.annotate(place=models.Subquery(latest.values("place")[:1]))

    def largest_first(self) -> Self:
        area = models.F("width_mm") * models.F("height_mm")
        return self.order_by(-area, "label", "pk")

    def store(
        self,
        kind: SheetKind,
        width_mm: int,
        height_mm: int,
        *,
        by: Person,
        place: str = "",
        job: "CuttingJob | None" = None,
        once: uuid.UUID | None = None,
    ) -> "Offcut":
        """A new offcut, put into the store. The same ``once`` again gives the same offcut."""
        once = once or uuid.uuid4()
        with transaction.atomic():
            known = self.filter(once=once).first()
            if known:
                return known
            offcut = self.create(
                label=self._free_label(), kind=kind, width_mm=width_mm, height_mm=height_mm,
                from_job=job, once=once, made_by=by,
            )  # fmt: skip
            offcut.moves.create(
                what=OffcutMove.What.STORED, place=place, made_by=by, once=uuid.uuid5(once, "store")
            )
        return offcut

    def _free_label(self) -> str:
        while True:
            label = "".join(secrets.choice(CODE_MARKS) for _ in range(LABEL_LENGTH))
            if not Offcut.objects.filter(label=label).exists():
                return label


class Offcut(models.Model):
    """A rectangle of sheet left over and kept. Its flutes run along its height."""

    label = models.CharField(max_length=LABEL_LENGTH, unique=True, editable=False)
    kind = models.ForeignKey(SheetKind, on_delete=models.PROTECT, related_name="offcuts")
    width_mm = models.PositiveIntegerField()
    height_mm = models.PositiveIntegerField()
    from_job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="offcuts"
    )
    once = models.UUIDField(unique=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="offcuts"
    )
    made_at = models.DateTimeField(default=timezone.now)

    objects = OffcutQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="offcut_size_is_sane",
                condition=models.Q(
                    width_mm__range=(1, LARGEST_SHEET_MM), height_mm__range=(1, LARGEST_SHEET_MM)
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"offcut {self.label}"

    def save(self, **options: Any) -> None:
        """Append only: where it lies and what becomes of it are moves."""
        _refuse_edit(self)
        super().save(**options)

    def put(self, place: str, *, by: Person, once: uuid.UUID | None = None) -> None:
        """Say where it lies now."""
        self._append(OffcutMove.What.STORED, by=by, once=once, place=place)

    def scrap(self, *, by: Person, once: uuid.UUID | None = None) -> None:
        self._append(OffcutMove.What.SCRAPPED, by=by, once=once)

    def use(self, job: "CuttingJob", *, by: Person, once: uuid.UUID | None = None) -> None:
        self._append(OffcutMove.What.CUT, by=by, once=once, job=job)

    def _append(self, what: str, *, by: Person, once: uuid.UUID | None, **more: Any) -> None:
        """Raises ``NotEnough`` for an offcut that is no more. The same ``once`` changes nothing."""
        once = once or uuid.uuid4()
        with transaction.atomic():
            type(self).objects.select_for_update().get(pk=self.pk)
            if OffcutMove.objects.filter(once=once).exists():
                return
            if self.moves.filter(what__in=OffcutMove.ENDINGS).exists():
                raise NotEnough(
                    f"Offcut {self.label} is no longer in the store: it was cut up or thrown away."
                )
            self.moves.create(what=what, made_by=by, once=once, **more)


class OffcutMove(models.Model):
    """What was done with an offcut: put somewhere, cut up for a job, or thrown away."""

    class What(models.TextChoices):
        STORED = "stored", "Put"
        CUT = "cut", "Cut up"
        SCRAPPED = "scrapped", "Thrown away"

    ENDINGS = (What.CUT, What.SCRAPPED)

    offcut = models.ForeignKey(Offcut, on_delete=models.PROTECT, related_name="moves")
    what = models.CharField(max_length=10, choices=What)
    place = models.CharField(max_length=60, blank=True)
    job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="offcuts_used"
    )
    once = models.UUIDField(unique=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="offcut_moves"
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["offcut", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["offcut"],
                condition=models.Q(what__in=["cut", "scrapped"]),
                name="an_offcut_ends_once",
            ),
            models.CheckConstraint(
                name="an_offcut_is_cut_for_a_job",
                condition=models.Q(what="cut", job__isnull=False)
                | (~models.Q(what="cut") & models.Q(job__isnull=True)),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_what_display()} offcut {self.offcut_id}"

    def save(self, **options: Any) -> None:
        """Append only."""
        _refuse_edit(self)
        super().save(**options)


def _refuse_edit(row: models.Model) -> None:
    if row.pk is not None:
        raise TypeError("What happened is never edited; append what happened next.")
