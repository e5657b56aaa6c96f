"""Spots: the places in enclosures that a linen lies in, and the sizes they ask for."""

from datetime import date
from typing import Any, Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.enclosures.models.enclosures import Enclosure
from habitats.measures import size
from habitats.rotation.spots import SpotShape, kept_name, spots_for
from habitats.structure.structure import Structure

LONGEST_INTERVAL = 60
AT_ONCE = 1000


class Sort(models.TextChoices):
    LINER = "liner", _("Liner")
    TOWEL = "towel", _("Towel")
    PAD = "pad", _("Pad")
    COVER = "cover", _("Cover")


class LinenSize(models.Model):
    """A finished size that linens of one sort are made in: what may lie in the same spots.

    A liner may be turned, so its width is never more than its length; a towel's length runs
    along the ramp.
    """

    sort = models.CharField(max_length=10, choices=Sort)
    width_mm = models.PositiveIntegerField()
    length_mm = models.PositiveIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["sort", "width_mm", "length_mm"], name="one_linen_size_a_measure"
            ),
            models.CheckConstraint(
                name="linen_size_is_a_size",
                condition=models.Q(width_mm__gt=0, length_mm__gt=0),
            ),
            models.CheckConstraint(
                name="linen_size_sort_is_known",
                condition=models.Q(sort__in=[one.value for one in Sort]),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_sort_display()} {size((self.width_mm, self.length_mm))}"

    @classmethod
    def of(cls, sort: str, width_mm: int, length_mm: int) -> "LinenSize":
        """The size with these measures, made if nobody asked for it before."""
        if sort != Sort.TOWEL:
            width_mm, length_mm = sorted((width_mm, length_mm))
        return cls.objects.get_or_create(sort=sort, width_mm=width_mm, length_mm=length_mm)[0]


class SpotNameField(models.CharField):  # type: ignore[type-arg]
    """Kept in English, and told in the reader's language."""

    def from_db_value(self, kept: str | None, *_: object) -> str | None:
        return None if kept is None else kept_name(kept)

    def deconstruct(self) -> Any:
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs


class SpotQuerySet(models.QuerySet["Spot"]):
    def lined(self) -> Self:
        """Those that a linen is wanted in today."""
        return self.filter(is_lined=True, gone_on__isnull=True)

    def lay_missing(self) -> None:
        """Give their spots to all enclosures that have none, such as those written in bulk."""
        shapes: dict[int, list[tuple[SpotShape, LinenSize]]] = {}
        spots = []
        bare = Enclosure.objects.filter(spots__isnull=True).order_by("revision", "pk")
        for enclosure, revision in bare.values_list("pk", "revision"):
            if revision not in shapes:
                structure = Enclosure.objects.with_shape().get(pk=enclosure).structure()
                there = spots_for(structure) if structure else ()
                shapes[revision] = [(one, _size(one)) for one in there]
            spots += [
                Spot(enclosure_id=enclosure, key=one.key, name=one.name, size_id=size.pk)
                for one, size in shapes[revision]
            ]
        Spot.objects.bulk_create(spots, batch_size=AT_ONCE)


class Spot(models.Model):
    """A place in an enclosure that a linen lies in: a level's floor or a part of it, or a ramp.

    Not ``is_lined``: there is something else in it. ``gone_on``: an alteration took it away.
    """

    enclosure = models.ForeignKey(Enclosure, on_delete=models.PROTECT, related_name="spots")
    key = models.CharField(max_length=40)
    name = SpotNameField(max_length=80)
    size = models.ForeignKey(LinenSize, on_delete=models.PROTECT, related_name="spots")
    is_lined = models.BooleanField(default=True)
    gone_on = models.DateField(null=True, editable=False)

    objects = SpotQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["enclosure", "key"],
                condition=models.Q(gone_on__isnull=True),
                name="one_spot_a_key",
            ),
        ]

    def __str__(self) -> str:
        return str(self.name)

    @staticmethod
    def lay(enclosure: Enclosure, structure: Structure, on: date) -> None:
        """Give the enclosure the spots of what stands; those it no longer has are gone.

        A spot whose size changed is another one: its linen no longer fits.
        """
        there = {one.key: one for one in enclosure.spots.filter(gone_on__isnull=True)}
        wanted = {one.key: one for one in spots_for(structure)}
        for key, spot in list(there.items()):
            if key not in wanted or spot.size != _size(wanted[key]):
                spot.gone_on = on
                spot.save(update_fields=["gone_on"])
                del there[key]
        Spot.objects.bulk_create(
            Spot(enclosure=enclosure, key=key, name=one.name, size=_size(one))
            for key, one in wanted.items()
            if key not in there
        )


class ChangePlan(models.Model):
    """How often an enclosure's linens are changed, set by hand; without one by policy."""

    enclosure = models.OneToOneField(
        Enclosure, on_delete=models.CASCADE, related_name="change_plan"
    )
    interval_days = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="change_interval_is_sane",
                condition=models.Q(interval_days__range=(1, LONGEST_INTERVAL)),
            ),
        ]

    def __str__(self) -> str:
        return f"every {self.interval_days} days"


def _size(shape: SpotShape) -> LinenSize:
    return LinenSize.of(shape.sort, shape.width_mm, shape.length_mm)
