"""Animals, and what they weighed."""

import logging
import uuid
from datetime import date, timedelta
from functools import partial
from typing import Self

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.animals.models.acts import Act, recording
from habitats.animals.models.quarantines import Quarantine
from habitats.chips import BETWEEN, DIGITS
from habitats.common.codes import CODE_LENGTH, LONGEST_OWN_ID, new_code
from habitats.common.days import in_short
from habitats.common.happened import AppendOnly, SpanQuerySet
from habitats.common.idempotency import Idempotent, get_or_make, made_before
from habitats.enclosures.models.standing import Standing
from habitats.people.models.people import Person
from habitats.structure.design import Species
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.weights import LEAST_GRAMS, MOST_GRAMS, YOUNG_DAYS

logger = logging.getLogger(__name__)

MOST_MARGIN_DAYS = 3 * 365
LONGEST_ORIGIN, LONGEST_COLOUR, LONGEST_SEEN = 120, 60, 300
_GROUP = "memberships__group__"
# Of a record that is of no animal: an undone intake, and one that was merged with another.
NEVER_CAME = ("mistake", "double")


def _young(day: date) -> models.Q:
    """Those that still grow fast on that day."""
    young = models.Q()
    for species, days in YOUNG_DAYS.items():
        young |= models.Q(species=species.value, born__gt=day - timedelta(days=days))
    return young


def _stood(day: date, **where: object) -> models.QuerySet[Standing, int]:
    """Keys of the enclosures that stood there. Asked apart: of one question over all tables between
    an animal and the people of its home, PostgreSQL plans longer than it answers."""
    return Standing.objects.on(day).filter(**where).values_list("enclosure", flat=True)


class AnimalQuerySet(models.QuerySet["Animal"]):
    def visible_to(self, person: Person, today: date) -> Self:
        """Coordinators see all animals, fosters those that are in their home today."""
        if person.is_coordinator:
            return self
        if not person.has_role(Person.Role.FOSTER):
            return self.none()
        return self.in_homes_of(person, today)

    def in_homes_of(self, person: Person, day: date) -> Self:
        return self.where(day, home__people=person)

    def where(self, day: date, **of_stand: object) -> Self:
        """Those whose enclosure stood, on that day, where the conditions say."""
        # One row each: an animal is in one group at a time, and a group in one enclosure.
        return self.filter(
            SpanQuerySet.covers(day, "memberships__"),
            SpanQuerySet.covers(day, f"{_GROUP}stays__"),
            **{f"{_GROUP}stays__enclosure__in": _stood(day, **of_stand)},
        )

    def here(self) -> Self:
        """In the rescue's care."""
        return self.filter(left_on__isnull=True)

    def gone(self) -> Self:
        return self.filter(left_on__isnull=False).exclude(left_why__in=NEVER_CAME)

    def named_like(self, words: str) -> Self:
        """The name holds the words, or the code, the own number or the chip is the words."""
        numbered = models.Q(code=words.upper()) | models.Q(own_id=words)
        if len(chip := BETWEEN.sub("", words)) == DIGITS:
            numbered |= models.Q(chip=chip)
        return self.filter(models.Q(name__icontains=words) | numbered)

    def quarantined(self, day: date, limits: WelfareLimits) -> Self:
        """Kept apart on that day; at intake for as long as is advised."""
        return self.filter(pk__in=Quarantine.objects.on(day, limits).values("animal"))

    def without_group(self, day: date) -> Self:
        # Negated along a relation, two conditions would be asked of two rows: asked of one here.
        grouped = Animal.objects.filter(SpanQuerySet.covers(day, "memberships__"))
        return self.exclude(pk__in=grouped.values("pk"))

    def without_enclosure(self, day: date) -> Self:
        """In no group, or in one that stays nowhere on that day."""
        stays = SpanQuerySet.covers(day, "memberships__group__stays__")
        housed = Animal.objects.filter(SpanQuerySet.covers(day, "memberships__"), stays)
        return self.exclude(pk__in=housed.values("pk"))

    def with_weight(self) -> Self:
        """Adds ``grams`` and ``weighed_on`` of the last weighing that stands; None if never."""
        last = Weighing.objects.standing().filter(animal=models.OuterRef("pk")).latest_first()
        return self.annotate(
            grams=models.Subquery(last.values("grams")[:1]),
            weighed_on=models.Subquery(last.values("on")[:1]),
        )

    def due_first(self, day: date, young_every_days: int, every_days: int) -> Self:
        """In the order in which they should be weighed, ``with_weight``.

        What is due, the longest not weighed first, and then the others. An estimated birth is
        taken for the day itself here; the pure rules look closer.
        """
        grown = models.Q(weighed_on__lte=day - timedelta(days=every_days))
        growing = models.Q(weighed_on__lte=day - timedelta(days=young_every_days)) & _young(day)
        due = models.Q(weighed_on__isnull=True) | grown | growing
        return (
            self.with_weight()
            .annotate(is_due=models.Case(models.When(due, then=0), default=1))
            .order_by("is_due", models.F("weighed_on").asc(nulls_first=True), "name", "pk")
        )

    def by_name(self) -> Self:
        return self.order_by("name", "pk")

    def take_in(
        self, *, by: Person, idempotency_key: uuid.UUID | None = None, **facts: object
    ) -> "Animal":
        """A new animal. The same key again gives the same animal."""
        known = made_before(self, idempotency_key)
        if known:
            return known
        with transaction.atomic():
            made = get_or_make(self, idempotency_key, **facts, code=new_code(), made_by=by)
            with recording(Act.Kind.INTAKE, made.came_on, by=by, animal=made):
                return made


class Animal(Idempotent):
    """``born`` may be an estimate: then right to ``born_margin_days`` either way. None: unknown.

    ``own_id`` is the rescue's own number for it, empty if it has none.
    An empty ``sex`` has not been told yet; ``sex_guess`` is then what it looks like, which no rule
    relies on. ``came_from`` and ``found_by`` name people: coordinators alone read them.
    ``condition`` is what was seen of it on the day it came. A castrated animal's day may be
    unknown.
    ``with_male_since`` and ``with_male_last`` are the days on which one that may be pregnant was
    with an entire male; a last day of None is not over yet.
    ``same_as``: it is a pointer to the animal with which it was merged.
    ``rhd_exposed_on``: a rabbit may then have met rabbit haemorrhagic disease;
    ``rhd_negative_on``: the sample of its negative serology was taken.
    """

    class Sex(models.TextChoices):
        FEMALE = "F", gettext_lazy("Female")
        MALE = "M", gettext_lazy("Male")

    class Origin(models.TextChoices):
        FOUND = "found", gettext_lazy("Found, keeper not known")
        GIVEN_UP = "given up", gettext_lazy("Given up by its keeper")
        SEIZED = "seized", gettext_lazy("Brought by an authority")
        RESCUE = "rescue", gettext_lazy("From another rescue")
        BORN_HERE = "born here", gettext_lazy("Born in our care")
        OTHER = "other", gettext_lazy("Other")

    class Leaving(models.TextChoices):
        ADOPTED = "adopted", gettext_lazy("Adopted")
        PASSED_ON = "passed on", gettext_lazy("Transferred to another rescue")
        RETURNED = "returned", gettext_lazy("Returned to its owner")
        DIED = "died", gettext_lazy("Died")
        MISSING = "missing", gettext_lazy("Escaped, not found")
        # Never chosen in a form: its intake was undone; it was recorded twice.
        MISTAKE = "mistake", gettext_lazy("Recorded by mistake")
        DOUBLE = "double", gettext_lazy("Recorded twice")

        @classmethod
        def chosen(cls) -> list[tuple[str, str]]:
            """What may be said of one that leaves."""
            return [(one.value, str(one.label)) for one in cls if one.value not in NEVER_CAME]

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    own_id = models.CharField(
        gettext_lazy("your own number"), max_length=LONGEST_OWN_ID, blank=True
    )
    name = models.CharField(max_length=60)
    species = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Species])
    sex = models.CharField(max_length=1, choices=Sex, blank=True)
    sex_guess = models.CharField(max_length=1, choices=Sex, blank=True)
    chip = models.CharField(max_length=DIGITS, blank=True)
    colour = models.CharField(max_length=LONGEST_COLOUR, blank=True)
    marks = models.CharField(max_length=LONGEST_ORIGIN, blank=True)
    born = models.DateField(null=True, blank=True)
    born_margin_days = models.PositiveIntegerField(
        default=0, validators=[MaxValueValidator(MOST_MARGIN_DAYS)]
    )
    came_on = models.DateField()
    origin = models.CharField(max_length=10, choices=Origin, blank=True)
    came_from = models.CharField(max_length=LONGEST_ORIGIN, blank=True)
    found_by = models.CharField(max_length=LONGEST_ORIGIN, blank=True)
    condition = models.CharField(max_length=LONGEST_SEEN, blank=True)
    is_castrated = models.BooleanField(default=False)
    castrated_on = models.DateField(null=True, blank=True)
    castrated_before_maturity = models.BooleanField(default=False)
    may_be_pregnant = models.BooleanField(default=False)
    with_male_since = models.DateField(null=True, blank=True)
    with_male_last = models.DateField(null=True, blank=True)
    rhd_exposed_on = models.DateField(null=True, blank=True)
    rhd_negative_on = models.DateField(null=True, blank=True)
    mother = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="young"
    )
    adult_grams = models.PositiveIntegerField(null=True, blank=True)
    notes = models.TextField(max_length=4000, blank=True)
    photo = models.FileField(upload_to="animals", blank=True, editable=False)
    left_on = models.DateField(null=True, blank=True)
    left_why = models.CharField(max_length=10, choices=Leaving, blank=True)
    same_as = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="doubles", editable=False
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = AnimalQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["own_id"], condition=~models.Q(own_id=""), name="animal_own_id_is_its_own"
            ),
            models.UniqueConstraint(
                fields=["chip"], condition=~models.Q(chip=""), name="animal_chip_is_its_own"
            ),
            models.CheckConstraint(
                name="animal_origin_is_known",
                condition=models.Q(
                    origin__in=["", "found", "given up", "seized", "rescue", "born here", "other"]
                ),
            ),
            models.CheckConstraint(
                name="sex_is_guessed_where_it_is_not_known",
                condition=models.Q(sex_guess="") | models.Q(sex_guess__in=["F", "M"], sex=""),
            ),
            models.CheckConstraint(name="animal_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="animal_species_is_known",
                condition=models.Q(species__in=[one.value for one in Species]),
            ),
            models.CheckConstraint(
                name="animal_sex_is_known", condition=models.Q(sex__in=["", "F", "M"])
            ),
            models.CheckConstraint(
                name="animal_is_born_before_it_is_castrated",
                condition=models.Q(castrated_on__isnull=True)
                | models.Q(born__isnull=True)
                | models.Q(born_margin_days__gt=0)
                | models.Q(castrated_on__gte=models.F("born")),
            ),
            models.CheckConstraint(
                name="what_was_castrated_is_castrated",
                condition=models.Q(is_castrated=True)
                | models.Q(castrated_on__isnull=True, castrated_before_maturity=False),
            ),
            models.CheckConstraint(
                name="animal_comes_before_it_leaves",
                condition=models.Q(left_on__isnull=True)
                | models.Q(left_on__gte=models.F("came_on")),
            ),
            models.CheckConstraint(
                name="animal_leaves_for_a_reason",
                condition=models.Q(left_on__isnull=True, left_why="")
                | (models.Q(left_on__isnull=False) & ~models.Q(left_why="")),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_here(self) -> bool:
        return self.left_on is None

    def weigh(
        self,
        grams: int,
        on: date,
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        note: str = "",
    ) -> "Weighing":
        """Append a weighing. The same key again changes nothing."""
        return get_or_make(
            Weighing.objects,
            idempotency_key,
            animal=self,
            grams=grams,
            on=on,
            note=note,
            made_by=by,
        )

    def keep_photo(self, jpeg: bytes) -> None:
        """Take a photo that has lost its metadata (``habitats/photos.py``) in place of the last."""
        before = self.photo.name
        self.photo.save(f"{uuid.uuid4()}.jpg", ContentFile(jpeg), save=False)
        self.save(update_fields=["photo"])
        self._forget_file(before)

    def drop_photo(self) -> None:
        before = self.photo.name
        if before:
            # A bucket that is away says so here, before the row forgets what has to go there.
            self.photo.storage.exists(before)
        self.photo = ""
        self.save(update_fields=["photo"])
        self._forget_file(before)

    def _forget_file(self, name: str | None) -> None:
        """Once no row names it for good: on a full disk the last photo stays."""
        if name:
            transaction.on_commit(partial(self._delete_file, name))

    def _delete_file(self, name: str) -> None:
        """It is saved already that no row names it, so a file that stays is told to the log."""
        try:
            self.photo.storage.delete(name)
        except OSError as fault:
            logger.warning("The photo %s could not be deleted: %s", name, fault)

    def photo_is_lost(self) -> bool:
        """Whether its file is missing. A bucket is not asked: each page would wait for it."""
        name = self.photo.name
        return bool(name and settings.MEDIA_IS_HERE and not self.photo.storage.exists(name))


class WeighingQuerySet(models.QuerySet["Weighing"]):
    def standing(self) -> Self:
        """Those that nobody has struck out."""
        return self.filter(strike__isnull=True)

    def latest_first(self) -> Self:
        """By day, and those of one day by the moment they were taken."""
        return self.order_by("-on", "-made_at", "-pk")

    def in_time(self) -> Self:
        return self.order_by("on", "made_at", "pk")


class Weighing(AppendOnly):
    """What an animal weighed on a day. A slip is struck out, not changed.

    ``made_at`` is the moment it was taken, also where it was sent later.
    """

    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="weighings")
    grams = models.PositiveIntegerField(
        validators=[MinValueValidator(LEAST_GRAMS), MaxValueValidator(MOST_GRAMS)]
    )
    on = models.DateField()
    note = models.CharField(max_length=200, blank=True)

    objects = WeighingQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["animal", "-on", "-made_at", "-id"], name="weighing_last_taken")
        ]
        constraints = [
            models.CheckConstraint(
                name="weight_is_sane", condition=models.Q(grams__range=(LEAST_GRAMS, MOST_GRAMS))
            ),
        ]

    def __str__(self) -> str:
        return _("%(grams)d g on %(day)s") % {"grams": self.grams, "day": in_short(self.on)}


class WeighingStrike(AppendOnly):
    """A weighing that was a slip of the pen or the scale: it no longer counts, but stays."""

    weighing = models.OneToOneField(Weighing, on_delete=models.PROTECT, related_name="strike")
    why = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        return f"weighing {self.weighing_id} struck out"
