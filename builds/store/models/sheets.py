"""Kinds of sheet, counted in the one ledger as an item each (``stock.py``)."""

import uuid
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Self

from django.core.validators import MinValueValidator
from django.db import models, transaction

from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Movement
from habitats import measures
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

LEAST_SHEET_MM, LARGEST_SHEET_MM = 100, 5000


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
        return f"{self.name}, {measures.size([self.width_mm, self.height_mm])}"

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
            said = {"by": by, "why": why, **more}
            if change < 0:
                return self._take_off(-change, place, idempotency_key, **said)
            where = place or self.usual_place()
            return movements.take_in(
                self.item, where, change, idempotency_key=idempotency_key, **said
            )

    def _take_off(
        self, count: int, place: Place | None, idempotency_key: uuid.UUID, **said: Any
    ) -> Movement:
        """So many sheets go from one place, or from where enough are."""
        places = (
            [(place, count)]
            if place
            else movements.places_for(self.item, count, even_reserved=True)
        )
        made = [
            movements.write_off(
                self.item, where, some, idempotency_key=_nth(idempotency_key, number), **said
            )
            for number, (where, some) in enumerate(places)
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
