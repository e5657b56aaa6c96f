"""Groups: animals that live together, who belonged to them and when."""

import uuid
from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime
from typing import Self

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.animals.models.acts import Act, ActPart, recording
from habitats.animals.models.animals import Animal
from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.days import in_full
from habitats.common.happened import AppendOnly, Elsewhere, Span, SpanQuerySet
from habitats.common.idempotency import Idempotent, get_or_make, made_before
from habitats.common.sentence_field import SentenceField
from habitats.common.written import given, given_keys, written
from habitats.people.models.people import Person
from habitats.structure.design import Species
from habitats.wording import listed


class GroupQuerySet(models.QuerySet["Group"]):
    def visible_to(self, person: Person, today: date) -> Self:
        """Coordinators see all groups, fosters those in their home today."""
        if person.is_coordinator:
            return self
        if not person.has_role(Person.Role.FOSTER):
            return self.none()
        stays = SpanQuerySet.covers(today, "stays__")
        standings = SpanQuerySet.covers(today, "stays__enclosure__standings__")
        # One row each: neither stays nor standings overlap, and a person is in a home once.
        return self.filter(stays, standings, stays__enclosure__standings__home__people=person)

    def live(self) -> Self:
        """Those that still have an animal in them."""
        return self.filter(
            models.Exists(Membership.objects.filter(group=models.OuterRef("pk")).open())
        )

    def named_like(self, words: str) -> Self:
        """Its name or that of an animal in it holds the words, or a code is the words."""
        living = Membership.objects.filter(group=models.OuterRef("pk")).open()
        named = models.Q(animal__name__icontains=words) | models.Q(animal__code=words.upper())
        return self.filter(
            models.Q(name__icontains=words)
            | models.Q(code=words.upper())
            | models.Exists(living.filter(named))
        )

    def latest_first(self) -> Self:
        return self.order_by("-pk")

    def begin(
        self, species: str, *, by: Person, name: str = "", idempotency_key: uuid.UUID | None = None
    ) -> "Group":
        """A new group, empty. The same key again gives the same group."""
        return get_or_make(
            self, idempotency_key, species=species, name=name, code=new_code(), made_by=by
        )


class Group(Idempotent):
    """Animals that live together. Without a name it is called by those of its animals."""

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    name = models.CharField(max_length=60, blank=True)
    species = models.CharField(max_length=20, choices=[(one.value, one.value) for one in Species])
    notes = models.TextField(max_length=2000, blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", editable=False
    )
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = GroupQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="group_species_is_known",
                condition=models.Q(species__in=[one.value for one in Species]),
            ),
        ]

    def __str__(self) -> str:
        return self.name or _("group %(code)s") % {"code": self.code}

    def called(self) -> str:
        """Its name, or those of its animals now: for a sentence that is no row of a list."""
        if self.name:
            return self.name
        names = self.memberships.open().order_by("animal__name", "animal")
        return listed(list(names.values_list("animal__name", flat=True))) or str(self)

    def admit(
        self, animal: Animal, since: date, *, by: Person, idempotency_key: uuid.UUID | None = None
    ) -> "Membership":
        """The animal lives in this group from a day on, and no longer in the one it was in.

        The same key again changes nothing. Raises ``Elsewhere`` where it is in a group for
        days after ``since`` already.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with recording(Act.Kind.JOIN, since, by=by):
            # Two who move one animal at once take turns here.
            Animal.objects.select_for_update(no_key=True).get(pk=animal.pk)
            known = made_before(Membership.objects, idempotency_key)
            if known:
                return known
            self._leave_others(animal, since, by)
            return self.memberships.create(
                animal=animal, since=since, made_by=by, idempotency_key=idempotency_key
            )

    def _leave_others(self, animal: Animal, since: date, by: Person) -> None:
        later = animal.memberships.filter(since__gt=since).exclude(until=models.F("since"))
        if later.exists():
            raise Elsewhere(
                _("%(animal)s is in another group from %(day)s on. Enter a later day.")
                % {"animal": animal, "day": in_full(later.earliest("since").since)}
            )
        current = animal.memberships.open().first()
        if current:
            current.end(since, by)
        closed_later = animal.memberships.filter(until__gt=since).exclude(since=models.F("until"))
        if closed_later.exists():
            raise Elsewhere(
                _("%(animal)s was in another group until %(day)s. Enter that day or a later one.")
                % {"animal": animal, "day": in_full(closed_later.latest("until").until or since)}
            )


class MembershipQuerySet(SpanQuerySet["Membership"]):
    pass


class Membership(Span):
    """An animal in a group."""

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="memberships")
    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="memberships")

    objects = MembershipQuerySet.as_manager()

    class Meta(Span.Meta):
        indexes = [
            models.Index(fields=["animal", "since"], name="membership_of_animal"),
            models.Index(fields=["group", "since"], name="membership_of_group"),
        ]
        constraints = [
            *Span.Meta.constraints,
            models.UniqueConstraint(
                fields=["animal"],
                condition=models.Q(until__isnull=True),
                name="animal_is_in_one_group_now",
            ),
        ]

    def __str__(self) -> str:
        return f"animal {self.animal_id} in group {self.group_id} since {self.since}"


class OverrideQuerySet(models.QuerySet["Override"]):
    def holding(self, groups: Collection[int], day: date | None = None) -> list["Override"]:
        """Those of these groups that still hold, the oldest first: two queries at most.

        With a day, those that held at its end.

        An override holds for the company as it was. It lapses when an animal it names comes into
        the group again, and what was said of one animal when anybody comes: who is alone again,
        after a companion came and went, is alone for another reason.
        """
        until = day or date.max
        told = _OVERRIDES(groups=groups, day=until)
        if not told:
            return []
        arrivals: dict[int, list[tuple[str, datetime]]] = defaultdict(list)
        for group, animal, at in _CAME(groups=groups, day=until):
            arrivals[group].append((animal, at))
        return [one for one in told if one.outlasts(arrivals[one.group_id])]


class Override(AppendOnly):
    """A coordinator let a group be, in spite of an objection, and said why.

    ``key`` names the objection as the pure rules do, so that it is known again tomorrow.
    ``confirmed`` was asked twice: needed for a block.
    """

    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="overrides")
    key = models.CharField(max_length=200)
    sentence = SentenceField()
    reason = models.CharField(max_length=300)
    is_block = models.BooleanField()
    confirmed = models.BooleanField(default=False)

    objects = OverrideQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["group", "key"], name="override_of_group")]
        constraints = [
            models.CheckConstraint(name="override_has_a_reason", condition=~models.Q(reason="")),
            models.CheckConstraint(
                name="a_block_is_overridden_on_second_thought",
                condition=models.Q(is_block=False) | models.Q(confirmed=True),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} overridden"

    def outlasts(self, arrivals: Iterable[tuple[str, datetime]]) -> bool:
        """Whether nobody it is about came later, of those who came (code, moment)."""
        _code, *about, _basis = self.key.split(" ")
        since = {animal for animal, at in arrivals if at > self.made_at}
        return not since.intersection(about) if len(about) > 1 else not since


_OVERRIDES = written(
    lambda: (
        Override.objects.filter(
            group__in=given_keys("groups"), made_at__date__lte=given("day", date)
        )
        .select_related("made_by")
        .order_by("pk")
    )
)
_CAME = written(
    lambda: (
        Membership.objects.filter(
            group__in=given_keys("groups"), made_at__date__lte=given("day", date)
        )
        .exclude(pk__in=ActPart.undone_spans("membership"))
        .values_list("group", "animal__code", "made_at")
    )
)
