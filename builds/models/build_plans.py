"""What a build consists of, worked out once and kept, so that a design may change meanwhile.

A build that is planned anew gets another plan; the earlier one stays. A step is known by its
``key``, made of all that it says, so a tick counts in each plan that has the very same step.
"""

import gzip
import hashlib
import json
import uuid
from typing import Any, Self

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction

from builds.models.builds import Build, CannotSay
from builds.models.plan_cards import Cards, cards_of
from habitats.models import DesignRevision, Person
from habitats.models.happened import Happened
from habitats.models.structures import structure_of
from habitats.structure.faults import BadDesign

KEY_LENGTH = 12


class BuildPlanQuerySet(models.QuerySet["BuildPlan"]):
    def newest_first(self) -> Self:
        return self.order_by("-number")

    def work_out(
        self,
        build: Build,
        revision: DesignRevision,
        *,
        by: Person,
        standing: DesignRevision | None = None,
        cards: Cards | None = None,
        once: uuid.UUID | None = None,
    ) -> "BuildPlan":
        """The next plan of a build: to make the revision, or to alter ``standing`` into it.

        ``cards``: those of a repair, which leaves the revision as it stands; None: worked out.
        The same ``once`` again gives the same plan. Raises ``CannotSay`` for a draft, and where
        the two do not go together.
        """
        once = once or uuid.uuid4()
        with transaction.atomic():
            Build.objects.select_for_update(of=("self",)).get(pk=build.pk)
            known = self.filter(once=once).first()
            if known:
                return known
            if structure_of(revision.shape()) is None:
                raise CannotSay("This design is a draft and cannot be made yet: finish it first.")
            told = cards or _worked_out(revision, standing)
            plan = self.create(
                build=build, number=build.plans.count() + 1, revision=revision, standing=standing,
                is_repair=cards is not None,
                parts=told.parts, points=told.points, once=once, made_by=by,
            )  # fmt: skip
            BuildStep.objects.bulk_create(
                BuildStep(
                    plan=plan, number=number, key=key_of(card), card=card,
                    pictures=_packed(pictures),
                )
                for number, (card, pictures) in enumerate(told.steps, start=1)
            )  # fmt: skip
        return plan


class BuildPlan(Happened):
    """One working-out. ``standing`` None: built from nothing, or a repair.

    A repair (``is_repair``) takes its parts alone: the revision stands already.

    ``parts`` are the lines of the part list, ``points`` those of the inspection.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="plans")
    number = models.PositiveSmallIntegerField()
    revision = models.ForeignKey(DesignRevision, on_delete=models.PROTECT, related_name="+")
    standing = models.ForeignKey(
        DesignRevision, on_delete=models.PROTECT, null=True, related_name="+"
    )
    is_repair = models.BooleanField(default=False)
    parts = models.JSONField(encoder=DjangoJSONEncoder)
    points = models.JSONField()

    objects = BuildPlanQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["build", "number"], name="one_build_plan_a_number"),
        ]

    def __str__(self) -> str:
        return f"plan {self.number} of build {self.build_id}"


class BuildStep(models.Model):
    """A step as it was worked out: ``card`` as ``plan_cards.StepCard`` has it."""

    plan = models.ForeignKey(BuildPlan, on_delete=models.PROTECT, related_name="steps")
    number = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=KEY_LENGTH)
    card = models.JSONField()
    pictures = models.BinaryField(editable=False)

    class Meta:
        ordering = ["plan", "number"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "number"], name="one_build_step_a_number"),
            models.UniqueConstraint(fields=["plan", "key"], name="one_build_step_a_key"),
        ]

    def __str__(self) -> str:
        return f"step {self.number} of plan {self.plan_id}"

    def told(self, units: str) -> dict[str, Any]:
        """The card for one who reads lengths in these units."""
        words = {name: self.card[name][units] for name in ("title", "instructions", "cautions")}
        return {**self.card, **words}

    def picture(self, units: str) -> str:
        """Its picture as SVG."""
        pictures: dict[str, str] = json.loads(gzip.decompress(self.pictures))
        return pictures[units]


def key_of(card: dict[str, Any]) -> str:
    """What a step is known by: the same for the same step, another as soon as a word differs."""
    text = json.dumps(card, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:KEY_LENGTH]


def _worked_out(revision: DesignRevision, standing: DesignRevision | None) -> Cards:
    try:
        return cards_of(revision.shape(), standing.shape() if standing else None)
    except BadDesign as bad:
        raise CannotSay(" ".join(fault.message for fault in bad.faults)) from bad


def _packed(pictures: dict[str, str]) -> bytes:
    return gzip.compress(json.dumps(pictures).encode(), mtime=0)
