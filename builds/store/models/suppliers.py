"""Suppliers, and the packs in which they sell."""

from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.store.models.items import Item

MOST_IN_A_PACK = 100_000
MOST_PRICE = Decimal("999999.99")
CENTS = 100


class SupplierQuerySet(models.QuerySet["Supplier"]):
    def live(self) -> Self:
        return self.filter(is_put_away=False)

    def by_name(self) -> Self:
        return self.order_by("name", "pk")

    def with_counts(self) -> Self:
        """Adds ``offers``: how many packs they sell."""
        sold = models.Q(packs__is_put_away=False)
        return self.annotate(offers=models.Count("packs", filter=sold))


class Supplier(models.Model):
    """Somebody who sells what builds are made of."""

    name = models.CharField(max_length=80, unique=True)
    note = models.CharField(_("how to order"), max_length=300, blank=True)
    is_put_away = models.BooleanField(default=False, editable=False)

    objects = SupplierQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="supplier_has_a_name", condition=~models.Q(name="")),
        ]

    def __str__(self) -> str:
        return self.name


class PackOfferQuerySet(models.QuerySet["PackOffer"]):
    def live(self) -> Self:
        """Those that can be bought: neither the pack nor its supplier is put away."""
        return self.filter(is_put_away=False, supplier__is_put_away=False)

    def with_names(self) -> Self:
        return self.select_related("item", "supplier")

    def by_supplier(self) -> Self:
        return self.order_by("supplier__name", "item__name", "count", "pk")


class PackOffer(models.Model):
    """So many of an item for so much, at a supplier.

    ``number`` is what the supplier calls it. ``at_most``: no more such packs can be had; None:
    any number.
    """

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="packs")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="packs")
    count = models.PositiveIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(MOST_IN_A_PACK)]
    )
    price = models.DecimalField(
        max_digits=8,
        decimal_places=2,
        validators=[MinValueValidator(Decimal(0)), MaxValueValidator(MOST_PRICE)],
    )
    number = models.CharField(max_length=40, blank=True)
    at_most = models.PositiveIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(MOST_IN_A_PACK)]
    )
    is_put_away = models.BooleanField(default=False, editable=False)

    objects = PackOfferQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="pack_holds_something", condition=models.Q(count__range=(1, MOST_IN_A_PACK))
            ),
            models.CheckConstraint(
                name="pack_price_is_not_negative", condition=models.Q(price__gte=0)
            ),
            models.CheckConstraint(
                name="pack_supply_is_some",
                condition=models.Q(at_most__isnull=True) | models.Q(at_most__gte=1),
            ),
            models.UniqueConstraint(
                fields=["supplier", "item", "count"], name="one_pack_a_supplier_item_and_count"
            ),
        ]

    def __str__(self) -> str:
        return gettext("pack of %(count)d") % {"count": self.count}
