"""Forms of items: search, add, and record movements."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.common.fields import CountField
from builds.store.forms.places import LyingField, PlaceField
from builds.store.models import movements
from builds.store.models.deliveries import Received, receive
from builds.store.models.items import (
    LARGEST_CLOTH_MM,
    LEAST_CLOTH_MM,
    LONGEST_ITEM,
    MOST_REORDER,
    Item,
    ItemQuerySet,
)
from builds.store.models.movements import MOST_AT_ONCE, CannotMove
from builds.store.models.places import Place
from builds.store.models.stock import Movement
from habitats import measures
from habitats.common.fields import (
    DayField,
    LengthField,
    NumberField,
    OnceField,
    use_today,
    use_units,
)
from habitats.people.models.people import Person
from habitats.rotation.buying import USUAL_CLOTH_MM
from habitats.structure.design import PanelSize
from habitats.structure.read import PANEL_MM, SQUARES

SOME = (1, MOST_AT_ONCE)
MOST_PAID = Decimal("99999999.99")
NAME_IS_TAKEN = _("There is an item with this name already. Choose another name.")
MEASURED = (Item.Kind.TAPE, Item.Kind.CLOTH)
PANELS = (Item.Kind.PANEL, Item.Kind.DOORWAY, Item.Kind.RAMP)


class FindItemsForm(forms.Form):
    """Which items to list, and as on which day; what makes no sense finds all."""

    words = forms.CharField(label=_("Name"), max_length=60, required=False)
    kind = forms.ChoiceField(
        label=_("Kind"), choices=[("", _("Any")), *Item.Kind.choices], required=False
    )
    place = PlaceField(label=_("Place"), required=False, empty_label=_("Any"), to_field_name="code")
    short = forms.BooleanField(label=_("Below the reorder level"), required=False)
    on = DayField(label=_("Stock on"), required=False)

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)

    @property
    def day(self) -> date | None:
        return self.asked.get("on")

    @property
    def asked(self) -> dict[str, Any]:
        """What was asked and makes sense."""
        self.is_valid()
        return self.cleaned_data

    def found(self, items: ItemQuerySet) -> ItemQuerySet:
        given = self.asked
        if given.get("words"):
            items = items.named_like(given["words"])
        if given.get("kind"):
            items = items.filter(kind=given["kind"])
        if given.get("place"):
            lies_there = given["place"].stocks.lying().values("item")
            items = items.filter(pk__in=lies_there)
        return items


class DayForm(forms.Form):
    """As on which day; today where that is left empty."""

    on = DayField(label=_("Stock on"), required=False)

    def __init__(self, *args: Any, today: date, **options: Any) -> None:
        super().__init__(*args, **options)
        use_today(self, today)

    @property
    def day(self) -> date | None:
        self.is_valid()
        return self.cleaned_data.get("on")


NEEDED = {
    "panel_mm": _("Enter the size of the panel."),
    "panel_squares": _("Enter how many squares the panel has per side."),
    "cloth_mm": _("Enter the width of the roll."),
}


class ItemForm(forms.Form):
    """A new thing to count. Sheets have a form of their own.

    Once it is known what it is, only what concerns that is asked.
    """

    KINDS = [one for one in Item.Kind.choices if one[0] != Item.Kind.SHEET]

    kind = forms.ChoiceField(label=_("Kind"), choices=KINDS)
    name = forms.CharField(
        label=_("Name"),
        max_length=LONGEST_ITEM,
        help_text=_("For example “White panel” or “Tie, 20 cm”."),
    )
    panel_mm = LengthField(
        label=_("Size of a panel"),
        bounds=PANEL_MM,
        required=False,
        help_text=_("From joint to joint. Builds with panels of this size use it."),
    )
    panel_squares = CountField(
        label=_("Squares per side"),
        bounds=SQUARES,
        required=False,
        help_text=_("Mesh squares along one side."),
    )
    cloth_mm = LengthField(
        label=_("Width of the roll"),
        bounds=(LEAST_CLOTH_MM, LARGEST_CLOTH_MM),
        required=False,
        help_text=_(
            "Measure yours; what stands here is common practice. Cloth is counted in metres off "
            "the roll."
        ),
    )
    unit = forms.CharField(
        label=_("Unit"),
        max_length=10,
        required=False,
        help_text=_("Leave empty to count pieces."),
    )
    reorder_at = CountField(
        label=_("Reorder level"),
        bounds=(1, MOST_REORDER),
        required=False,
        help_text=_("You are warned when fewer are free. Leave empty for no warning."),
    )

    ASKED_OF = {
        "panel_mm": PANELS,
        "panel_squares": PANELS,
        "cloth_mm": (Item.Kind.CLOTH,),
        "unit": (Item.Kind.TOOL, Item.Kind.OTHER),
    }

    def __init__(
        self, *args: Any, units: str, panel: PanelSize | None = None, **options: Any
    ) -> None:
        """``panel``: that of the rescue, which most of its panels are."""
        super().__init__(*args, **options)
        self.initial["cloth_mm"] = USUAL_CLOTH_MM
        if panel:
            self.initial.update(panel_mm=panel.size_mm, panel_squares=panel.squares)
        use_units(self, units)
        kind = self.data.get("kind") or self.initial.get("kind")
        if kind in dict(self.KINDS):
            self.fields["kind"].widget = forms.HiddenInput()
            for name, kinds in self.ASKED_OF.items():
                if kind not in kinds:
                    del self.fields[name]

    def clean(self) -> None:
        given = self.cleaned_data
        kind = given.get("kind")
        for name, sentence in NEEDED.items():
            if name in self.fields and given.get(name) is None and name not in self.errors:
                self.add_error(name, sentence)
        if kind in MEASURED:
            given["unit"] = measures.METRES
        if Item.objects.filter(kind=kind, name=given.get("name")).exists():
            self.add_error("name", NAME_IS_TAKEN)

    def save(self) -> Item:
        return Item.objects.create(**self.cleaned_data)


class EditItemForm(forms.ModelForm):
    """What may change about an item: what it is and its size stay, since builds go by them."""

    reorder_at = ItemForm.base_fields["reorder_at"]

    class Meta:
        model = Item
        fields = ["name", "reorder_at"]
        labels = {"name": _("Name")}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        if self.instance.kind == Item.Kind.SHEET:
            del self.fields["name"]  # a sheet's name is its kind's

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        alike = Item.objects.filter(kind=self.instance.kind, name=name)
        if alike.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(NAME_IS_TAKEN)
        return name


class StockActForm(forms.Form):
    """Something happened to an item; ``say`` writes it down and raises ``CannotMove``.

    ``heading`` has the item, ``done`` how many of it.
    """

    heading: Any
    button: Any = _("Save")
    done: Any

    once = OnceField()

    def __init__(self, *args: Any, item: Item, **options: Any) -> None:
        super().__init__(*args, **options)
        self.item = item
        if item.unit:
            self.fields["count"].label = gettext("Amount in %(unit)s") % {"unit": item.unit}
        for field in self.fields.values():
            if isinstance(field, LyingField):
                field.lay_out(item)
            elif isinstance(field, PlaceField):
                field.or_the_first()

    def record(self, *, by: Person) -> bool:
        """Whether it was written down; else the sentence stands beside the number."""
        try:
            self._record(by)
        except CannotMove as reason:
            self.add_error("count", str(reason))
        return not self.errors

    def _record(self, by: Person) -> Any:
        given = self.cleaned_data
        words = {"by": by, "idempotency_key": given["once"], "note": given["note"]}
        place = given["place"] or Place.objects.usual()
        return self._verb(self.item, place, given["count"], **words)

    @staticmethod
    def _verb(*words: Any, **more: Any) -> Movement:
        raise NotImplementedError


def _note(help_text: Any) -> forms.CharField:
    return forms.CharField(label=_("Note"), max_length=200, required=False, help_text=help_text)


class CameInForm(StockActForm):
    """A delivery of one item, from nobody in particular."""

    heading, button = _("Receive %(item)s"), _("Receive")
    done = _("Received: %(items)s.")

    place = PlaceField(label=_("Put in"))
    count = CountField(label=_("How many"), bounds=SOME)
    paid = NumberField(
        label=_("Price for all of them"),
        min_value=0,
        max_value=MOST_PAID,
        decimal_places=2,
        required=False,
        help_text=_("In the rescue’s currency. 0 for a gift; empty if you do not know."),
    )
    note = _note(_("For example who brought it."))

    def _record(self, by: Person) -> Any:
        given = self.cleaned_data
        lines = [Received(self.item, given["count"], given["paid"])]
        words = {"by": by, "idempotency_key": given["once"], "note": given["note"]}
        place = given["place"] or Place.objects.usual()
        return receive(lines, place, supplier=None, **words)


class TakenForm(StockActForm):
    heading, button = _("Take out %(item)s"), _("Take out")
    done = _("Taken out: %(items)s.")
    _verb = staticmethod(movements.take_out)

    place = LyingField(label=_("From"))
    count = CountField(label=_("How many"), bounds=SOME)
    note = _note(_("For example what it is for."))


class WrittenOffForm(StockActForm):
    heading, button = _("Write off %(item)s"), _("Write off")
    done = _("Written off: %(items)s.")
    _verb = staticmethod(movements.write_off)

    place = LyingField(label=_("From"))
    count = CountField(label=_("How many"), bounds=SOME)
    note = _note(_("What was wrong with it."))


class CountedForm(StockActForm):
    heading, button = _("Record count of %(item)s"), _("Save count")
    done = _("Counted: %(items)s.")
    _verb = staticmethod(movements.count)

    place = PlaceField(label=_("Place"))
    count = CountField(label=_("How many are there"), bounds=(0, MOST_AT_ONCE))
    note = _note("")


class MovedForm(StockActForm):
    heading, button = _("Move %(item)s"), _("Move")
    done = _("Moved: %(items)s.")

    place = LyingField(label=_("From"))
    to = PlaceField(label=_("To"))
    count = CountField(label=_("How many"), bounds=SOME)
    note = _note("")

    def _record(self, by: Person) -> Any:
        given = self.cleaned_data
        words = {"by": by, "idempotency_key": given["once"], "note": given["note"]}
        return movements.move(self.item, given["place"], given["to"], given["count"], **words)


ACTS: dict[str, type[StockActForm]] = {
    "in": CameInForm,
    "out": TakenForm,
    "move": MovedForm,
    "count": CountedForm,
    "write-off": WrittenOffForm,
}

# What an act was called in addresses up to 0.2.0: they stand in bookmarks, and a page that was open
# during the update sends its form there yet.
FORMER_ACTS = {"scrap": "write-off"}
