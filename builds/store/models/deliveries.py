"""Deliveries: goods that came in together, and the reversal of one that was wrong.

A delivery's lines are movements of the ledger in its name. What was written down stays; a reversal
takes off as many as are still there, and names the delivery. It happens once.
"""

import uuid
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Self

from django.db import models, transaction
from django.utils.translation import gettext as _

from builds.store.models import movements
from builds.store.models.holders import ReservedFor, lost_since, reserved_by_build
from builds.store.models.items import Item
from builds.store.models.movements import CannotMove
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from builds.store.models.suppliers import Supplier
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

LONGEST_NOTE = 200


class CannotReverse(CannotMove):
    """This delivery cannot be reversed as things are; ``str()`` is the sentence."""


class DeliveryQuerySet(models.QuerySet["Delivery"]):
    def with_names(self) -> Self:
        return self.select_related("supplier", "place", "made_by", "reversal__made_by")

    def with_lines(self) -> Self:
        """Adds ``lines``: what came with each, by one more query."""
        came = Movement.objects.filter(why=Movement.Why.IN).select_related("item").order_by("pk")
        return self.prefetch_related(models.Prefetch("movements", came, to_attr="lines"))

    def newest_first(self) -> Self:
        return self.order_by("-made_at", "-pk")


class Delivery(AppendOnly):
    """Goods that came in together. ``supplier`` None: nobody said from whom."""

    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, null=True, related_name="deliveries"
    )
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="deliveries")
    note = models.CharField(max_length=LONGEST_NOTE, blank=True)

    objects = DeliveryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "deliveries"

    def __str__(self) -> str:
        return f"delivery {self.pk}"

    @property
    def is_reversed(self) -> bool:
        return hasattr(self, "reversal")

    @property
    def already(self) -> str:
        """The sentence for who reverses it a second time."""
        return _(
            "This delivery has been reversed already, by %(name)s. "
            "Record anything else on the page of its item."
        ) % {"name": self.reversal.made_by.full_name}

    def came(self) -> Counter[Item]:
        """How many of each item came with it, in the order of its lines."""
        found = Counter[Item]()
        for one in self.movements.filter(why=Movement.Why.IN).select_related("item").order_by("pk"):
            found[one.item] += one.on_hand_change
        return found

    def to_reverse(self) -> "list[ToReverse]":
        """Item by item, what is left of it to take off: the same few queries for any number."""
        came = self.came()
        here, elsewhere, counted = Counter[int](), Counter[int](), set()
        for stock in Stock.objects.filter(item__in=came):
            if stock.place_id != self.place_id:
                elsewhere[stock.item_id] += stock.on_hand
                continue
            here[stock.item_id] = stock.on_hand
            if stock.counted_at and stock.counted_at > self.made_at:
                counted.add(stock.item_id)
        reserved, moved = reserved_by_build(one.pk for one in came), Counter[int]()
        for (item_pk, _place), some in self._moved(came).items():
            moved[item_pk] += some
        return [
            ToReverse(
                item,
                count,
                here[item.pk],
                elsewhere[item.pk],
                moved[item.pk],
                item.pk in counted,
                tuple(reserved.get(item.pk, ())),
            )
            for item, count in came.items()
        ]

    def _moved(self, items: Iterable[Item]) -> Counter[tuple[int, int]]:
        """How many were moved from where it was put since, by the keys of item and new place."""
        since = Movement.objects.filter(
            item__in=list(items),
            place=self.place,
            why=Movement.Why.MOVE,
            on_hand_change__lt=0,
            made_at__gte=self.made_at,
        )
        rows = since.values("item", "other").annotate(gone=models.Sum("on_hand_change"))
        return Counter({(row["item"], row["other"]): -row["gone"] for row in rows})

    @transaction.atomic
    def reverse(
        self, counts: Mapping[Item, int], *, by: Person, idempotency_key: uuid.UUID, note: str = ""
    ) -> dict[Item, list[ReservedFor]]:
        """It was wrong: so many of each item come off, first where they were put.

        Gives from whom reserved ones were taken. The same key again changes nothing. Raises
        ``CannotReverse`` for more than came or are left, and for one that was reversed before.
        """
        type(self).objects.select_for_update(no_key=True).get(pk=self.pk)
        known = DeliveryReversal.objects.filter(delivery=self).first()
        if known and known.idempotency_key == idempotency_key:
            return {}
        if known:
            raise CannotReverse(self.already)
        DeliveryReversal.objects.create(
            delivery=self, note=note, made_by=by, idempotency_key=idempotency_key
        )
        before = reserved_by_build(one.pk for one in counts)
        rows = {one.item: one for one in self.to_reverse()}
        for item, count in sorted(counts.items(), key=lambda one: one[0].pk):
            row = rows.get(item)
            if row is None or not 0 <= count <= row.most:
                most = row.most if row else 0
                raise CannotReverse(
                    _("%(items)s given to take out; give %(most)d or fewer.")
                    % {"items": item.of(count), "most": most}
                )
            self._take_off(row, count, by, idempotency_key)
        lost = lost_since(before)
        return {item: lost[item.pk] for item in counts if item.pk in lost}

    def _take_off(
        self, row: "ToReverse", count: int, by: Person, idempotency_key: uuid.UUID
    ) -> None:
        for number, (place, some) in enumerate(self._from(row, count)):
            movements.write_off(
                row.item,
                place,
                some,
                why=Movement.Why.REVERSED,
                by=by,
                idempotency_key=uuid.uuid5(idempotency_key, f"{row.item.pk} {number}"),
                delivery=self,
            )

    def _from(self, row: "ToReverse", count: int) -> list[tuple[Place, int]]:
        """Where it was put, then where it was moved to, then where the most are free."""
        found = [(self.place, min(count, row.here))]
        left = count - found[0][1]
        moved = self._moved([row.item])
        others = Stock.objects.filter(item=row.item).exclude(place=self.place).with_names()
        for stock in sorted(
            others, key=lambda one: (-moved[row.item.pk, one.place_id], -one.free, one.pk)
        ):
            found.append((stock.place, min(left, stock.on_hand)))
            left -= found[-1][1]
        return [one for one in found if one[1]]


@dataclass(frozen=True, slots=True)
class ToReverse:
    """Of an item so many came; so many are ``here``, where they were put, and ``elsewhere``.

    ``moved``: as many were moved elsewhere since. ``is_counted``: the place was counted since, so
    what lies there is known to be true. ``reserved``: what is reserved of the item, for whom.
    """

    item: Item
    came: int
    here: int
    elsewhere: int
    moved: int
    is_counted: bool
    reserved: tuple[ReservedFor, ...] = ()

    @property
    def most(self) -> int:
        """As many as can come off; others of the item, that did not come with it, may be among."""
        return min(self.came, self.here + self.elsewhere)

    @property
    def left(self) -> int:
        """As many of it as are still there, by what the ledger tells."""
        return min(self.came, self.here + min(self.moved, self.elsewhere))

    @property
    def gone(self) -> int:
        """So many of it were used, or went otherwise."""
        return self.came - self.left

    @property
    def received(self) -> str:
        return self.item.of(self.came)

    @property
    def usual(self) -> int:
        """What comes off if nobody says otherwise: a count made since stands."""
        return 0 if self.is_counted else self.left


class DeliveryReversal(AppendOnly):
    """A delivery was wrong. There is one reversal, and it stays."""

    delivery = models.OneToOneField(Delivery, on_delete=models.PROTECT, related_name="reversal")
    note = models.CharField(max_length=LONGEST_NOTE, blank=True)

    def __str__(self) -> str:
        return f"reversal of delivery {self.delivery_id}"


@dataclass(frozen=True, slots=True)
class Received:
    """So many of an item came in. ``paid``: for all of them; None: nobody said."""

    item: Item
    count: int
    paid: Decimal | None = None


@transaction.atomic
def receive(
    lines: "Iterable[Received | tuple[Item, int]]",
    place: Place,
    *,
    supplier: Supplier | None,
    by: Person,
    idempotency_key: uuid.UUID,
    note: str = "",
) -> Delivery:
    """So many of each item came in together. The same key again gives the same delivery.

    Raises ``CannotMove``, and keeps nothing of it.
    """
    known = made_before(Delivery.objects, idempotency_key)
    if known:
        return known
    made = Delivery.objects.create(
        supplier=supplier, place=place, note=note, made_by=by, idempotency_key=idempotency_key
    )
    told = ", ".join(one for one in (supplier.name if supplier else "", note) if one)
    # Always in the same order, as a stocktake does: two who write at once wait, not for ever.
    came = sorted(
        (one if isinstance(one, Received) else Received(*one) for one in lines),
        key=lambda one: one.item.pk,
    )
    for number, line in enumerate(came):
        movements.take_in(
            line.item,
            place,
            line.count,
            paid=line.paid,
            by=by,
            idempotency_key=uuid.uuid5(idempotency_key, str(number)),
            note=told[:LONGEST_NOTE],
            delivery=made,
        )
    return made
