"""Items: everything that is counted in the store."""

from collections.abc import Iterable
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats import measures

LEAST_CLOTH_MM, LARGEST_CLOTH_MM = 200, 5000
MOST_REORDER = 100_000
LONGEST_ITEM = 120


class ItemQuerySet(models.QuerySet["Item"]):
    def live(self) -> Self:
        return self.filter(is_put_away=False)

    def named_like(self, words: str) -> Self:
        return self.filter(models.Q(name__icontains=words) | models.Q(kind=words.lower()))

    def by_kind(self) -> Self:
        """Panels first, then in the order of ``Item.Kind``, and by size and name."""
        order = [models.When(kind=kind, then=place) for place, kind in enumerate(Item.Kind)]
        return self.order_by(models.Case(*order), "panel_mm", "name", "pk")

    def with_stock(self) -> Self:
        """Adds ``on_hand``, ``reserved`` and ``free`` over all places."""
        sums = {
            field: models.functions.Coalesce(models.Sum(f"stocks__{field}"), 0)
            for field in ("on_hand", "reserved")
        }
        return self.annotate(**sums).annotate(free=models.F("on_hand") - models.F("reserved"))

    def lying(self) -> Self:
        """Those of which something is there, ``with_stock``."""
        return self.with_stock().filter(on_hand__gt=0)

    def to_reorder(self) -> Self:
        """Those in use of which less is free than their reorder level."""
        return self.live().with_stock().filter(free__lt=models.F("reorder_at"))


class Item(models.Model):
    """A thing counted in the store. Sheets have their own facts in ``SheetKind``.

    A panel that was cut for a doorway or bent for a ramp no longer serves as a plain one, so it is
    of a kind of its own. ``panel_mm`` and ``panel_squares`` are those of panels, ``cloth_mm`` is
    how wide a roll of cloth is; else None. ``unit`` is empty for pieces, else what is counted,
    such as ``m``.
    ``reorder_at``: less free than this is too little; None: nobody watches it.
    """

    class Kind(models.TextChoices):
        PANEL = "panel", _("Panel")
        DOORWAY = "doorway", _("Doorway panel")
        RAMP = "ramp", _("Ramp panel")
        CONNECTOR = "connector", _("Connector")
        TIE = "tie", _("Cable tie")
        CLIP = "clip", _("Clip")
        ANCHOR = "anchor", _("Wall anchor")
        HIDE = "hide", _("Hide")
        WATER = "water", _("Water bottle or bowl")
        HAY = "hay", _("Hay rack")
        SHEET = "sheet", _("Sheet")
        TAPE = "tape", _("Sheet tape")
        CLOTH = "cloth", _("Cloth")
        TOOL = "tool", _("Tool")
        OTHER = "other", _("Other")

    kind = models.CharField(max_length=10, choices=Kind)
    name = models.CharField(max_length=LONGEST_ITEM)
    panel_mm = models.PositiveIntegerField(null=True, blank=True)
    panel_squares = models.PositiveSmallIntegerField(null=True, blank=True)
    cloth_mm = models.PositiveIntegerField(null=True, blank=True)
    unit = models.CharField(max_length=10, blank=True)
    reorder_at = models.PositiveIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(MOST_REORDER)]
    )
    is_put_away = models.BooleanField(default=False, editable=False)

    # What ``with_stock()`` adds.
    on_hand: int
    reserved: int
    free: int

    objects = ItemQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="item_has_a_name", condition=~models.Q(name="")),
            models.UniqueConstraint(fields=["kind", "name"], name="one_item_a_kind_and_name"),
            models.CheckConstraint(
                name="item_kind_is_known",
                condition=models.Q(
                    kind__in=[
                        "panel",
                        "doorway",
                        "ramp",
                        "connector",
                        "tie",
                        "clip",
                        "anchor",
                        "hide",
                        "water",
                        "hay",
                        "sheet",
                        "tape",
                        "cloth",
                        "tool",
                        "other",
                    ]
                ),
            ),
            models.CheckConstraint(
                name="a_panel_has_its_size_and_nothing_else_has",
                condition=models.Q(
                    kind__in=["panel", "doorway", "ramp"],
                    panel_mm__isnull=False,
                    panel_squares__isnull=False,
                )
                | ~models.Q(kind__in=["panel", "doorway", "ramp"])
                & models.Q(panel_mm__isnull=True, panel_squares__isnull=True),
            ),
            models.CheckConstraint(
                name="cloth_has_its_width_and_nothing_else_has",
                condition=models.Q(kind="cloth", cloth_mm__isnull=False)
                | ~models.Q(kind="cloth") & models.Q(cloth_mm__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        # Stored in plain figures, by which it is searched for, imported and exported.
        return measures.sheet_name(self.name) if self.kind == self.Kind.SHEET else self.name

    def taken_instead(self) -> "Item | None":
        """The item that builds take where they could take this one; None if they take this one."""
        if self.kind not in TAKEN_BY_BUILDS:
            return None
        alike = Item.objects.live().filter(
            kind=self.kind, panel_mm=self.panel_mm, panel_squares=self.panel_squares
        )
        first = alike.order_by("pk").first()
        return None if first == self else first

    @property
    def is_short(self) -> bool:
        """Whether less is free than wanted; load ``with_stock()``."""
        return self.reorder_at is not None and self.free < self.reorder_at

    def of(self, count: int) -> str:
        """So many of it, in words: ``3 × clip``, ``12 m of sheet tape``."""
        if not self.unit:
            return f"{count} × “{self}”"
        return gettext("%(count)d %(unit)s of “%(item)s”") % {
            "count": count,
            "unit": self.unit,
            "item": self,
        }


def in_kind_order(items: Iterable[Item]) -> list[Item]:
    """As ``by_kind`` has them, for a few that are loaded anyway."""
    places = {kind: place for place, kind in enumerate(Item.Kind.values)}
    return sorted(items, key=lambda one: (places[one.kind], one.panel_mm or 0, one.name, one.pk))


# Of several of these that serve alike, builds take the oldest in use.
TAKEN_BY_BUILDS = (
    Item.Kind.PANEL,
    Item.Kind.CONNECTOR,
    Item.Kind.TIE,
    Item.Kind.CLIP,
    Item.Kind.ANCHOR,
    Item.Kind.HIDE,
    Item.Kind.WATER,
    Item.Kind.HAY,
    Item.Kind.TAPE,
)
