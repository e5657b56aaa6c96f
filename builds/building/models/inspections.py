"""The inspection at the end of a build, and the repairs that its failed points ask for."""

from collections.abc import Collection
from datetime import date
from typing import Any, NamedTuple, Self

from django.db import models

from builds.plans.models.builds import Build
from habitats.common.happened import AppendOnly
from habitats.common.sentence_field import SentenceField
from habitats.people.models.people import Person
from habitats.stored_wording import from_json, to_json


class Answered(NamedTuple):
    """A point of the inspection, answered; ``note`` says what is wrong where it is not good."""

    code: str
    question: str
    is_good: bool
    note: str

    def as_kept(self) -> dict[str, Any]:
        """As JSON, with the question as it was asked."""
        return {**self._asdict(), "question": to_json(self.question)}


class Inspection(AppendOnly):
    """Each point answered and signed. ``answers``: ``Answered.as_kept``, read as ``answered``.

    Of earlier versions the questions are English text, and stay so.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="inspections")
    on = models.DateField()
    answers = models.JSONField()
    signed = models.CharField(max_length=80)
    has_passed = models.BooleanField()

    class Meta:
        constraints = [
            models.CheckConstraint(name="inspection_is_signed", condition=~models.Q(signed=""))
        ]

    @property
    def answered(self) -> list[Answered]:
        """The answers, their questions in words for the reader."""
        return [Answered(**{**one, "question": from_json(one["question"])}) for one in self.answers]

    def __str__(self) -> str:
        return f"inspection of build {self.build_id} on {self.on}"


class RepairQuerySet(models.QuerySet["Repair"]):
    def open(self) -> Self:
        return self.filter(done__isnull=True)


class Repair(AppendOnly):
    """A point that failed. It is open until somebody says that it is mended.

    ``what`` is wrong as somebody typed it, else the question that was answered with no.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="repairs")
    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="repairs")
    code = models.CharField(max_length=40)
    what = SentenceField()

    objects = RepairQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["inspection", "code"], name="one_repair_a_point")
        ]

    def __str__(self) -> str:
        return str(self.what)

    def mend(self, on: date, *, by: Person, note: str = "") -> "RepairDone":
        """Say that it is mended; said again, the first word stays."""
        done, _is_new = RepairDone.objects.get_or_create(
            repair=self, defaults={"on": on, "by": by, "note": note}
        )
        return done


class RepairDone(models.Model):
    """Mended, by whom and when."""

    repair = models.OneToOneField(Repair, on_delete=models.PROTECT, related_name="done")
    on = models.DateField()
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    def __str__(self) -> str:
        return f"{self.repair} mended"


def may_inspect(person: Person, people: Collection[Person]) -> bool:
    """Who signs: a coordinator, or a builder who is on the build and so knows what was done."""
    return person.is_coordinator or (person.has_role(Person.Role.BUILDER) and person in people)
