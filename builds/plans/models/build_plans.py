"""The plan of a build, worked out once and saved, so that the design may change afterwards.

A build that is planned anew gets another plan; the earlier one stays. A step is known by its
``key``, made of the facts of its work and not of its words, so a tick counts in each plan that
asks for the same work.
"""

import gzip
import json
import uuid
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any, NamedTuple, Self

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.utils.translation import gettext as _

from builds.common.pace import our_pace
from builds.common.reckonings import WhatStands, stock_sheet_for, what_stands
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.inspection import words_now
from builds.making.pace import WorkPace
from builds.making.part_names import part_name
from builds.making.step_keys import KEY_LENGTH, in_step_with, key_of
from builds.plans.models.builds import NEEDING, Build, BuildQuerySet, BuildState, CannotBuild
from builds.plans.models.earlier_facts import EarlierStep, as_known_before
from builds.plans.models.plan_cards import (
    Cards,
    cards_of,
    kept_card,
    paced_card,
    read_card,
    second_of,
)
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.models.people import Person
from habitats.stored_pictures import NO_PICTURE, StoredPicture, picture_told
from habitats.structure.faults import BadDesign


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
        sheet: SheetSize | None = None,
        job: str = "",
        idempotency_key: uuid.UUID | None = None,
    ) -> "BuildPlan":
        """The next plan of a build: to make the revision, or to alter ``standing`` into it.

        ``cards``: those of a repair, which leaves the revision as it stands; None: worked out.
        ``sheet``: what its pieces are made for; None: the store's stock sheet. ``job``: the code
        of the cutting job that has them made so; empty: none.
        The same key again gives the same plan. Raises ``CannotBuild`` for a draft, and where
        the two do not go together.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
            known = made_before(self, idempotency_key)
            if known:
                return known
            if structure_of(revision.shape()) is None:
                raise CannotBuild(_("This design is a draft. Finish it before you plan a build."))
            stands = _stands(build, revision, standing)
            sheet = sheet or stock_sheet_for(revision.shape(), stands)
            found = cards or _worked_out(revision, sheet, stands)
            pace = our_pace()
            framed = in_frame_of(build, [one.card for one in found.steps], standing)
            plan = self.create(
                build=build,
                number=build.plans.count() + 1,
                revision=revision,
                standing=standing,
                is_repair=cards is not None,
                parts=found.parts,
                points=found.points,
                pace=dict(pace.percents),
                cut_from=_cut_from(sheet, stands, job),
                idempotency_key=idempotency_key,
                made_by=by,
            )
            plan.keep_steps(found, framed, pace)
        return plan


class BuildPlan(AppendOnly):
    """One working-out. ``standing`` None: built from nothing, or a repair.

    A repair (``is_repair``) takes its parts alone: the revision stands already.

    ``parts`` are the lines of the part list, ``points`` those of the inspection. ``pace`` is the
    share of the usual time that its estimates were made with, by kind of work.

    ``cut_from`` has the measures of the sheet that its pieces are made for (``sheet``), and of that
    of which what is altered was made (``stood``). Plans of earlier versions tell neither: both
    were the trade's sheet. Where a cutting job has the pieces made otherwise, ``job`` is its code.
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
    pace = models.JSONField(default=dict)
    cut_from = models.JSONField(default=dict)

    objects = BuildPlanQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["build", "number"], name="one_build_plan_a_number"),
        ]

    def __str__(self) -> str:
        return f"plan {self.number} of build {self.build_id}"

    def keep_steps(self, found: Cards, framed: Sequence[dict[str, Any]], pace: WorkPace) -> None:
        """Once, when it is made. ``framed``: the cards of the steps, in the frame of the build."""
        BuildStep.objects.bulk_create(
            BuildStep(
                plan=self,
                number=number,
                key=key_of(card["facts"]),
                card=kept_card(paced_card(card, pace)),
                pictures=_packed(one.pictures),
            )
            for number, (one, card) in enumerate(zip(found.steps, framed, strict=True), start=1)
        )

    @property
    def sheet(self) -> SheetSize:
        """What its pieces are made for."""
        return _told_sheet(self.cut_from, "sheet")

    @property
    def job(self) -> str:
        """The code of the cutting job that has its pieces made so; empty: none has."""
        return str(self.cut_from.get("job", ""))

    def stands(self, revision: DesignRevision | None = None) -> WhatStands | None:
        """What it alters; None: it is built from nothing, or a repair. ``revision``: what is laid
        over it, None for its own."""
        if self.standing is None:
            return None
        return what_stands(
            self.standing, revision or self.revision, _told_sheet(self.cut_from, "stood")
        )

    @property
    def questions(self) -> list[dict[str, str]]:
        """The points in today's words, which can be said in the reader's language."""
        return [words_now(point) for point in self.points]


class StepPictures(NamedTuple):
    """Its picture, and a second one: the piece turned over, the ramp from its side.

    ``second`` is empty where there is none, and in plans of earlier versions.
    """

    first: str
    second: str


class BuildStepQuerySet(models.QuerySet["BuildStep"]):
    def key_now(self, build: Build, key: str) -> str:
        """The key of the step that was known by this one, too; the same where none was.

        Phones hold pages, and acts that wait for signal, with keys of earlier versions.
        """
        known = self.named(build, key).values_list("key", flat=True)
        return (known.first() if key else None) or key

    def named(self, build: Build, key: str) -> Self:
        """The steps that were ever known by this key, of the newest plan first; of none by ""."""
        is_named = models.Q(key=key) | models.Q(former_key=key)
        found = self.filter(is_named, plan__build=build) if key else self.none()
        return found.order_by("-plan__number")


class BuildStep(models.Model):
    """A step as it was worked out: ``card`` as ``plan_cards.kept_card`` makes it.

    Its sentences are kept with their patterns, and told in the reader's language by ``card_in``.
    Rows of earlier versions hold English text, and pictures in the words of whoever planned; they
    stay so until the build is re-planned.

    ``former_key``: what it was known by before keys were made of facts; empty for newer ones. A
    step of that time whose facts could not be told has kept its key, and has no facts.
    """

    plan = models.ForeignKey(BuildPlan, on_delete=models.PROTECT, related_name="steps")
    number = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=KEY_LENGTH)
    former_key = models.CharField(max_length=KEY_LENGTH, blank=True, default="", editable=False)
    card = models.JSONField()
    pictures = models.BinaryField(editable=False)

    objects = BuildStepQuerySet.as_manager()

    class Meta:
        ordering = ["plan", "number"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "number"], name="one_build_step_a_number"),
            models.UniqueConstraint(fields=["plan", "key"], name="one_build_step_a_key"),
        ]

    def __str__(self) -> str:
        return f"step {self.number} of plan {self.plan_id}"

    def card_in(self, units: str) -> dict[str, Any]:
        """The card for one who reads lengths in these units."""
        return {**read_card(self.card, units), "adds": _named(self.card["adds"])}

    def seen(self, units: str) -> StepPictures:
        """Its pictures as SVG, their words in the reader's language.

        Read for this once: steps are kept at hand without their pictures.
        """
        packed = BuildStep.objects.values_list("pictures", flat=True).get(pk=self.pk)
        pictures: dict[str, StoredPicture] = json.loads(gzip.decompress(packed))
        second = pictures.get(second_of(units), NO_PICTURE)
        return StepPictures(picture_told(pictures[units]), picture_told(second))

    def picture(self, units: str) -> str:
        """The first of them."""
        return self.seen(units).first


def _named(added: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{**one, "name": part_name(one["what"])} for one in added]


def in_frame_of(
    build: Build, cards: Sequence[dict[str, Any]], standing: DesignRevision | None
) -> list[dict[str, Any]]:
    """The cards with their facts told in the places of the build's plan so far, if there is one.

    A lattice is as large as its drawing; what is altered lies as it stands. Work that the earlier
    plan has keeps the key that it has there.
    """
    newest = build.plans.newest_first().first()
    if newest is None:
        return list(cards)
    stored = newest.steps.values_list("card__facts", "card__tools")
    before = [EarlierStep(facts, tools) for facts, tools in stored if facts]
    facts = [card["facts"] for card in cards]
    if standing is None:
        facts = in_step_with([one.facts_now for one in before], facts)
    return [
        {**card, "facts": one}
        for card, one in zip(cards, as_known_before(before, facts), strict=True)
    ]


def sheet_of_enclosure(enclosure: Enclosure) -> SheetSize:
    """What the trays that lie in it were made for, as far as the build that made it tells."""
    plans = BuildPlan.objects.filter(build__enclosure=enclosure, is_repair=False)
    handed_over = plans.filter(build__events__state=BuildState.HANDED_OVER)
    last = handed_over.order_by("-build__pk", "-number").first()
    return last.sheet if last else STOCK_SHEET


def _stands(
    build: Build, revision: DesignRevision, standing: DesignRevision | None
) -> WhatStands | None:
    if standing is None:
        return None
    sheet = sheet_of_enclosure(build.enclosure) if build.enclosure else STOCK_SHEET
    return what_stands(standing, revision, sheet)


def _cut_from(sheet: SheetSize, stands: WhatStands | None, job: str) -> dict[str, Any]:
    stood = {"stood": asdict(stands.sheet)} if stands else {}
    return {"sheet": asdict(sheet), **stood, **({"job": job} if job else {})}


def _told_sheet(cut_from: dict[str, Any], which: str) -> SheetSize:
    return SheetSize(**cut_from[which]) if which in cut_from else STOCK_SHEET


def _worked_out(revision: DesignRevision, sheet: SheetSize, stands: WhatStands | None) -> Cards:
    try:
        return cards_of(revision.shape(), sheet, stands)
    except BadDesign as bad:
        raise CannotBuild(" ".join(fault.sentence for fault in bad.faults)) from bad


def _packed(pictures: dict[str, StoredPicture]) -> bytes:
    return gzip.compress(json.dumps(pictures).encode(), mtime=0)


def with_drawn(builds: BuildQuerySet) -> BuildQuerySet:
    """Adds ``drawn``: the key of the revision that each was planned from last."""
    newest = BuildPlan.objects.filter(build=models.OuterRef("pk")).newest_first()
    return builds.annotate(drawn=models.Subquery(newest.values("revision")[:1]))


def as_planned(rows: str, **of: object) -> BuildQuerySet:
    """Builds of lines, of a batch (``batch_lines``) or a job (``job_lines``), that still take
    something, and are still planned as drawn there. ``of``: such as ``batch=batch``."""
    asked = {f"{rows}__{name}": value for name, value in of.items()}
    builds = with_drawn(Build.objects.in_state(*NEEDING))
    return builds.filter(**asked, **{f"{rows}__revision": models.F("drawn")}).distinct()
