"""People who log in: what each may do, and how each likes to read lengths and print."""

from typing import Self, TypeVar

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.common.languages import CODE_LENGTH


class Person(AbstractUser):
    """A coordinator or a volunteer. Adopters have no account: they get an expiring link."""

    class Role(models.TextChoices):
        COORDINATOR = "coordinator", _("Coordinator")
        BUILDER = "builder", _("Builder")
        FOSTER = "foster", _("Foster")
        LAUNDRY = "laundry", _("Laundry volunteer")

    class Units(models.TextChoices):
        METRIC = "metric", _("Millimetres")
        INCHES = "inches", _("Inches")

    class Paper(models.TextChoices):
        A4 = "A4", "A4"
        LETTER = "Letter", _("Letter")

    role = models.CharField(max_length=20, choices=Role, default=Role.BUILDER)
    units = models.CharField(
        _("units of length"), max_length=10, choices=Units, default=Units.METRIC
    )
    paper = models.CharField(_("paper size"), max_length=10, choices=Paper, default=Paper.A4)

    # Empty: as the browser asks.
    language = models.CharField(max_length=CODE_LENGTH, blank=True)
    # Made for them, and printed: they choose one of their own before anything else.
    has_first_password = models.BooleanField(default=False, editable=False)
    # A second account of the same person: a pointer, that cannot log in.
    same_as = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="doubles", editable=False
    )

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        constraints = [
            models.CheckConstraint(
                name="person_role_is_known",
                condition=models.Q(role__in=["coordinator", "builder", "foster", "laundry"]),
            ),
            models.CheckConstraint(
                name="person_units_are_known", condition=models.Q(units__in=["metric", "inches"])
            ),
            models.CheckConstraint(
                name="person_paper_is_known", condition=models.Q(paper__in=["A4", "Letter"])
            ),
        ]

    def __str__(self) -> str:
        """The first name: what anybody may read, so that no page tells more by oversight."""
        return self.first_name or self.username

    @property
    def full_name(self) -> str:
        return self.get_full_name() or self.username

    def name_for(self, reader: object) -> str:
        """In full for a coordinator, who has to tell two of one name apart, and for oneself."""
        if isinstance(reader, Person) and (reader.is_coordinator or reader.pk == self.pk):
            return self.full_name
        return str(self)

    @property
    def is_coordinator(self) -> bool:
        return self.role == self.Role.COORDINATOR


_Row = TypeVar("_Row", bound=models.Model, covariant=True)


class WorkshopQuerySet(models.QuerySet[_Row]):
    """Rows of the workshop: of what is drawn, built, pulled and cut."""

    def visible_to(self, person: Person) -> Self:
        """Coordinators and builders see all of them, others none."""
        sees_all = person.role in (Person.Role.COORDINATOR, Person.Role.BUILDER)
        return self if sees_all else self.none()
