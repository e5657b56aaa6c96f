"""Who last changed what, so that a refused form can say by whom and when."""

from collections.abc import Iterable

from django.conf import settings
from django.db import models
from django.utils import timezone

from habitats.basis import MARK_LENGTH, Fact
from habitats.people.models.people import Person


class LastChangeQuerySet(models.QuerySet["LastChange"]):
    def remember(self, facts: Iterable[Fact], *, by: Person, letter: str, answer: str) -> None:
        """That these facts are now as they are because of this person and this form."""
        said = {"made_by": by, "made_at": timezone.now(), "letter": letter, "answer": answer}
        for fact in facts:
            self.update_or_create(
                subject=fact.of, fact=fact.name, defaults={**said, "mark": fact.mark}
            )

    def behind(self, facts: Iterable[Fact]) -> "dict[str, LastChange]":
        """By mark, who made the facts what they are; what came about otherwise is left out."""
        found = self.filter(mark__in=[fact.mark for fact in facts]).select_related("made_by")
        return {one.mark: one for one in found}


class LastChange(models.Model):
    """The last change of one fact. Not a history: each noun has its own.

    ``letter`` tells the form that made it, so that a repeat of it is known; ``answer`` is the
    address it led to.
    """

    subject = models.CharField(max_length=80)
    fact = models.CharField(max_length=80)
    mark = models.CharField(max_length=MARK_LENGTH, db_index=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    made_at = models.DateTimeField()
    letter = models.CharField(max_length=64)
    answer = models.CharField(max_length=500)

    objects = LastChangeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["subject", "fact"], name="a_fact_has_one_last_change"),
        ]

    def __str__(self) -> str:
        return f"{self.fact} of {self.subject}"
