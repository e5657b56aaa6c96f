"""Entries of the health log: appended, never edited; a correction is an entry that names another.

The words are the vet's or the keeper's own. Nothing is worked out of them.
"""

from collections.abc import Collection
from datetime import date
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.common.happened import AppendOnly
from habitats.common.written import given_keys, written
from habitats.welfare.reports import ReportKind

LONGEST_WORDS = 2000
MOST_FOOD_G = 5000


class EntryKind(models.TextChoices):
    VISIT = "visit", _("Vet visit")
    FINDING = "finding", _("Finding")
    VACCINATION = "vaccination", _("Vaccination")
    TEETH = "teeth", _("Teeth checked")
    NAILS = "nails", _("Nails checked")
    FOOD = "food", _("Food weighed")
    # Reported by who looks after the animal; a coordinator acts on it.
    ILL = ReportKind.ILL.value, _("Ill or hurt")
    MISSING = ReportKind.MISSING.value, _("Escaped or missing")
    DIED = ReportKind.DIED.value, _("Died")
    BORN = ReportKind.BORN.value, _("Young were born")


REPORTS = tuple(EntryKind(one) for one in ReportKind)


class HealthEntryQuerySet(models.QuerySet["HealthEntry"]):
    def standing(self) -> Self:
        """Those that no later entry corrects, and that were no mistake."""
        return self.filter(correction__isnull=True, is_mistake=False)

    def to_follow(self) -> Self:
        """Those that name a day on which the animal is seen again, until an entry settles it.

        A report names its own day; that young were born is settled by the litter, too.
        """
        settled = HealthEntry.objects.standing().filter(
            settles=models.functions.Coalesce(models.OuterRef("first"), models.OuterRef("pk"))
        )
        recorded = Birth.objects.filter(
            mother=models.OuterRef("animal"), made_at__gte=models.OuterRef("made_at")
        )
        is_recorded = models.Q(kind=EntryKind.BORN) & models.Exists(recorded)
        found = self.standing().filter(~models.Exists(settled), again_on__isnull=False)
        return found.exclude(is_recorded)

    def latest_first(self) -> Self:
        return self.order_by("-on", "-pk")


class HealthEntry(AppendOnly):
    """What happened to an animal's health on a day, in words.

    ``again_on``: the day on which the vet wants to see the animal again, or on which a vaccination
    is due again, as the vet said. ``settles`` is the entry whose ``again_on`` this one answers.
    ``corrects`` is the entry in whose place this one stands, ``why`` says what was wrong, and
    ``first`` is the entry with which such a chain began. ``is_mistake``: nothing of it holds.
    """

    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="health_entries")
    kind = models.CharField(max_length=12, choices=EntryKind)
    on = models.DateField()
    words = models.TextField(max_length=LONGEST_WORDS, blank=True)
    vet = models.CharField(max_length=80, blank=True)
    grams = models.PositiveIntegerField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(MOST_FOOD_G)]
    )
    again_on = models.DateField(null=True, blank=True)
    settles = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="settled_by"
    )
    corrects = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="correction"
    )
    first = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    why = models.CharField(max_length=200, blank=True)
    is_mistake = models.BooleanField(default=False)

    objects = HealthEntryQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["animal", "-on", "-id"], name="health_entry_latest")]
        constraints = [
            models.CheckConstraint(
                name="health_entry_kind_is_known",
                condition=models.Q(kind__in=[one.value for one in EntryKind]),
            ),
            models.CheckConstraint(
                name="health_correction_says_why",
                condition=models.Q(corrects__isnull=True, first__isnull=True, is_mistake=False)
                | (models.Q(corrects__isnull=False, first__isnull=False) & ~models.Q(why="")),
            ),
            models.CheckConstraint(
                name="health_entry_is_seen_again_later",
                condition=models.Q(again_on__isnull=True) | models.Q(again_on__gte=models.F("on")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of animal {self.animal_id} on {self.on}"

    @property
    def kind_words(self) -> str:
        return str(EntryKind(self.kind).label)

    @property
    def is_vaccination(self) -> bool:
        return self.kind == EntryKind.VACCINATION

    @property
    def is_report(self) -> bool:
        return self.kind in REPORTS

    @property
    def answered_by(self) -> str:
        """The kind of the entry that settles it."""
        return EntryKind.FINDING.value if self.is_report else self.kind

    @property
    def is_nothing_eaten(self) -> bool:
        return self.kind == EntryKind.FOOD and not self.grams and not self.is_mistake

    @property
    def chain(self) -> int:
        """The key of the entry with which its corrections began: what an answer names."""
        return self.first_id or self.pk


def last_checks(animals: Collection[int]) -> dict[tuple[int, str], date]:
    """By animal and kind, the last day on which teeth or nails were checked: one query."""
    return {(animal, kind): last for animal, kind, last in _LAST_CHECKS(animals=animals)}


_LAST_CHECKS = written(
    lambda: (
        HealthEntry.objects.standing()
        .filter(animal__in=given_keys("animals"), kind__in=(EntryKind.TEETH, EntryKind.NAILS))
        .order_by()
        .values("animal", "kind")
        .annotate(last=models.Max("on"))
        .values_list("animal", "kind", "last")
    )
)
