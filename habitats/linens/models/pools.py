"""Pools: the linens that go round through one laundry, and the laundry itself."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.common.codes import CODE_LENGTH, new_code
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.rotation.infection import WashRun
from habitats.rotation.rating import (
    LEAST_SHARE_PERCENT,
    SYNTHETIC_SHARE_PERCENT,
    WHOLE_PERCENT,
)

MOST_LOADS_A_DAY = 100
MOST_COTTON_G = 200_000  # a large laundry's machine
MOST_DAYS = 14
HOTTEST_C = 95
MOST_MINUTES = 300


class PoolQuerySet(models.QuerySet["Pool"]):
    def visible_to(self, person: Person) -> Self:
        """Coordinators and laundry volunteers see all pools, fosters the one they draw from."""
        if person.has_role(Person.Role.COORDINATOR, Person.Role.LAUNDRY):
            return self
        if not person.has_role(Person.Role.FOSTER):
            return self.none()
        return self.filter(pk__in=Home.objects.filter(people=person).values("pool"))

    def live(self) -> Self:
        return self.filter(closed_on__isnull=True)

    def by_name(self) -> Self:
        return self.order_by("name", "pk")

    def set_up(self, name: str, home: Home, **figures: object) -> "Pool":
        """A new pool whose cupboard stands in the home, which draws from it from now on."""
        made = self.create(name=name, home=home, code=new_code(), **figures)
        home.pool = made
        home.save(update_fields=["pool"])
        return made


class Pool(models.Model):
    """Linens that go round through one laundry; their cupboard is in ``home``.

    ``weekdays`` are the wash days as bits, Monday the lowest. ``cotton_g`` is what the machine is
    rated for in dry cotton; of synthetics it takes ``synthetic_percent`` of that.
    A linen that is washed on one day is clean after ``washing_days + drying_days``.
    """

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    name = models.CharField(max_length=60, unique=True)
    home = models.ForeignKey(Home, on_delete=models.PROTECT, related_name="pools_kept")
    weekdays = models.PositiveSmallIntegerField(_("wash days"), default=0b0001001)
    loads_a_day = models.PositiveSmallIntegerField(
        default=2, validators=[MaxValueValidator(MOST_LOADS_A_DAY)]
    )
    cotton_g = models.PositiveIntegerField(
        default=8000, validators=[MinValueValidator(500), MaxValueValidator(MOST_COTTON_G)]
    )
    synthetic_percent = models.PositiveSmallIntegerField(
        default=SYNTHETIC_SHARE_PERCENT,
        validators=[MinValueValidator(LEAST_SHARE_PERCENT), MaxValueValidator(WHOLE_PERCENT)],
    )
    washing_days = models.PositiveSmallIntegerField(
        default=0, validators=[MaxValueValidator(MOST_DAYS)]
    )
    drying_days = models.PositiveSmallIntegerField(
        default=1, validators=[MaxValueValidator(MOST_DAYS)]
    )
    closed_on = models.DateField(null=True, blank=True)

    objects = PoolQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="pool_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="pool_wash_days_are_of_a_week", condition=models.Q(weekdays__range=(0, 127))
            ),
            models.CheckConstraint(
                name="pool_share_is_a_share",
                condition=models.Q(synthetic_percent__range=(LEAST_SHARE_PERCENT, WHOLE_PERCENT)),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def wash_weekdays(self) -> frozenset[int]:
        """Days of the week on which is washed, Monday 0."""
        return frozenset(day for day in range(7) if self.weekdays >> day & 1)

    @property
    def days_to_clean(self) -> int:
        return self.washing_days + self.drying_days

    def expected_back(self, washed_on: date) -> date:
        """The day from which what was washed on a day should be clean in the cupboard."""
        return washed_on + timedelta(days=self.days_to_clean)

    @staticmethod
    def bits_of(weekdays: Iterable[int]) -> int:
        return sum(1 << day for day in set(weekdays))


class Programme(models.Model):
    """A washing programme of a pool's machine, as its manual gives it.

    ``minutes`` are those for which the water is held at the temperature. Figures are not edited:
    loads point to them. A programme that changed is put away and written down anew.
    """

    pool = models.ForeignKey(Pool, on_delete=models.PROTECT, related_name="programmes")
    name = models.CharField(max_length=40)
    temperature_c = models.PositiveSmallIntegerField(validators=[MaxValueValidator(HOTTEST_C)])
    minutes = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(1), MaxValueValidator(MOST_MINUTES)]
    )
    put_away_on = models.DateField(null=True, blank=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(name="programme_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="programme_is_no_hotter_than_water",
                condition=models.Q(temperature_c__lte=HOTTEST_C),
            ),
            models.UniqueConstraint(
                fields=["pool", "name"],
                condition=models.Q(put_away_on__isnull=True),
                name="one_programme_a_name",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.temperature_c} °C, {self.minutes} min"

    def figures(self) -> WashRun:
        return WashRun(self.name, self.temperature_c, self.minutes)
