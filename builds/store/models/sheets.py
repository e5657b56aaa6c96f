"""Kinds of sheet, and offcuts with their history.

Sheets are counted in the one ledger, as an item each (``stock.py``). An offcut is one of a kind:
its moves are appended and never edited, and where the last one put it stands on it too.
"""

import secrets
import uuid
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Self

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.movements import NotEnough
from builds.store.models.places import Place
from builds.store.models.stock import Movement
from habitats.common.codes import CODE_MARKS
from habitats.common.happened import refuse_edit
from habitats.common.idempotency import Idempotent, made_before
from habitats.people.models.people import Person

LEAST_SHEET_MM, LARGEST_SHEET_MM = 100, 5000
LABEL_LENGTH = 4


class SheetKindQuerySet(models.QuerySet["SheetKind"]):
    def live(self) -> Self:
        return self.filter(retired_at__isnull=True)

    def retired(self) -> Self:
        return self.filter(retired_at__isnull=False)

    def with_on_hand(self) -> Self:
        """Adds ``on_hand``: how many sheets there are over all places."""
        there = models.Sum("item__stocks__on_hand")
        return self.annotate(on_hand=models.functions.Coalesce(there, 0))

    def with_free(self, builds: Iterable[int] = ()) -> Self:
        """Adds ``on_hand``, and ``free``: without what is reserved, but for what is reserved for
        these builds, given by their keys."""
        own = Movement.objects.filter(item=models.OuterRef("item"), build__in=list(builds))
        of_these = own.order_by().values("item").annotate(total=models.Sum("reserved_change"))
        reserved = models.functions.Coalesce(models.Sum("item__stocks__reserved"), 0)
        kinds = self.with_on_hand().annotate(
            reserved=reserved,
            own=models.functions.Coalesce(models.Subquery(of_these.values("total")), 0),
        )
        return kinds.annotate(free=models.F("on_hand") - models.F("reserved") + models.F("own"))

    def by_size(self) -> Self:
        return self.order_by("thickness_mm", "-width_mm", "-height_mm", "name", "pk")


class SheetKind(models.Model):
    """A kind of sheet one can buy. Its flutes run along its height. ``cost`` is for one sheet.

    ``item`` is what it is counted as; it is made with the kind, and named by it and its measures.
    """

    item = models.OneToOneField(
        Item, on_delete=models.PROTECT, related_name="sheet", editable=False
    )
    name = models.CharField(max_length=40)
    width_mm = models.PositiveIntegerField()
    height_mm = models.PositiveIntegerField()
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1)
    cost = models.DecimalField(max_digits=8, decimal_places=2, validators=[MinValueValidator(0)])
    retired_at = models.DateTimeField(null=True, blank=True)

    # What ``with_free()`` adds.
    on_hand: int
    free: int

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

    def save(self, **options: Any) -> None:
        """Its item has the same name, and is archived and restored with it."""
        with transaction.atomic():
            self.item = self._named_item()
            if options.get("update_fields") is not None:
                options["update_fields"] = {*options["update_fields"], "item"}
            super().save(**options)

    def _named_item(self) -> Item:
        item = self.item if self.item_id else Item(kind=Item.Kind.SHEET)
        thick = f"{Decimal(self.thickness_mm).normalize():f}"
        item.name = f"{self.name}, {self.width_mm} × {self.height_mm} × {thick} mm"
        item.is_put_away = self.is_retired
        item.save()
        return item

    @property
    def is_retired(self) -> bool:
        return self.retired_at is not None

    def count_on_hand(self) -> int:
        """How many sheets there are over all places; for many kinds use ``with_on_hand()``."""
        there = self.item.stocks.aggregate(all=models.Sum("on_hand"))["all"]
        return there or 0

    def usual_place(self) -> Place:
        """Where sheets of it are put when nobody says where: where they came in last."""
        last = Movement.objects.filter(item=self.item, on_hand_change__gt=0).newest_first()
        known = last.select_related("place").first()
        return known.place if known else Place.objects.usual()

    def move(
        self,
        change: int,
        why: str,
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        place: Place | None = None,
        **more: Any,
    ) -> Movement:
        """Sheets came in, or were cut up or written off (``change`` below 0).

        The same key again changes nothing.

        ``place`` None: they come to the usual place, and go from where enough are. Those that go
        from several places are several movements, of which the first is given.
        Raises ``NotEnough`` where more would go than there is.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(Movement.objects, idempotency_key)
            if known:
                return known
            if change > 0:
                where = place or self.usual_place()
                return movements.take_in(
                    self.item,
                    where,
                    change,
                    by=by,
                    idempotency_key=idempotency_key,
                    why=why,
                    **more,
                )
            places = (
                [(place, -change)]
                if place
                else movements.places_for(self.item, -change, even_reserved=True)
            )
            made = [
                movements.write_off(
                    self.item,
                    where,
                    count,
                    by=by,
                    idempotency_key=_nth(idempotency_key, number),
                    why=why,
                    **more,
                )
                for number, (where, count) in enumerate(places)
            ]
        return made[0]

    def count(
        self,
        counted: int,
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        place: Place | None = None,
        note: str = "",
    ) -> Movement:
        """Set what there is in a place, the usual one where None, to what was counted."""
        where = place or self.usual_place()
        return movements.count(
            self.item, where, counted, by=by, idempotency_key=idempotency_key, note=note
        )


def _nth(idempotency_key: uuid.UUID, number: int) -> uuid.UUID:
    """The first of several movements that are said at once has their ``idempotency_key`` itself."""
    return uuid.uuid5(idempotency_key, str(number)) if number else idempotency_key


def usual_kinds(kinds: Iterable[SheetKind]) -> list[SheetKind]:
    """Of one thickness: that of which the most sheets are in the store, else the thinnest.

    Load the kinds ``with_on_hand()``.
    """
    by_thickness: dict[Decimal, list[SheetKind]] = {}
    for kind in kinds:
        by_thickness.setdefault(kind.thickness_mm, []).append(kind)
    most = sorted(by_thickness, key=lambda one: (-sheets_in(by_thickness[one]), one))
    return by_thickness[most[0]] if most else []


def sheets_in(kinds: Iterable[SheetKind]) -> int:
    """How many sheets of these kinds, loaded ``with_on_hand()``, there are."""
    return sum(getattr(kind, "on_hand", 0) for kind in kinds)


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
            type(self).objects.select_for_update().get(pk=self.pk)
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
