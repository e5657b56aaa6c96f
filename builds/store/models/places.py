"""Places of the store: a shelf, room or box in which things lie."""

from typing import Self

from django.core.validators import RegexValidator
from django.db import models
from django.utils.text import slugify
from django.utils.translation import gettext_lazy as _

LONGEST_CODE, LONGEST_PLACE = 12, 60
CODE_PATTERN = rf"^[A-Z0-9][A-Z0-9-]{{0,{LONGEST_CODE - 1}}}$"
FIRST_PLACE = "Store"


class PlaceQuerySet(models.QuerySet["Place"]):
    def live(self) -> Self:
        return self.filter(is_put_away=False)

    def by_code(self) -> Self:
        return self.order_by("code")

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
                _("A code has up to 12 capital letters, digits and dashes, such as A1 or LOFT-2."),
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
