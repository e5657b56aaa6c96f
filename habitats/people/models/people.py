"""People who log in: what each may do, and how each likes to read lengths and print."""

from typing import Any, ClassVar, Self, TypeVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from habitats.common.languages import CODE_LENGTH
from habitats.common.several_codes import codes_joined, codes_of, every_choice
from habitats.common.written import given, written
from habitats.wording import listed

ROLES = ("coordinator", "builder", "foster", "laundry")


class PersonManager(UserManager["Person"]):
    use_in_migrations = False

    def get(self, *args: Any, **named: Any) -> "Person":
        """By key alone it is what each request asks, so it is written once."""
        if args or set(named) != {"pk"} or not isinstance(named["pk"], int):
            return super().get(*args, **named)
        found = _OF_KEY.first(key=named["pk"])
        if found is None:
            raise Person.DoesNotExist
        return found

    def with_role(self, *roles: str) -> "models.QuerySet[Person]":
        """Those who have one of these roles, whatever else they do."""
        some = [one for one in every_choice(ROLES) if not set(roles).isdisjoint(codes_of(one))]
        return self.filter(roles__in=some)


class Person(AbstractUser):
    """A coordinator or a volunteer. Adopters have no account: they get an expiring link.

    ``roles`` are several codes in one column, one at least: a foster may build, too. They are
    asked by ``has_role`` and ``with_role``; nobody compares the column.
    """

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

    roles = models.CharField(max_length=40, default=Role.BUILDER.value, db_column="role")
    units = models.CharField(
        _("units of length"), max_length=10, choices=Units, default=Units.METRIC
    )
    paper = models.CharField(_("paper size"), max_length=10, choices=Paper, default=Paper.A4)

    # Empty: as the browser asks.
    language = models.CharField(max_length=CODE_LENGTH, blank=True)
    # When another person set the password that they have: they choose one of their own before
    # anything else, and soon. None: it is their own.
    first_password_at = models.DateTimeField(null=True, editable=False)
    # It was made by the program, and printed.
    is_on_slip = models.BooleanField(default=False, editable=False, db_column="has_first_password")
    # All that named them was taken away; the row stays, since it says who did what.
    erased_on = models.DateField(null=True, editable=False)
    # A second account of the same person: a pointer, that cannot log in.
    same_as = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="doubles", editable=False
    )

    objects: ClassVar[PersonManager] = PersonManager()

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        constraints = [
            models.CheckConstraint(
                name="person_roles_are_known",
                condition=models.Q(roles__in=every_choice(ROLES, least=1)),
            ),
            models.CheckConstraint(
                name="an_erased_person_is_not_named",
                condition=models.Q(erased_on__isnull=True)
                | models.Q(first_name="", last_name="", email="", is_active=False),
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
        if self.erased_on:
            return gettext("former member")
        return self.first_name or self.username

    @property
    def full_name(self) -> str:
        if self.erased_on:
            return f"{self} {self.pk}"
        return self.get_full_name() or self.username

    @property
    def has_first_password(self) -> bool:
        return self.first_password_at is not None

    def name_for(self, reader: object) -> str:
        """In full for a coordinator, who has to tell two of one name apart, and for oneself."""
        if isinstance(reader, Person) and (reader.is_coordinator or reader.pk == self.pk):
            return self.full_name
        return str(self)

    @property
    def own_roles(self) -> "list[Person.Role]":
        """In the order in which they are offered."""
        return [self.Role(one) for one in codes_of(self.roles)]

    def get_roles_display(self) -> str:
        return str(listed([str(one.label) for one in self.own_roles]))

    def has_role(self, *roles: str) -> bool:
        """Whether one of these is a role of this person."""
        return not set(roles).isdisjoint(codes_of(self.roles))

    @property
    def is_coordinator(self) -> bool:
        return self.has_role(self.Role.COORDINATOR)

    def add_role(self, role: str) -> None:
        self.roles = codes_joined([*codes_of(self.roles), role], ROLES)


_Row = TypeVar("_Row", bound=models.Model, covariant=True)


def sees_workshop(person: Person) -> bool:
    """Whether they see what is drawn, built, pulled and cut."""
    return person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER)


class WorkshopQuerySet(models.QuerySet[_Row]):
    """Rows of the workshop: of what is drawn, built, pulled and cut."""

    def visible_to(self, person: Person) -> Self:
        """Coordinators and builders see all of them, others none."""
        return self if sees_workshop(person) else self.none()


_OF_KEY = written(lambda: Person._default_manager.filter(pk=given("key", int)))
