"""Offcuts with their history: what was left of sheets, each with a label of its own.

Their moves are appended and never edited, and where the last one put an offcut stands on it too.
"""

import secrets
import uuid
from typing import Any, Self

from django.conf import settings
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.store.models.movements import NotEnough
from builds.store.models.places import Place
from builds.store.models.sheets import LARGEST_SHEET_MM, SheetKind
from habitats.common.codes import CODE_MARKS
from habitats.common.happened import refuse_edit
from habitats.common.idempotency import Idempotent, made_before
from habitats.people.models.people import Person

LABEL_LENGTH = 4


class OffcutQuerySet(models.QuerySet["Offcut"]):
    def in_store(self) -> Self:
        """Those that nobody has cut up or written off."""
        return self.exclude(moves__what__in=OffcutMove.ENDINGS)

    def free(self, batch_id: int | None = None) -> Self:
        """Those in the store that no plan still to be cut counts on, but for plans of the batch
        with this key: of several for the same builds one is cut."""
        claimed = Offcut.objects.filter(claims__isnull=False, claims__job__ending__isnull=True)
        claimed = claimed.exclude(claims__job__batch=batch_id) if batch_id else claimed
        return self.in_store().exclude(pk__in=claimed.values("pk"))

    def with_place(self) -> Self:
        return self.select_related("place")

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
        place: Place | None = None,
        job_id: int | None = None,
        idempotency_key: uuid.UUID | None = None,
    ) -> "Offcut":
        """A new offcut, put into the store. The same key again gives the same offcut.

        ``job_id``: the key of the cutting job that left it; None: of none.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(self, idempotency_key)
            if known:
                return known
            offcut = self.create(
                label=self._free_label(),
                kind=kind,
                width_mm=width_mm,
                height_mm=height_mm,
                place=place,
                from_job_id=job_id,
                idempotency_key=idempotency_key,
                made_by=by,
            )
            offcut.moves.create(
                what=OffcutMove.What.STORED,
                place=place,
                made_by=by,
                idempotency_key=uuid.uuid5(idempotency_key, "store"),
            )
        return offcut

    def _free_label(self) -> str:
        while True:
            label = "".join(secrets.choice(CODE_MARKS) for _ in range(LABEL_LENGTH))
            if not Offcut.objects.filter(label=label).exists():
                return label


class Offcut(Idempotent):
    """A rectangle of sheet left over and kept. Its flutes run along its height.

    ``place``: where its last move put it; None: nobody said, or it is gone.
    """

    label = models.CharField(max_length=LABEL_LENGTH, unique=True, editable=False)
    kind = models.ForeignKey(SheetKind, on_delete=models.PROTECT, related_name="offcuts")
    width_mm = models.PositiveIntegerField()
    height_mm = models.PositiveIntegerField()
    place = models.ForeignKey(
        Place, on_delete=models.PROTECT, null=True, editable=False, related_name="offcuts"
    )
    from_job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="offcuts"
    )
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
        refuse_edit(self)
        super().save(**options)

    def put(self, place: Place, *, by: Person, idempotency_key: uuid.UUID | None = None) -> None:
        """Say where it lies now."""
        self._append(OffcutMove.What.STORED, by=by, idempotency_key=idempotency_key, place=place)

    def write_off(self, *, by: Person, idempotency_key: uuid.UUID | None = None) -> None:
        self._append(OffcutMove.What.WRITTEN_OFF, by=by, idempotency_key=idempotency_key)

    def use(self, job_id: int, *, by: Person, idempotency_key: uuid.UUID | None = None) -> None:
        """It was cut up for the cutting job with this key."""
        self._append(OffcutMove.What.CUT, by=by, idempotency_key=idempotency_key, job_id=job_id)

    def _append(
        self, what: str, *, by: Person, idempotency_key: uuid.UUID | None, **more: Any
    ) -> None:
        """Raises ``NotEnough`` for an offcut that is no more. The same key changes nothing."""
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            type(self).objects.select_for_update(no_key=True).get(pk=self.pk)
            if made_before(OffcutMove.objects, idempotency_key):
                return
            if self.moves.filter(what__in=OffcutMove.ENDINGS).exists():
                raise NotEnough(
                    gettext(
                        "Offcut %(label)s is no longer in the store: it was cut up or written off."
                    )
                    % {"label": self.label}
                )
            move = self.moves.create(what=what, made_by=by, idempotency_key=idempotency_key, **more)
            self.place = move.place
            type(self).objects.filter(pk=self.pk).update(place=move.place)


class OffcutMove(Idempotent):
    """What was done with an offcut: put somewhere, cut up for a job, or written off."""

    class What(models.TextChoices):
        STORED = "stored", _("Put in place")
        CUT = "cut", _("Cut up")
        WRITTEN_OFF = "written_off", _("Written off")

    ENDINGS = (What.CUT, What.WRITTEN_OFF)

    offcut = models.ForeignKey(Offcut, on_delete=models.PROTECT, related_name="moves")
    what = models.CharField(max_length=20, choices=What)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, null=True, related_name="+")
    job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="offcuts_used"
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="offcut_moves"
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["offcut", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["offcut"],
                condition=models.Q(what__in=["cut", "written_off"]),
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
        refuse_edit(self)
        super().save(**options)
