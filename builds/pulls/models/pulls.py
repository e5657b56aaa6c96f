"""Pulls: the material list that a builder takes from the store for a build.

A pull has its lines, so many of an item each. What is reserved and taken for it, and brought back,
stands in the ledger of the store, in the build's name; what was not there, or not needed after
all, is appended here. It ends once. What happens to it: ``pulling.py``; how it stands:
``pull_sheet.py``.
"""

from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from builds.plans.models.build_acts import Shortage
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build
from builds.store.models.items import Item
from habitats.common.happened import AppendOnly, refuse_edit
from habitats.common.sentence_field import SentenceField
from habitats.people.models.people import WorkshopQuerySet
from habitats.stored_wording import all_from_json

LONGEST_NOTE = 200


class CannotPull(Exception):
    """This cannot be done as things are, so nothing was changed; ``str()`` is the sentence."""


class PullQuerySet(WorkshopQuerySet["Pull"]):
    def open(self) -> Self:
        return self.filter(end__isnull=True)

    def newest_first(self) -> Self:
        return self.order_by("-pk")

    def soonest_first(self) -> Self:
        return self.order_by(models.F("build__planned_on").asc(nulls_last=True), "pk")


class Pull(AppendOnly):
    """What one build takes. ``plan``: whose material it is; None: only what was reported short.

    ``uncounted``: what it takes and the store has no item for, a sentence each; read as
    ``uncounted_sentences``. Pulls of earlier versions have theirs in English.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="pulls")
    plan = models.ForeignKey(BuildPlan, on_delete=models.PROTECT, null=True, related_name="pulls")
    uncounted = models.JSONField(default=list)

    objects = PullQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["build", "-id"], name="pull_latest")]

    @property
    def uncounted_sentences(self) -> list[str]:
        return all_from_json(self.uncounted)

    def __str__(self) -> str:
        return f"pull for build {self.build_id}"

    @property
    def is_open(self) -> bool:
        return self.end_or_none() is None

    def end_or_none(self) -> "PullEnd | None":
        return getattr(self, "end", None)


class PullLine(models.Model):
    """So many of an item. ``shortage``: the report that asked for them; None: the plan did."""

    pull = models.ForeignKey(Pull, on_delete=models.PROTECT, related_name="lines")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="pull_lines")
    wanted = models.PositiveIntegerField()
    shortage = models.OneToOneField(
        Shortage, on_delete=models.PROTECT, null=True, related_name="line"
    )

    class Meta:
        ordering = ["pull", "pk"]
        constraints = [
            models.CheckConstraint(name="pull_line_wants_some", condition=models.Q(wanted__gt=0)),
            models.UniqueConstraint(
                fields=["pull", "item"],
                condition=models.Q(shortage__isnull=True),
                name="one_pull_line_an_item",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.wanted} of item {self.item_id}"

    def save(self, **options: object) -> None:
        """Append only."""
        refuse_edit(self)
        super().save(**options)  # type: ignore[arg-type]


class ShortPick(AppendOnly):
    """Fewer were taken than the pull asks for, and why. ``instead``: what served in their place."""

    class Why(models.TextChoices):
        MISSING = "missing", _("Not on the shelf")
        INSTEAD = "instead", _("Alternative taken")
        UNNEEDED = "unneeded", _("Not needed")

    pull = models.ForeignKey(Pull, on_delete=models.PROTECT, related_name="shorts")
    item = models.ForeignKey(Item, on_delete=models.PROTECT, related_name="+")
    count = models.PositiveIntegerField()
    why = models.CharField(max_length=10, choices=Why)
    instead = models.ForeignKey(Item, on_delete=models.PROTECT, null=True, related_name="+")
    note = SentenceField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="short_pick_counts", condition=models.Q(count__gt=0)),
            models.CheckConstraint(
                name="short_pick_why_is_known",
                condition=models.Q(why__in=["missing", "instead", "unneeded"]),
            ),
            models.CheckConstraint(
                name="only_what_serves_instead_is_named",
                condition=models.Q(why="instead") | models.Q(instead__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} of item {self.item_id}: {self.why}"


class PullEnd(AppendOnly):
    """A pull is over. There is one end, and it stays."""

    class How(models.TextChoices):
        COMPLETE = "complete", _("Complete")
        SHORT = "short", _("Closed with shortages")
        REPLANNED = "replanned", _("Re-planned")
        GIVEN_UP = "given up", _("Cancelled")

    pull = models.OneToOneField(Pull, on_delete=models.PROTECT, related_name="end")
    how = models.CharField(max_length=10, choices=How)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="pull_end_is_known",
                condition=models.Q(how__in=["complete", "short", "replanned", "given up"]),
            ),
        ]

    def __str__(self) -> str:
        return f"pull {self.pull_id}: {self.how}"
