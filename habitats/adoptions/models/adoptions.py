"""Adoptions: which animals go to whom, and what happened on the way.

What happens is appended (``AdoptionEvent``); the last of it that is no visit is the state. An
animal is in one running adoption at a time, and the database says so.
"""

from collections.abc import Collection
from datetime import date
from typing import Self, TypeVar

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adopters import Adopter
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.common.codes import CODE_LENGTH
from habitats.common.happened import AppendOnly, not_ahead
from habitats.common.idempotency import Idempotent
from habitats.common.sentence_field import SentenceField
from habitats.common.written import given_keys, written
from habitats.structure.design import Species
from habitats.welfare.new_home import CompanyAtHome
from habitats.wording import by_number, listed

M = TypeVar("M", bound=models.Model)

MOST_AT_HOME = 20
LONGEST_REASON = 300


class AdoptionState(models.TextChoices):
    RESERVED = "reserved", gettext_lazy("Reserved")
    TRIAL = "trial", gettext_lazy("On trial")
    ADOPTED = "adopted", gettext_lazy("Adopted")
    RETURNED = "returned", gettext_lazy("Returned")
    FELL_THROUGH = "fell_through", gettext_lazy("Fallen through")


class AdoptionQuerySet(models.QuerySet["Adoption"]):
    def with_state(self) -> Self:
        """Adds ``state``, ``since`` (its day) and, on trial, ``trial_ends``.

        Adopted animals that have all come back are adopted no longer, nor are those reserved that
        all left otherwise. One that died with its adopter was adopted to the end.
        """
        told = AdoptionEvent.objects.filter(adoption=models.OuterRef("pk"), state__gt="")
        last = told.order_by("-pk")
        of_it = AdoptedAnimal.objects.filter(adoption=models.OuterRef("pk"))
        there, died = of_it.open(), of_it.died_there()
        adopted, returned = AdoptionState.ADOPTED, AdoptionState.RETURNED
        open_states = [AdoptionState.RESERVED, AdoptionState.TRIAL]
        over = models.Value(AdoptionState.FELL_THROUGH)
        return self.annotate(
            said=models.Subquery(last.values("state")[:1]),
            is_running=models.Exists(there),
            since=models.Subquery(last.values("on")[:1]),
            trial_ends=models.Subquery(last.values("until")[:1]),
        ).annotate(
            state=models.Case(
                models.When(said=returned, is_running=True, then=models.Value(adopted)),
                models.When(
                    ~models.Exists(died),
                    said=adopted,
                    is_running=False,
                    then=models.Value(returned),
                ),
                models.When(said__in=open_states, is_running=False, then=over),
                default=models.F("said"),
            )
        )

    def in_state(self, *states: str) -> Self:
        return self.with_state().filter(models.Q(state__in=states))

    def with_names(self) -> Self:
        """So that the names of the animals and the adopter ask nothing more."""
        animals = AdoptedAnimal.objects.select_related("animal")
        return self.select_related("adopter").prefetch_related(models.Prefetch("animals", animals))

    def latest_first(self) -> Self:
        return self.order_by("-pk")

    def named_like(self, words: str) -> Self:
        """The code is the words, or adopter or an animal of it is called so."""
        return self.filter(
            models.Q(code=words.upper())
            | models.Q(adopter__name__icontains=words)
            | models.Exists(
                AdoptedAnimal.objects.filter(
                    models.Q(animal__name__icontains=words) | models.Q(animal__code=words.upper()),
                    adoption=models.OuterRef("pk"),
                )
            )
        )


class Adoption(Idempotent):
    """Animals that go to one adopter together.

    ``…_at_home``: animals that live there already, with whom they will; ``others`` are of the
    other species.
    """

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    adopter = models.ForeignKey(Adopter, on_delete=models.PROTECT, related_name="adoptions")
    species = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Species])
    females_at_home = models.PositiveSmallIntegerField(default=0)
    spayed_at_home = models.PositiveSmallIntegerField(default=0)
    males_at_home = models.PositiveSmallIntegerField(default=0)
    castrated_at_home = models.PositiveSmallIntegerField(default=0)
    # Once the only one, without a word on their sexes.
    unsexed_at_home = models.PositiveSmallIntegerField(default=0, db_column="company_at_home")
    others_at_home = models.PositiveSmallIntegerField(default=0)
    notes = models.TextField(max_length=2000, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = AdoptionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="adoption_species_is_known",
                condition=models.Q(species__in=[one.value for one in Species]),
            ),
            models.CheckConstraint(
                name="company_at_home_is_sane",
                condition=models.Q(
                    females_at_home__lte=MOST_AT_HOME,
                    spayed_at_home__lte=MOST_AT_HOME,
                    males_at_home__lte=MOST_AT_HOME,
                    castrated_at_home__lte=MOST_AT_HOME,
                    unsexed_at_home__lte=MOST_AT_HOME,
                    others_at_home__lte=MOST_AT_HOME,
                ),
            ),
        ]

    def __str__(self) -> str:
        names = sorted((one.animal.name for one in self.animals.all()), key=by_number)
        return _("%(animals)s to %(adopter)s") % {
            "animals": str(listed(names)),
            "adopter": self.adopter,
        }

    @property
    def at_home(self) -> CompanyAtHome:
        """Who lives there already."""
        return CompanyAtHome(*(getattr(self, f"{one}_at_home") for one in CompanyAtHome._fields))

    def open_animals(self) -> AnimalQuerySet:
        """Those that still go, or are, with this adopter."""
        return Animal.objects.filter(pk__in=self.animals.open().values("animal")).by_name()

    def state_now(self) -> AdoptionState:
        return AdoptionState(vars(Adoption.objects.with_state().get(pk=self.pk))["state"])


class AdoptedAnimalQuerySet(models.QuerySet["AdoptedAnimal"]):
    def open(self) -> Self:
        return self.filter(ended_on__isnull=True)

    def died_there(self) -> Self:
        """With their adopter, and nobody marked that as wrong."""
        return self.filter(deaths__isnull=False, deaths__strike__isnull=True)

    def on_trial(self) -> Self:
        """Open, and its adoption last told of a trial."""
        trials = Adoption.objects.in_state(AdoptionState.TRIAL)
        return self.open().filter(adoption__in=trials.values("pk"))

    def of(self, animals: Collection[int]) -> dict[int, "AdoptedAnimal"]:
        """By animal, its running adoption with ``state`` and ``trial_ends``: one query."""
        return {one.animal_id: one for one in _RUNNING(animals=animals)}


class AdoptedAnimal(models.Model):
    """An animal of an adoption; ``ended_on`` once it is of it no longer."""

    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="animals")
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="adoptions")
    ended_on = models.DateField(null=True, editable=False)

    objects = AdoptedAnimalQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["adoption", "animal"], name="an_animal_is_in_an_adoption_once"
            ),
            models.UniqueConstraint(
                fields=["animal"],
                condition=models.Q(ended_on__isnull=True),
                name="an_animal_is_in_one_running_adoption",
            ),
        ]

    def __str__(self) -> str:
        return f"animal {self.animal_id} in adoption {self.adoption_id}"


class Visit(models.TextChoices):
    """How a pre-visit went."""

    FINE = "fine", gettext_lazy("All as it should be")
    CHANGES = "changes", gettext_lazy("Fine after changes")
    UNSUITABLE = "unsuitable", gettext_lazy("Not suitable")


class AdoptionEvent(AppendOnly):
    """What happened to an adoption on a day.

    ``state``: what it is since; empty for a pre-visit, which has an outcome instead (``visit``).
    ``until``: the last day of a trial. ``note``: for an end the reason.
    """

    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="events")
    state = models.CharField(max_length=12, choices=AdoptionState, blank=True)
    visit = models.CharField(max_length=10, choices=Visit, blank=True)
    on = models.DateField()
    until = models.DateField(null=True)
    note = models.CharField(max_length=1000, blank=True)

    class Meta:
        indexes = [models.Index(fields=["adoption", "-id"], name="adoption_event_latest")]
        constraints = [
            models.CheckConstraint(
                name="an_adoption_event_is_a_state_or_a_visit",
                condition=models.Q(state__in=AdoptionState.values, visit="")
                | models.Q(state="", visit__in=Visit.values),
            ),
            models.CheckConstraint(
                name="a_trial_has_an_end",
                condition=models.Q(state=AdoptionState.TRIAL, until__gte=models.F("on"))
                | (~models.Q(state=AdoptionState.TRIAL) & models.Q(until__isnull=True)),
            ),
            models.CheckConstraint(
                name="an_adoption_ends_for_a_reason",
                condition=~models.Q(
                    state__in=[AdoptionState.RETURNED, AdoptionState.FELL_THROUGH], note=""
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.state or self.visit} on {self.on}"

    @property
    def words(self) -> str:
        if self.visit:
            return _("Pre-visit: %(outcome)s") % {"outcome": Visit(self.visit).label}
        return str(AdoptionState(self.state).label)


class AdoptionOverride(AppendOnly):
    """A coordinator let an adoption go on in spite of an objection, and said why.

    ``key`` names the objection, so that it is known again at the next step.
    """

    adoption = models.ForeignKey(Adoption, on_delete=models.PROTECT, related_name="overrides")
    key = models.CharField(max_length=200)
    sentence = SentenceField()
    reason = models.CharField(max_length=LONGEST_REASON)
    is_block = models.BooleanField()
    confirmed = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="adoption_override_has_a_reason", condition=~models.Q(reason="")
            ),
            models.CheckConstraint(
                name="an_adoption_block_is_overridden_on_second_thought",
                condition=models.Q(is_block=False) | models.Q(confirmed=True),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} overridden"


def trials_over(day: date) -> "models.QuerySet[AdoptionEvent]":
    """The last word on adoptions that are on trial until this day or an earlier one, by that day.

    The names of the animals and the adopter ask nothing more.
    """
    later = AdoptionEvent.objects.filter(
        adoption=models.OuterRef("adoption"), pk__gt=models.OuterRef("pk"), state__gt=""
    )
    there = AdoptedAnimal.objects.filter(adoption=models.OuterRef("adoption")).open()
    said = AdoptionEvent.objects.filter(state=AdoptionState.TRIAL, until__lte=day)
    found = said.filter(~models.Exists(later), models.Exists(there))
    return with_adoptions_names(found).order_by("until", "adoption")


def with_adoptions_names(rows: "models.QuerySet[M]") -> "models.QuerySet[M]":
    """Rows of an ``adoption`` each, so that the names of its animals and adopter ask no more."""
    animals = AdoptedAnimal.objects.select_related("animal")
    return rows.select_related("adoption__adopter").prefetch_related(
        models.Prefetch("adoption__animals", animals)
    )


def last_day(adoption: Adoption) -> date | None:
    """That of its last event: nothing may be said of a day before it. None: a wrong clock's."""
    found: date | None = not_ahead(adoption.events.all()).aggregate(last=models.Max("on"))["last"]
    return found


def _running() -> AdoptedAnimalQuerySet:
    stated = Adoption.objects.with_state().filter(pk=models.OuterRef("adoption"))
    running = AdoptedAnimal.objects.open().filter(animal__in=given_keys("animals"))
    return running.annotate(
        state=models.Subquery(stated.values(told=models.F("state"))[:1]),
        trial_ends=models.Subquery(stated.values(told=models.F("trial_ends"))[:1]),
    ).select_related("adoption__adopter")


# Pages of animals and groups, and their lists, ask it.
_RUNNING = written(_running)
