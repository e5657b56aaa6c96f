"""Animals that must not climb: who said so, in whose words, and until when.

Nothing here is worked out; a vet says it, and a vet says when it is over.
"""

from collections.abc import Collection
from datetime import date
from typing import Self

from django.db import models
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.common.happened import AppendOnly
from habitats.common.written import given, given_keys, written
from habitats.people.models.written_names import PersonNameField

LONGEST_WHO, LONGEST_WORDS = 60, 300


class ClimbingBanQuerySet(models.QuerySet["ClimbingBan"]):
    def in_force(self) -> Self:
        """What was last recorded of each animal; an earlier row is history."""
        later = ClimbingBan.objects.filter(
            animal=models.OuterRef("animal"), pk__gt=models.OuterRef("pk")
        )
        return self.filter(~models.Exists(later))

    def on(self, day: date) -> Self:
        """In force, and the animal must not climb on this day."""
        is_open = models.Q(until__isnull=True) | models.Q(until__gt=day)
        return self.in_force().filter(is_open, since__lte=day)

    def in_groups(
        self, groups: Collection[int] | None, day: date
    ) -> dict[int, list["ClimbingBan"]]:
        """By group, of these or of all, those of its animals on that day; two queries."""
        belonging = _BANNED(day=day) if groups is None else _BANNED_OF(groups=groups, day=day)
        group_of = dict(belonging)
        found: dict[int, list[ClimbingBan]] = {}
        for ban in _BANS(day=day) if group_of else ():
            if ban.animal_id in group_of:
                found.setdefault(group_of[ban.animal_id], []).append(ban)
        return found


class ClimbingBan(AppendOnly):
    """From ``since`` on; ``until`` is the first day on which it may climb again, None: not told.

    The last row of an animal counts: to end or to lengthen one, another is appended.
    ``said_by``: a vet, mostly; ``words`` are theirs, as they were written.
    """

    animal = models.ForeignKey(Animal, on_delete=models.PROTECT, related_name="climbing_bans")
    since = models.DateField()
    until = models.DateField(null=True, blank=True)
    said_by = PersonNameField(max_length=LONGEST_WHO)
    words = models.CharField(max_length=LONGEST_WORDS, blank=True)

    objects = ClimbingBanQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["animal", "-id"], name="climbing_ban_latest")]
        constraints = [
            models.CheckConstraint(
                name="climbing_ban_ends_after_it_begins",
                condition=models.Q(until__isnull=True) | models.Q(until__gte=models.F("since")),
            ),
            models.CheckConstraint(
                name="somebody_said_not_to_climb", condition=~models.Q(said_by="")
            ),
        ]

    def __str__(self) -> str:
        return f"animal {self.animal_id} must not climb since {self.since}"

    def is_on(self, day: date) -> bool:
        return self.since <= day and (self.until is None or self.until > day)

    @property
    def sentence(self) -> str:
        """With whose words these are."""
        values = {"animal": self.animal, "person": self.said_by, "words": self.words}
        told = _("%(animal)s must not climb (%(person)s: “%(words)s”).")
        return (told if self.words else _("%(animal)s must not climb (%(person)s).")) % values

    @property
    def ramp_caution(self) -> str:
        """Where it lives, or is about to live, with a ramp."""
        return _("%(ban)s This enclosure has a ramp.") % {"ban": self.sentence}


def _belonging() -> models.QuerySet[Membership]:
    banned = ClimbingBan.objects.values("animal")
    return Membership.objects.on(given("day", date)).filter(animal__in=banned)


_BANNED = written(lambda: _belonging().values_list("animal", "group"))
_BANNED_OF = written(
    lambda: _belonging().filter(group__in=given_keys("groups")).values_list("animal", "group")
)
_BANS = written(
    lambda: (
        ClimbingBan.objects.on(given("day", date))
        .select_related("animal")
        .order_by("animal__name", "pk")
    )
)
