"""Forms of suppliers, their packs, and goods received."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.common.fields import CountField
from builds.store.forms.places import PlaceField
from builds.store.models.deliveries import LONGEST_NOTE, Received, ToReverse, receive
from builds.store.models.items import Item
from builds.store.models.suppliers import MOST_IN_A_PACK, MOST_PRICE, PackOffer, Supplier
from habitats.common.fields import NumberField, OnceField, PriceField, use_currency
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

MOST_PACKS = 10_000


class SupplierForm(forms.ModelForm):
    class Meta:
        model = Supplier
        fields = ["name", "note"]
        labels = {"name": _("Name"), "note": _("How to order")}
        help_texts = {"note": _("For example an address, a telephone number, delivery days.")}
        error_messages = {"name": {"unique": _("There is a supplier with this name already.")}}


class PackForm(forms.ModelForm):
    """So many of an item for so much."""

    count = CountField(label=_("Pieces per pack"), bounds=(1, MOST_IN_A_PACK))
    price = PriceField(
        label=_("Price per pack"),
        max_value=MOST_PRICE,
        help_text=_("In the rescue’s currency, all costs included."),
    )
    at_most = CountField(
        label=_("Maximum packs"),
        bounds=(1, MOST_IN_A_PACK),
        required=False,
        help_text=_("Leave empty if there is no limit."),
    )

    class Meta:
        model = PackOffer
        fields = ["item", "count", "price", "number", "at_most"]
        labels = {"item": _("Item"), "number": _("Order number")}

    def __init__(self, *args: Any, supplier: Supplier, **options: Any) -> None:
        super().__init__(*args, **options)
        use_currency(self, Rescue.our_currency())
        self.instance.supplier = supplier
        self.fields["count"].help_text = _("For items counted in metres, enter metres.")
        item = self.fields["item"]
        assert isinstance(item, forms.ModelChoiceField)
        item.queryset = Item.objects.live().by_kind()
        item.empty_label = gettext("Choose one")

    def clean(self) -> dict[str, Any]:
        given = self.cleaned_data
        item, count = given.get("item"), given.get("count")
        if not item or not count:
            return given
        same = PackOffer.objects.filter(supplier=self.instance.supplier, item=item, count=count)
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("count", _("This supplier has this pack already. Edit its price."))
        return given


class DeliveryForm(forms.Form):
    """Packs of a supplier that came in, and where they were put."""

    once = OnceField()
    place = PlaceField(label=_("Put in"))
    note = forms.CharField(
        label=_("Note"), max_length=200, required=False, help_text=_("For example the invoice.")
    )

    def __init__(self, *args: Any, supplier: Supplier, **options: Any) -> None:
        super().__init__(*args, **options)
        self.supplier = supplier
        self.packs = list(supplier.packs.live().with_names().by_supplier())
        for pack in self.packs:
            self.fields[_name(pack)] = CountField(
                label=gettext("%(item)s: packs of %(amount)s")
                % {"item": pack.item, "amount": f"{pack.count}{_unit(pack.item)}"},
                bounds=(0, MOST_PACKS),
                required=False,
            )
            self.fields[_price(pack)] = NumberField(
                label=gettext("%(item)s: price of a pack of %(amount)s")
                % {"item": pack.item, "amount": f"{pack.count}{_unit(pack.item)}"},
                min_value=0,
                max_value=MOST_PRICE,
                decimal_places=2,
                required=False,
                initial=pack.price,
            )

    def fields_of_packs(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """How many of each pack, and at what price."""
        return [(self[_name(pack)], self[_price(pack)]) for pack in self.packs]

    def _paid(self, pack: PackOffer) -> Decimal | None:
        """For all packs of it: the supplier's own price where the form that was sent asked for
        none; None where it was left empty."""
        price = self.cleaned_data[_price(pack)] if _price(pack) in self.data else pack.price
        return None if price is None else price * self.cleaned_data[_name(pack)]

    def clean(self) -> None:
        given = self.cleaned_data
        if not self.errors and not any(given.get(_name(pack)) for pack in self.packs):
            raise forms.ValidationError(_("No packs entered. Enter a number for at least one."))

    def take_in(self, *, by: Person) -> int:
        """Every pack that came, into the store; how many kinds of pack there were."""
        given = self.cleaned_data
        came = [(pack, given[_name(pack)]) for pack in self.packs if given[_name(pack)]]
        receive(
            [Received(pack.item, packs * pack.count, self._paid(pack)) for pack, packs in came],
            given["place"],
            supplier=self.supplier,
            note=given["note"],
            by=by,
            idempotency_key=given["once"],
        )
        return len(came)


class ReverseForm(forms.Form):
    """A delivery was wrong: how many of each item come off."""

    once = OnceField()
    note = forms.CharField(
        label=_("Reason"),
        max_length=LONGEST_NOTE,
        required=False,
        help_text=_("For example what was wrong with it."),
    )

    def __init__(self, *args: Any, rows: list[ToReverse], **options: Any) -> None:
        super().__init__(*args, **options)
        self.rows = rows
        for row in rows:
            self.fields[_off(row)] = CountField(
                label=_off_label(row.item),
                bounds=(0, row.most),
                initial=row.usual,
            )

    def lines(self) -> list[tuple[ToReverse, forms.BoundField]]:
        return [(row, self[_off(row)]) for row in self.rows]

    def counts(self) -> dict[Item, int]:
        return {row.item: self.cleaned_data[_off(row)] for row in self.rows}


def _off_label(item: Item) -> str:
    if item.unit:
        return gettext("Take out %(item)s, in %(unit)s") % {"item": item, "unit": item.unit}
    return gettext("Take out %(item)s") % {"item": item}


def _off(row: ToReverse) -> str:
    return f"off_{row.item.pk}"


def _name(pack: PackOffer) -> str:
    return f"pack_{pack.pk}"


def _price(pack: PackOffer) -> str:
    return f"price_{pack.pk}"


def _unit(item: Item) -> str:
    return f" {item.unit}" if item.unit else ""
