"""The ledger of the store, and the stock after its last line.

Everything that comes, goes, is kept for a build, moved or counted is a ``Movement`` of one item in
one place, appended and never edited. What the last one left also stands in ``Stock``, so that a
place with a million movements is listed at once; both are written together, under one lock, in
``movements.py`` and ``first_counts.py``, and nowhere else.
"""

from collections.abc import Collection, Iterable
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple, Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from builds.store.models.items import Item
from builds.store.models.places import Place
from habitats.common.happened import AppendOnly
from habitats.common.sentence_field import SentenceField

# Fields of a movement that say what it was for; what is reserved is reserved for one of them.
PURPOSES = ("build", "job")


class StockQuerySet(models.QuerySet["Stock"]):
    def lying(self) -> Self:
        """Those of which something is there."""
        return self.filter(on_hand__gt=0)

    def with_names(self) -> Self:
        return self.select_related("item", "place")

    def by_item(self) -> Self:
        return self.order_by("item__name", "item__pk", "place__code")

    def by_place(self) -> Self:
        return self.order_by("place__code", "item__name", "item__pk")


class Stock(models.Model):
    """What lies in a place of an item, as the last movement, the ``number``-th, left it.

    ``reserved`` of them are kept for builds; the others are ``free``. ``moved_at`` is when the
    last movement was, ``counted_at`` when it was last counted; None: never.
    """

    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="stocks")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="stocks")
    on_hand = models.PositiveIntegerField(default=0)
    reserved = models.PositiveIntegerField(default=0)
    number = models.PositiveIntegerField(default=0)
    moved_at = models.DateTimeField(null=True)
    counted_at = models.DateTimeField(null=True)

    objects = StockQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["item", "place"], name="one_stock_an_item_and_place"),
            models.CheckConstraint(
                name="stock_holds_what_is_reserved",
                condition=models.Q(reserved__gte=0, on_hand__gte=models.F("reserved")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.on_hand} of item {self.item_id} in place {self.place_id}"

    @property
    def free(self) -> int:
        return self.on_hand - self.reserved


class MovementQuerySet(models.QuerySet["Movement"]):
    def newest_first(self) -> Self:
        return self.order_by("-made_at", "-number", "-pk")

    def with_names(self) -> Self:
        return self.select_related("item", "place", "other", "made_by", *PURPOSES)

    def until(self, day: date) -> Self:
        """Those made before the end of the day."""
        return self.filter(made_at__lt=end_of(day))


class Movement(AppendOnly):
    """What happened to an item in a place: two changes, and what they left.

    ``number`` counts the movements of the item in the place. ``other``: where a move went to or
    came from; else None. ``note`` is ours, or somebody's. ``stocktake``: the one that counted it.
    ``delivery``: the one that it came with, or that was reversed. ``paid``: for all of what came in
    here, in the rescue's currency; None: nobody said.
    What it was for stands in the fields that ``PURPOSES`` names.
    """

    class Why(models.TextChoices):
        IN = "in", _("Received")
        OUT = "out", _("Taken")
        RESERVE = "reserve", _("Reserved")
        RELEASE = "release", _("No longer reserved")
        MOVE = "move", _("Moved")
        COUNT = "count", _("Counted")
        WRITE_OFF = "write_off", _("Written off")
        CUT = "cut", _("Cut up")
        FOUND = "found", _("Found when cutting")
        REVERSED = "reversed", _("Delivery reversed")

    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="movements")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="movements")
    number = models.PositiveIntegerField()
    why = models.CharField(max_length=10, choices=Why)
    on_hand_change = models.IntegerField(default=0)
    reserved_change = models.IntegerField(default=0)
    on_hand = models.PositiveIntegerField()
    reserved = models.PositiveIntegerField()
    other = models.ForeignKey(Place, on_delete=models.PROTECT, null=True, related_name="+")
    stocktake = models.ForeignKey(
        "builds.Stocktake", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    job = models.ForeignKey(
        "builds.CuttingJob", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    build = models.ForeignKey(
        "builds.Build", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    pull = models.ForeignKey(
        "builds.Pull", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    delivery = models.ForeignKey(
        "builds.Delivery", on_delete=models.PROTECT, null=True, related_name="movements"
    )
    paid = models.DecimalField(max_digits=12, decimal_places=2, null=True)
    note = SentenceField(blank=True)

    objects = MovementQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["item", "-made_at", "-number"], name="movement_of_item"),
            models.Index(fields=["place", "item", "-made_at", "-number"], name="movement_in_place"),
            models.Index(
                fields=["item", "place"],
                condition=~models.Q(reserved_change=0),
                name="movement_reserving",
            ),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["item", "place", "number"], name="one_number_a_movement_there"
            ),
            models.CheckConstraint(
                name="ledger_holds_what_is_reserved",
                condition=models.Q(reserved__gte=0, on_hand__gte=models.F("reserved")),
            ),
            models.CheckConstraint(
                name="movement_goes_its_way",
                condition=models.Q(why__in=["in", "found"], on_hand_change__gt=0, reserved_change=0)
                | models.Q(
                    why__in=["out", "cut"],
                    on_hand_change__lt=0,
                    reserved_change__lte=0,
                    reserved_change__gte=models.F("on_hand_change"),
                )
                | models.Q(
                    why__in=["write_off", "reversed"], on_hand_change__lt=0, reserved_change=0
                )
                | models.Q(why="reserve", on_hand_change=0, reserved_change__gt=0)
                | models.Q(why="release", on_hand_change=0, reserved_change__lt=0)
                | models.Q(why="count", reserved_change=0)
                | models.Q(
                    why="move",
                    on_hand_change__gt=0,
                    reserved_change__gte=0,
                    reserved_change__lte=models.F("on_hand_change"),
                )
                | models.Q(
                    why="move",
                    on_hand_change__lt=0,
                    reserved_change__lte=0,
                    reserved_change__gte=models.F("on_hand_change"),
                ),
            ),
            models.CheckConstraint(
                name="a_move_has_two_places",
                condition=models.Q(why="move", other__isnull=False)
                & ~models.Q(other=models.F("place"))
                | ~models.Q(why="move") & models.Q(other__isnull=True),
            ),
            models.CheckConstraint(
                name="what_is_cut_is_cut_for_a_job",
                condition=~models.Q(why__in=["cut", "found"]) | models.Q(job__isnull=False),
            ),
            models.CheckConstraint(
                name="what_is_reversed_is_of_a_delivery",
                condition=models.Q(why__in=["in", "reversed"], delivery__isnull=False)
                | ~models.Q(why="reversed") & models.Q(delivery__isnull=True),
            ),
            models.CheckConstraint(
                name="what_came_in_is_paid_for",
                condition=models.Q(paid__isnull=True)
                | models.Q(why="in", delivery__isnull=False, paid__gte=0),
            ),
            models.CheckConstraint(
                name="a_stocktake_counts",
                condition=models.Q(stocktake__isnull=True) | models.Q(why="count"),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_why_display()}: {self.on_hand_change:+} of item {self.item_id}"

    @property
    def free(self) -> int:
        return self.on_hand - self.reserved


class StockOn(NamedTuple):
    """What lay in a place of an item at the end of a day."""

    item: Item
    place: Place
    on_hand: int
    reserved: int

    @property
    def free(self) -> int:
        return self.on_hand - self.reserved


def stock_on(
    day: date,
    *,
    item: Item | None = None,
    among: Collection[Item] | None = None,
    place: Place | None = None,
) -> list[StockOn]:
    """What lay where at the end of the day, by place and item.

    Of one ``item``, of those ``among`` which it is asked, in one ``place``; None: of all, in all.
    Read off the last movement before then of each item in each place: one query.
    """
    stocks = Stock.objects.with_names().by_place()
    stocks = stocks.filter(item=item) if item else stocks
    stocks = stocks if among is None else stocks.filter(item__in=among)
    stocks = stocks.filter(place=place) if place else stocks
    then = left_before(end_of(day), stocks)
    return [StockOn(one.item, one.place, one.then, one.reserved_then) for one in then if one.then]


def left_before(moment: datetime, stocks: StockQuerySet) -> "models.QuerySet[Any]":
    """Adds ``then`` and ``reserved_then``: what the last movement before the moment left on hand
    and reserved; 0 where there was none yet."""
    last = Movement.objects.filter(
        made_at__lt=moment, item=models.OuterRef("item"), place=models.OuterRef("place")
    ).order_by("-made_at", "-number")
    return stocks.annotate(
        then=models.functions.Coalesce(models.Subquery(last.values("on_hand")[:1]), 0),
        reserved_then=models.functions.Coalesce(models.Subquery(last.values("reserved")[:1]), 0),
    )


def totals(stocks: Iterable[Stock | StockOn]) -> tuple[int, int, int]:
    """On hand, reserved and free over all of them."""
    on_hand = reserved = 0
    for one in stocks:
        on_hand, reserved = on_hand + one.on_hand, reserved + one.reserved
    return on_hand, reserved, on_hand - reserved


def end_of(day: date) -> datetime:
    """The first moment after the day, where this server stands."""
    return timezone.make_aware(datetime.combine(day + timedelta(days=1), time.min))
