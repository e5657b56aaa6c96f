"""Bonding: two animals meet for a while, and how it went.

A refusal is remembered until an attempt of the same two ends with their bond.
"""

import uuid
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy

from habitats.animals.models.animals import Animal
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import get_or_make
from habitats.people.models.people import Person
from habitats.welfare.bonding import Refusal

MOST_MINUTES = 24 * 60
LONGEST_PLACE = 60


class BondingAttemptQuerySet(models.QuerySet["BondingAttempt"]):
    def of(self, animal: Animal) -> Self:
        return self.filter(models.Q(one=animal) | models.Q(other=animal))

    def among(self, animals: Collection[int]) -> Self:
        return self.filter(one__in=animals, other__in=animals)

    def in_time(self) -> Self:
        return self.order_by("on", "pk")

    def newest_first(self) -> Self:
        return self.order_by("-on", "-pk")


class BondingAttempt(AppendOnly):
    """Which of the two is ``one`` says nothing.

    ``minutes`` None and ``is_neutral`` None: nobody said. Neutral: the ground is new to both.
    """

    class Outcome(models.TextChoices):
        BONDED = "bonded", gettext_lazy("Bonded: they stay together")
        CALM = "calm", gettext_lazy("Calm: side by side, or apart in peace")
        TENSE = "tense", gettext_lazy("Tense: chasing or mounting")
        REFUSED = "refused", gettext_lazy("Refused: a fight, or parted to prevent one")

    one = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="bonding_as_one")
    other = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="bonding_as_other")
    on = models.DateField()
    outcome = models.CharField(max_length=8, choices=Outcome)
    minutes = models.PositiveSmallIntegerField(
        null=True, validators=[MinValueValidator(1), MaxValueValidator(MOST_MINUTES)]
    )
    place = models.CharField(max_length=LONGEST_PLACE, blank=True)
    is_neutral = models.BooleanField(null=True)
    note = models.CharField(max_length=300, blank=True)

    objects = BondingAttemptQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["one", "-on"], name="bonding_of_one"),
            models.Index(fields=["other", "-on"], name="bonding_of_other"),
        ]
        constraints = [
            models.CheckConstraint(
                name="no_animal_bonds_with_itself",
                condition=~models.Q(one=models.F("other")),
            ),
            models.CheckConstraint(
                name="bonding_outcome_is_known",
                condition=models.Q(outcome__in=["bonded", "calm", "tense", "refused"]),
            ),
        ]

    def __str__(self) -> str:
        return f"animals {self.one_id} and {self.other_id}, {self.outcome} on {self.on}"

    @property
    def pair(self) -> tuple[int, int]:
        """Their keys, the lower first: the same for both ways round."""
        return min(self.one_id, self.other_id), max(self.one_id, self.other_id)


def record_attempt(
    animal: Animal, with_one: Animal, *, by: Person, idempotency_key: uuid.UUID, **facts: Any
) -> BondingAttempt:
    """The same key again changes nothing."""
    one, other = sorted((animal, with_one), key=lambda each: each.pk)
    return get_or_make(
        BondingAttempt.objects, idempotency_key, one=one, other=other, made_by=by, **facts
    )


def bonding_until(day: date) -> tuple["models.Prefetch[Any]", "models.Prefetch[Any]"]:
    """For a query of animals: all that ``refusals_of`` asks for, as it stood on that day."""
    told = deciding_attempts(day)
    return (
        models.Prefetch("bonding_as_one", told.select_related("other"), to_attr="refused_as_one"),
        models.Prefetch("bonding_as_other", told.select_related("one"), to_attr="refused_as_other"),
    )


def deciding_attempts(day: date) -> "models.QuerySet[BondingAttempt]":
    """Those up to that day that tell whether two bear each other, in time."""
    decided = [BondingAttempt.Outcome.REFUSED, BondingAttempt.Outcome.BONDED]
    return BondingAttempt.objects.filter(on__lte=day, outcome__in=decided).in_time()


def refusals_of(animal: Animal) -> tuple[Refusal, ...]:
    """Whom it would not bear, and since when; of an animal loaded with ``bonding_until``."""
    standing: dict[str, Refusal] = {}
    # Of a merged animal, attempts of one pair stand both ways round.
    for other, attempt in sorted(_told(animal), key=lambda told: (told[1].on, told[1].pk)):
        if attempt.outcome == BondingAttempt.Outcome.REFUSED:
            standing[other.code] = Refusal(other.code, attempt.on)
        else:
            standing.pop(other.code, None)
    return tuple(standing.values())


def _told(animal: Animal) -> Iterator[tuple[Animal, BondingAttempt]]:
    facts: dict[str, list[BondingAttempt]] = vars(animal)
    for attempt in facts["refused_as_one"]:
        yield attempt.other, attempt
    for attempt in facts["refused_as_other"]:
        yield attempt.one, attempt


class PairRecord(NamedTuple):
    """What was tried with two animals: ``last`` is the latest attempt."""

    last: BondingAttempt
    attempts: int
    minutes: int


def pair_records(animals: Iterable[Animal]) -> list[PairRecord]:
    """Of each two of them that met, by name: one query."""
    found: dict[tuple[int, int], list[BondingAttempt]] = {}
    keys = [one.pk for one in animals]
    for attempt in BondingAttempt.objects.among(keys).in_time().select_related("one", "other"):
        found.setdefault(attempt.pair, []).append(attempt)
    records = [
        PairRecord(all_[-1], len(all_), sum(one.minutes or 0 for one in all_))
        for all_ in found.values()
    ]
    return sorted(records, key=lambda one: (one.last.one.name, one.last.other.name))
