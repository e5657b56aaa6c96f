"""Forms of batches: builds to cut for, sheets to cut from, and the result of the cutting."""

import uuid
from collections.abc import Iterable
from copy import copy
from decimal import Decimal
from functools import partial
from typing import Any

from django import forms
from django.db import models, transaction
from django.forms import CheckboxSelectMultiple
from django.utils.formats import date_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.batches.models.batches import LONGEST_NAME, Batch, builds_to_batch
from builds.batches.models.cutting_jobs import stock_id
from builds.batches.models.cutting_lines import LONGEST_WHO_FOR, MOST_COUNT
from builds.batches.models.sheet_stock import SheetStock
from builds.common.fields import asked_once
from builds.cutting import StockSheet
from builds.plans.models.builds import NEEDING, Build
from builds.sheets import Kept, OfferedSheet, SheetOffer
from builds.store.forms.places import PlaceField
from builds.store.forms.store import MOST_COST
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind, usual_kinds
from habitats import measures
from habitats.common.fields import (
    LengthField,
    OnceField,
    PriceField,
    RowsField,
    use_currency,
    use_units,
)
from habitats.designs.models.designs import Design
from habitats.money import money
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.wording import listed, message

# The largest are offered: each makes the search slower, and small ones save little.
MOST_OFFCUTS = 40
SECONDS = [
    ("2", _("2 seconds, while you wait")),
    ("10", _("10 seconds")),
    ("30", _("30 seconds")),
    ("60", _("1 minute")),
    ("120", _("2 minutes")),
]
STAGES = [("3", _("Three: across, strips, pieces")), ("", _("As many as needed"))]


class PlannedBuildsField(RowsField):
    """Builds that still take something; offered are those that are in no batch yet.

    The others are taken as well: a form that is sent twice names builds that are in it by then.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(
            Build.objects.none(),
            label=_("Planned builds"),
            widget=CheckboxSelectMultiple,
            **options,
        )

    def offer(self) -> int:
        """As things are now; how many are offered."""
        self.queryset = Build.objects.in_state(*NEEDING)
        found = list(builds_to_batch())
        self.choices = [(one.pk, self.label_from_instance(one)) for one in found]
        return len(found)

    def label_from_instance(self, obj: models.Model) -> str:
        assert isinstance(obj, Build)
        if obj.planned_on is None:
            return f"{obj} ({obj.code})"
        return f"{obj} ({obj.code}), {date_format(obj.planned_on, gettext('j M Y'))}"


class BatchForm(forms.Form):
    once = OnceField()
    name = forms.CharField(
        label=_("Name"),
        max_length=LONGEST_NAME,
        help_text=_("For example the day on which you want to cut."),
    )
    builds = PlannedBuildsField(
        required=False,
        help_text=_("Cut together, and pulled together. You can add others, and designs, later."),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        if not _offered_builds(self) and not self.is_bound:
            del self.fields["builds"]

    def begin(self, *, by: Person) -> Batch:
        """A new batch with its builds, or none. Raises ``CannotCut``."""
        given = self.cleaned_data
        with transaction.atomic():
            batch = Batch.objects.begin(given["name"], by=by, idempotency_key=given["once"])
            batch.add_builds(given["builds"], idempotency_key=given["once"])
        return batch


class AddBuildsForm(forms.Form):
    """Builds that are planned already join a batch."""

    once = OnceField()
    builds = PlannedBuildsField(
        error_messages={"required": _("Choose at least one planned build.")}
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.offers = _offered_builds(self)


def _offered_builds(form: forms.Form) -> int:
    field = form.fields["builds"]
    assert isinstance(field, PlannedBuildsField)
    return field.offer()


class LineForm(forms.Form):
    """So many builds of a design, and for whom."""

    once = OnceField()
    design = forms.ModelChoiceField(
        Design.objects.none(), label=_("Design"), empty_label=_("Choose a design")
    )
    count = forms.IntegerField(
        label=_("Number of builds"), min_value=1, max_value=MOST_COUNT, initial=1
    )
    who_for = forms.CharField(
        label=_("For whom"),
        max_length=LONGEST_WHO_FOR,
        required=False,
        help_text=_("A short name for the labels."),
    )

    def __init__(self, *args: Any, person: Person, **options: Any) -> None:
        super().__init__(*args, **options)
        design = self.fields["design"]
        assert isinstance(design, forms.ModelChoiceField)
        designs = Design.objects.visible_to(person).listed().live().sound()
        design.queryset = designs.with_revision().by_name()


class OfferForm(forms.Form):
    """From what to cut, and how."""

    once = OnceField()
    kinds = RowsField(
        SheetKind.objects.none(),
        label=_("Sheets"),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one sheet to cut from.")},
    )
    may_buy = forms.BooleanField(
        label=_("Buy more if the store runs out"), required=False, initial=True
    )
    use_offcuts = forms.BooleanField(label=_("Use offcuts"), required=False, initial=True)
    join_cost = PriceField(
        label=_("Cost of a join"),
        required=False,
        max_value=MOST_COST,
        initial=Decimal("3.00"),
        help_text=_(
            "Tape and work, in the rescue’s currency. Trays are joined from more pieces "
            "where that saves more sheet. Leave empty to join only what is too large for a sheet."
        ),
    )
    kerf = LengthField(
        label=_("Width of a cut"), bounds=(0, 20), initial=0, help_text=_("0 for a knife.")
    )
    trim = LengthField(label=_("Trim on each edge"), bounds=(0, 100), initial=0)
    least_offcut = LengthField(
        label=_("Shortest side of offcuts to keep"), bounds=(50, 1000), initial=150
    )
    stages = forms.TypedChoiceField(
        label=_("Cutting stages"),
        choices=STAGES,
        coerce=int,
        empty_value=None,
        required=False,
    )
    seconds = forms.TypedChoiceField(label=_("Search time"), choices=SECONDS, coerce=float)

    def __init__(self, *args: Any, units: str, batch: Batch | None = None, **options: Any) -> None:
        super().__init__(*args, **options)
        use_units(self, units)
        use_currency(self, Rescue.our_currency())
        self.batch = batch
        kinds = self.fields["kinds"]
        assert isinstance(kinds, forms.ModelMultipleChoiceField)
        kinds.queryset = SheetKind.objects.live().with_free(own_builds(batch)).by_size()
        label = partial(_kind_label, units=units, currency=Rescue.our_currency())
        kinds.label_from_instance = label  # type: ignore[method-assign]
        self.initial.setdefault("kinds", [one.pk for one in usual_kinds(kinds.queryset)])
        self.initial.setdefault("stages", "3")
        self.initial.setdefault("seconds", "2")

    def clean_kinds(self) -> list[SheetKind]:
        kinds = list(self.cleaned_data["kinds"])
        thick = sorted({one.thickness_mm for one in kinds})
        if len(thick) > 1:
            given = listed([measures.thickness(one) for one in thick])
            raise forms.ValidationError(
                _("You chose sheets of %(given)s. A tray is made of one thickness: choose one.")
                % {"given": given}
            )
        return kinds

    def offer(self) -> SheetOffer:
        given = self.cleaned_data
        return SheetOffer(
            stock=offered(given["kinds"], given["may_buy"], given["use_offcuts"], self.batch),
            kerf=given["kerf"],
            trim=given["trim"],
            stages=given["stages"],
            least_offcut=given["least_offcut"],
            join_cost=given["join_cost"],
            seconds=given["seconds"],
        )


def own_builds(batch: Batch | None) -> list[int]:
    """The keys of the builds whose reserved sheets a plan of the batch may count on."""
    return list(batch.own_builds().values_list("pk", flat=True)) if batch else []


def offered(
    kinds: Iterable[SheetKind], may_buy: bool, use_offcuts: bool, batch: Batch | None = None
) -> tuple[OfferedSheet, ...]:
    """The kinds, loaded ``with_free()``, and the free offcuts of their thickness."""
    kinds = list(kinds)
    sheets = [_offered_kind(kind, may_buy) for kind in kinds]
    thick = {kind.thickness_mm for kind in kinds}
    free = (
        Offcut.objects.free(batch.pk if batch else None)
        .filter(kind__thickness_mm__in=thick)
        .largest_first()
    )
    offcuts = free[:MOST_OFFCUTS] if use_offcuts else ()
    return (*sheets, *(_offered_offcut(one) for one in offcuts))


def _offered_kind(kind: SheetKind, may_buy: bool) -> OfferedSheet:
    quantity = None if may_buy else max(0, kind.free)
    return OfferedSheet(
        StockSheet(stock_id(kind), kind.width_mm, kind.height_mm, quantity, kind.cost), kind.name
    )


def _offered_offcut(offcut: Offcut) -> OfferedSheet:
    size = (offcut.width_mm, offcut.height_mm)
    return OfferedSheet(
        StockSheet(stock_id(offcut), *size, 1, Decimal(0)),
        message("Offcut %(label)s", label=offcut.label),
        is_offcut=True,
    )


def _kind_label(kind: SheetKind, units: str, currency: str) -> str:
    size = measures.size((kind.width_mm, kind.height_mm), measures.lengths_in(units))
    thick = measures.thickness(kind.thickness_mm)
    return _("%(kind)s, %(size)s, %(thick)s thick, %(cost)s each, %(free)d free") % {
        "kind": kind.name,
        "size": size,
        "thick": thick,
        "cost": money(kind.cost, currency),
        "free": kind.free,
    }


class LongerForm(forms.Form):
    seconds = forms.TypedChoiceField(label=_("Search time"), choices=SECONDS[1:], coerce=float)


def _short(stock: list[SheetStock]) -> str:
    """What is short, and who has it: what a page has told, to know whether that changed."""
    return ";".join(
        f"{one.kind.pk}:{one.short}:{one.reserved_short}:"
        + ",".join(f"{other.build.pk if other.build else 0}={other.count}" for other in one.others)
        for one in stock
        if one.short
    )


class CutForm(forms.Form):
    """The plan was cut: of which sheets, which offcuts are kept, and where each lies.

    ``is_stale``: sheets are short by now otherwise than its page told.
    """

    is_stale = False

    once = forms.UUIDField(widget=forms.HiddenInput)
    run = forms.IntegerField(widget=forms.HiddenInput)
    seen = forms.CharField(required=False, widget=forms.HiddenInput)
    reserved = forms.ChoiceField(
        label=_("Which sheets were cut?"),
        choices=[
            ("yes", _("The reserved ones. Their builds then need other sheets.")),
            ("no", _("Others, not counted yet. They are recorded as found, then as cut.")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose which sheets were cut: reserved ones, or others.")},
    )
    place = PlaceField(
        label=_("Place"),
        required=False,
        help_text=_("For all offcuts without a place of their own below."),
    )

    def __init__(
        self, *args: Any, kept: tuple[Kept, ...], stock: list[SheetStock], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.kept = kept
        self.now = _short(stock)
        self.initial.setdefault("once", uuid.uuid4())
        self.initial.setdefault("seen", self.now)
        if not any(one.reserved_short for one in stock):
            del self.fields["reserved"]
        own = PlaceField(label=_("Own place"), required=False, empty_label=_("As above"))
        places = asked_once(own)
        for index in range(len(kept)):
            self.fields[f"keep_{index}"] = forms.BooleanField(
                label=_("Keep this offcut"), required=False, initial=True
            )
            self.fields[f"place_{index}"] = field = copy(own)
            field.choices = places

    def clean(self) -> None:
        self.is_stale = bool(self.now) and self.data.get("seen", "") != self.now
        if self.is_stale:
            # What is shown now has been seen when it is sent again.
            self.data = {**self.data.dict(), "seen": self.now}  # type: ignore[attr-defined]
            raise forms.ValidationError(
                _(
                    "The store has changed since this page was opened. Check what is short now, "
                    "then save again."
                )
            )

    @property
    def even_reserved(self) -> bool:
        return self.cleaned_data.get("reserved") == "yes"

    def offcuts(self) -> list[tuple[Kept, Any, Any]]:
        """Each offcut with its two fields."""
        return [
            (kept, self[f"keep_{index}"], self[f"place_{index}"])
            for index, kept in enumerate(self.kept)
        ]

    def places(self) -> dict[int, Place | None]:
        given = self.cleaned_data
        return {
            index: given[f"place_{index}"] or given["place"]
            for index in range(len(self.kept))
            if given[f"keep_{index}"]
        }
