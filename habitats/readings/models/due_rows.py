"""What is due, a row each: worked out with how an enclosure stands, and asked for by day and home.

The rows of an enclosure are written with its reading and go when that is forgotten; so do those of
an animal that lives in none (``unhoused.py``). So Today and the calendar ask for what they show,
however much else is due.
"""

from collections.abc import Collection, Iterable
from typing import Any, Self

from django.db import models

from habitats.animals.models.animals import Animal
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.stored_wording import from_json, to_json
from habitats.welfare.ahead import Due, DueKind

SAFETY_CHECK = "look"  # the enclosure's safety check, beside what is due for its animals
CHANGE = "change"  # of linens; written by their feature
# Written by the health log.
RECHECK, VACCINATION, TEETH, NAILS = "recheck", "vaccination", "teeth", "nails"
REPORTED = "reported"
# What is asked for regularly can wait a day; everything else that is due cannot.
CAN_WAIT = (DueKind.WEIGH.value, SAFETY_CHECK, CHANGE, TEETH, NAILS)
# Not worked out with how the enclosure stands.
BESIDE = (SAFETY_CHECK, CHANGE, RECHECK, VACCINATION, TEETH, NAILS, REPORTED)
AT_ONCE = 1000


class DueRowQuerySet(models.QuerySet["DueRow"]):
    def visible_to(self, person: Person) -> Self:
        """A coordinator sees what is due everywhere, others what is due in their own homes."""
        return self if person.is_coordinator else self.filter(home__people=person)

    def of_animals(self) -> Self:
        """Without changes of linens, which have pages of their own."""
        return self.exclude(kind=CHANGE)

    def of_residents(self) -> Self:
        """Those that say how the enclosure stands with who lives there."""
        return self.exclude(kind__in=BESIDE)

    def by_day(self) -> Self:
        return self.order_by("day", "pk")

    def rewrite(self, rows: Iterable["DueRow"], **of: Collection[int]) -> None:
        """These instead of all of those enclosures or animals: ``enclosure=keys``."""
        ((name, keys),) = of.items()
        self.filter(**{f"{name}__in": keys}).delete()
        DueRow.objects.bulk_create(rows, batch_size=AT_ONCE)


class DueRow(models.Model):
    """Something due by a day in an enclosure, or for an animal that lives in none.

    ``home``: where the enclosure stands; None: nowhere. ``day`` may be past. ``until``: the last
    day of a span. ``animals``: those whom it concerns, ``[code, name]`` each. ``more``: what only
    its kind has.
    """

    enclosure = models.ForeignKey(
        Enclosure, on_delete=models.CASCADE, null=True, related_name="due_rows"
    )
    animal = models.ForeignKey(Animal, on_delete=models.CASCADE, null=True, related_name="due_rows")
    home = models.ForeignKey(Home, on_delete=models.CASCADE, null=True, related_name="due_rows")
    kind = models.CharField(max_length=24)
    day = models.DateField()
    until = models.DateField(null=True)
    undated = models.BooleanField(default=False)
    animals = models.JSONField(default=list)
    sentence_json = models.JSONField(default=str)
    more = models.JSONField(default=dict)

    objects = DueRowQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["day", "home"], name="due_by_day"),
            models.Index(fields=["home", "day"], name="due_by_home"),
            # All that a count of one kind asks for.
            models.Index(fields=["kind", "day", "home", "enclosure"], name="due_of_kind"),
        ]
        constraints = [
            models.CheckConstraint(
                name="due_in_an_enclosure_or_for_an_animal_without",
                condition=models.Q(enclosure__isnull=False, animal__isnull=True)
                | models.Q(enclosure__isnull=True, animal__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} by {self.day}"

    @property
    def sentence(self) -> str:
        return from_json(self.sentence_json)

    @property
    def names(self) -> list[str]:
        return [name for _code, name in self.animals]

    @property
    def can_wait(self) -> bool:
        return self.kind in CAN_WAIT


def row_of(due: Due, names: dict[str, str], **owner: Any) -> DueRow:
    """One that is not written yet. ``names``: of the animals, by ref."""
    return DueRow(
        kind=due.kind.value,
        day=due.day,
        until=due.until,
        undated=due.undated,
        animals=[[ref, names.get(ref, ref)] for ref in due.animals],
        sentence_json=to_json(due.sentence),
        **owner,
    )
