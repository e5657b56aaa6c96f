"""Homes: foster households and the rescue's own depots.

What the work needs to know stands here; how to reach the people stands in ``HomeContact``, apart,
for those who need it.
"""

import uuid
from datetime import date
from functools import cache
from typing import Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from habitats.common.codes import CODE_LENGTH, LONGEST_OWN_ID, new_code
from habitats.common.idempotency import Idempotent, get_or_make
from habitats.common.several_codes import codes_of, every_choice
from habitats.people.models.people import Person
from habitats.structure.design import Species
from habitats.welfare.other_pets import REACHES_IN, OtherPet
from habitats.welfare.words import MANY
from habitats.wording import listed

MOST_ENCLOSURES, MOST_ANIMALS, MOST_ISOLATION_PLACES = 200, 1_000, 50
LEAST_FOOTPRINT_MM, LARGEST_FOOTPRINT_MM = 300, 20_000


def home_words(name: str, area: str) -> str:
    return f"{name}, {area}" if area else name


class HomeQuerySet(models.QuerySet["Home"]):
    def visible_to(self, person: Person) -> Self:
        """Coordinators and builders see all homes, fosters their own, others none."""
        sees_all = person.has_role(Person.Role.COORDINATOR, Person.Role.BUILDER)
        return self if sees_all else self.cared_for_by(person)

    def cared_for_by(self, person: Person) -> Self:
        """Those whose animals the person may see: all for coordinators, a foster's own."""
        if person.is_coordinator:
            return self
        return self.filter(people=person) if person.has_role(Person.Role.FOSTER) else self.none()

    def live(self) -> Self:
        return self.filter(closed_on__isnull=True)

    def closed(self) -> Self:
        return self.filter(closed_on__isnull=False, same_as__isnull=True)

    def named_like(self, words: str) -> Self:
        """Name or area holds the words, or the code or the own number is the words."""
        return self.filter(
            models.Q(name__icontains=words)
            | models.Q(area__icontains=words)
            | models.Q(code=words.upper())
            | models.Q(own_id=words)
        )

    def by_name(self) -> Self:
        return self.order_by("name", "area", "pk")

    def take_on(
        self, *, by: Person, idempotency_key: uuid.UUID | None = None, **facts: object
    ) -> "Home":
        """A new home. The same key again gives the same home."""
        return get_or_make(self, idempotency_key, **facts, code=new_code(), made_by=by)


class Home(Idempotent):
    """Where enclosures stand. ``name`` is what everybody may know: a first name, or a depot's.

    ``own_id`` is what the rescue itself calls it, in lists from before; empty if it has no number.
    ``most_enclosures``: how many the home can look after; ``most_animals`` likewise, where None
    limits nothing. ``largest_width_mm`` and ``largest_depth_mm`` are the largest footprint that
    fits, either way round; None: not measured. ``isolation_places``: enclosures that can be kept
    apart from the rest of the home. ``known_species`` are those it has experience with; empty:
    nobody said, which limits nothing. ``pet_kinds`` are chosen from a list and decide whether
    enclosures need a lid; ``other_pets`` are words about them, and decide nothing.
    ``same_as``: it is a pointer to the home with which it was merged.
    ``pool``: where its linens come from; None: nobody said yet.
    """

    class Kind(models.TextChoices):
        FOSTER = "foster", _("Foster household")
        DEPOT = "depot", _("Rescue depot")

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    own_id = models.CharField(_("your own number"), max_length=LONGEST_OWN_ID, blank=True)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.FOSTER)
    name = models.CharField(max_length=60)
    area = models.CharField(max_length=60, blank=True)
    people = models.ManyToManyField(settings.AUTH_USER_MODEL, blank=True, related_name="homes")
    most_enclosures = models.PositiveIntegerField(
        default=1, validators=[MaxValueValidator(MOST_ENCLOSURES)]
    )
    most_animals = models.PositiveIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(MOST_ANIMALS)]
    )
    largest_width_mm = models.PositiveIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(LEAST_FOOTPRINT_MM), MaxValueValidator(LARGEST_FOOTPRINT_MM)],
    )
    largest_depth_mm = models.PositiveIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(LEAST_FOOTPRINT_MM), MaxValueValidator(LARGEST_FOOTPRINT_MM)],
    )
    known_species = models.CharField(max_length=40, blank=True)
    pet_kinds = models.CharField(max_length=60, blank=True)
    other_pets = models.CharField(max_length=120, blank=True)
    has_stairs = models.BooleanField(default=False)
    isolation_places = models.PositiveIntegerField(
        default=0, validators=[MaxValueValidator(MOST_ISOLATION_PLACES)]
    )
    pool = models.ForeignKey(
        "habitats.Pool", on_delete=models.SET_NULL, null=True, blank=True, related_name="homes"
    )
    notes = models.TextField(max_length=2000, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    same_as = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, related_name="doubles", editable=False
    )
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = HomeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["own_id"], condition=~models.Q(own_id=""), name="home_own_id_is_its_own"
            ),
            models.CheckConstraint(name="home_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="home_kind_is_known", condition=models.Q(kind__in=["foster", "depot"])
            ),
            models.CheckConstraint(
                name="home_holds_a_sane_number",
                condition=models.Q(most_enclosures__lte=MOST_ENCLOSURES),
            ),
            models.CheckConstraint(
                name="home_holds_a_sane_number_of_animals",
                condition=models.Q(most_animals__isnull=True)
                | models.Q(most_animals__lte=MOST_ANIMALS),
            ),
            models.CheckConstraint(
                name="home_isolates_a_sane_number",
                condition=models.Q(isolation_places__lte=MOST_ISOLATION_PLACES),
            ),
            models.CheckConstraint(
                name="home_knows_species_there_are",
                condition=models.Q(known_species__in=every_choice(Species)),
            ),
            models.CheckConstraint(
                name="home_has_pets_of_known_kinds",
                condition=models.Q(pet_kinds__in=every_choice(OtherPet)),
            ),
            models.CheckConstraint(
                name="home_footprint_has_two_sides",
                condition=models.Q(largest_width_mm__isnull=True, largest_depth_mm__isnull=True)
                | models.Q(
                    largest_width_mm__range=(LEAST_FOOTPRINT_MM, LARGEST_FOOTPRINT_MM),
                    largest_depth_mm__range=(LEAST_FOOTPRINT_MM, LARGEST_FOOTPRINT_MM),
                ),
            ),
        ]

    def __str__(self) -> str:
        return home_words(self.name, self.area)

    @property
    def is_closed(self) -> bool:
        return self.closed_on is not None

    @property
    def sides_mm(self) -> tuple[int, int] | None:
        """Of the largest footprint that fits."""
        if self.largest_width_mm is None or self.largest_depth_mm is None:
            return None
        return self.largest_width_mm, self.largest_depth_mm

    @property
    def species(self) -> tuple[Species, ...]:
        """Those it knows; empty: nobody said."""
        return species_in(self.known_species)

    @property
    def pets(self) -> tuple[OtherPet, ...]:
        return _pets_in(self.pet_kinds)

    @property
    def needs_lids(self) -> bool:
        """Whether a pet of the home can reach into an open enclosure."""
        return needs_lids(self.pet_kinds)

    @property
    def has_unsorted_pets(self) -> bool:
        """Pets were told in words, and nobody chose of which kinds they are."""
        return bool(self.other_pets) and not self.pet_kinds

    def get_known_species_display(self) -> str:
        return str(listed([str(MANY[one]) for one in self.species]))

    def get_pet_kinds_display(self) -> str:
        return str(listed([str(one.words) for one in self.pets]))

    @property
    def brief(self) -> str:
        """What else a list tells of it, after its footprint."""
        places = ngettext(
            "%(number)d isolation place", "%(number)d isolation places", self.isolation_places
        )
        told = (
            places % {"number": self.isolation_places} if self.isolation_places else "",
            gettext("stairs") if self.has_stairs else "",
            self.get_pet_kinds_display(),
            self.other_pets,
        )
        return ", ".join(one for one in told if one)

    def fits(self, width_mm: int, depth_mm: int) -> bool | None:
        """Whether a footprint fits, either way round; None where nobody has measured."""
        if self.sides_mm is None:
            return None
        room = sorted(self.sides_mm)
        footprint = sorted((width_mm, depth_mm))
        return footprint[0] <= room[0] and footprint[1] <= room[1]

    def close(self, on: date) -> None:
        self.closed_on = on
        self.save(update_fields=["closed_on"])

    def reopen(self) -> None:
        self.closed_on = None
        self.save(update_fields=["closed_on"])


@cache
def species_in(codes: str) -> tuple[Species, ...]:
    """As ``known_species`` has them."""
    return tuple(Species(one) for one in codes_of(codes))


@cache
def needs_lids(codes: str) -> bool:
    """Of ``pet_kinds``: whether one can reach into an open enclosure."""
    return bool(REACHES_IN.intersection(_pets_in(codes)))


def _pets_in(codes: str) -> tuple[OtherPet, ...]:
    return tuple(OtherPet(one) for one in codes_of(codes))


class HomeContact(models.Model):
    """How to reach a home: for coordinators and the home's own people, and nobody else."""

    home = models.OneToOneField(Home, on_delete=models.CASCADE, related_name="contact")
    full_name = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.TextField(max_length=400, blank=True)

    def __str__(self) -> str:
        return f"contact of home {self.home_id}"

    @staticmethod
    def may_be_seen_by(person: Person, home: Home) -> bool:
        return person.is_coordinator or home.people.filter(pk=person.pk).exists()
