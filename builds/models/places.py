"""Places of the store: a shelf, room or box in which things lie."""

from typing import Self

from django.core.validators import RegexValidator
from django.db import models
from django.utils.text import slugify

LONGEST_CODE, LONGEST_PLACE = 12, 60
CODE_PATTERN = rf"^[A-Z0-9][A-Z0-9-]{{0,{LONGEST_CODE - 1}}}$"
FIRST_PLACE = "Store"


class PlaceQuerySet(models.QuerySet["Place"]):
    def live(self) -> Self:
        return self.filter(is_put_away=False)

    def by_code(self) -> Self:
        return self.order_by("code")

    def with_counts(self) -> Self:
        """Adds ``items``, how many different things lie there, ``offcut_count``, and
        ``counted_at``, when the whole place was last counted."""
        from builds.models.stock import Stock
        from builds.models.store import Offcut

        lying = Stock.objects.filter(place=models.OuterRef("pk"), on_hand__gt=0)
        offcuts = Offcut.objects.in_store().filter(place=models.OuterRef("pk"))
        return self.annotate(
            items=_count(lying),
            offcut_count=_count(offcuts),
            counted_at=models.Max("stocktakes__made_at"),
        )

    def usual(self) -> "Place":
        """Where things are put when nobody says where: the oldest in use, made if there is none."""
        return self.live().order_by("pk").first() or self.add(FIRST_PLACE)

    def add(self, name: str) -> "Place":
        """A new place with a code made from its name."""
        return self.create(name=name, code=free_code(name, self.values_list("code", flat=True)))


class Place(models.Model):
    """Where things lie. ``code`` is short, stands on the shelf and orders the lists."""

    code = models.CharField(
        max_length=LONGEST_CODE,
        unique=True,
        validators=[
            RegexValidator(
                CODE_PATTERN,
                "A code has up to 12 capital letters, digits and dashes, such as A1 or LOFT-2.",
            )
        ],
    )
    name = models.CharField(max_length=LONGEST_PLACE, unique=True)
    note = models.CharField(max_length=200, blank=True)
    is_put_away = models.BooleanField(default=False, editable=False)

    objects = PlaceQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="place_has_code_and_name", condition=~models.Q(code="") & ~models.Q(name="")
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_empty(self) -> bool:
        from builds.models.store import Offcut

        lies_there = self.stocks.filter(on_hand__gt=0).exists()
        return not lies_there and not Offcut.objects.in_store().filter(place=self).exists()


def free_code(name: str, taken: "models.QuerySet[Place, str] | set[str]") -> str:
    """A code like the name that is not among those taken; numbered where it would be."""
    body = slugify(name).upper()[:LONGEST_CODE].strip("-_") or "PLACE"
    body = body.replace("_", "-")
    known, code, number = set(taken), body, 1
    while code in known:
        number += 1
        tail = f"-{number}"
        code = body[: LONGEST_CODE - len(tail)] + tail
    return code


def _count(rows: "models.QuerySet[models.Model]") -> models.functions.Coalesce:
    counted = rows.order_by().values("place").annotate(n=models.Count("pk")).values("n")
    return models.functions.Coalesce(models.Subquery(counted), 0)
