"""Cutting jobs: what is to be cut from what, worked out in runs, and cut.

A job is made of a batch once, with everything that the batch asks for, so that the batch may
change after it. What happens to the job is appended: runs of the search, each of which keeps its
best plan, and one ending, when it was cut or given up.
"""

import uuid
from dataclasses import replace
from datetime import datetime
from typing import Any, Self

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import IntegrityError, models, transaction
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.batches.models.cutting_lines import CannotCut, order_line
from builds.batches.models.cutting_runs import CuttingRun
from builds.batches.models.sheet_stock import cut_sheets, release_sheets, stock_for
from builds.plans.models.build_plans import as_planned
from builds.plans.models.builds import BuildQuerySet
from builds.sheets import CuttingPlan, SheetOrder, offer_from
from builds.store.models.holders import ReservedFor, lost_since
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.reservations import reserved_by_place
from builds.store.models.sheets import SheetKind
from builds.store.models.turns import lock_stocks
from habitats.common.codes import CODE_LENGTH
from habitats.common.idempotency import Idempotent
from habitats.common.shared_clock import shared_now
from habitats.people.models.people import Person, WorkshopQuerySet

MOST_RUNS_AT_ONCE = 2

SHEET, OFFCUT = "sheet", "offcut"


def stock_id(one: SheetKind | Offcut) -> str:
    """What a plan calls a kind of sheet or an offcut; they are found again by it."""
    return f"{SHEET}:{one.pk}" if isinstance(one, SheetKind) else f"{OFFCUT}:{one.label}"


class CuttingJobQuerySet(WorkshopQuerySet["CuttingJob"]):
    def with_state(self) -> Self:
        """With batch, ending and runs: ``state`` asks nothing more, and ``plan()`` loads one."""
        runs = models.Prefetch("runs", CuttingRun.objects.without_plans())
        return self.select_related("batch", "ending__made_by").prefetch_related(runs)

    def to_cut(self) -> Self:
        """Those that were neither cut nor given up."""
        return self.filter(ending__isnull=True)

    def newest_first(self) -> Self:
        return self.order_by("-made_at", "-pk")


class CuttingJob(Idempotent):
    """What is to be cut from what, worked out in runs. ``offer`` is a ``builds.sheets.Offer``."""

    class State(models.TextChoices):
        WAITING = "waiting", _("Not worked out")
        RUNNING = "running", _("Being worked out")
        WORKED_OUT = "worked_out", _("Ready to cut")
        CUT = "cut", _("Cut")
        DROPPED = "dropped", _("Cancelled")

    batch = models.ForeignKey("builds.Batch", on_delete=models.PROTECT, related_name="jobs")
    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    offer = models.JSONField(encoder=DjangoJSONEncoder)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="cutting_jobs"
    )
    made_at = models.DateTimeField(default=timezone.now)

    objects = CuttingJobQuerySet.as_manager()

    def __str__(self) -> str:
        return f"cutting job {self.code}"

    def save(self, **options: Any) -> None:
        """What was asked for is not edited: ask again."""
        if self.pk is not None:
            raise TypeError("A cutting job is never edited; make another.")
        super().save(**options)

    # --- What is asked for ---

    def order(self, seconds: float | None = None) -> SheetOrder:
        """The job for the pure side. Raises ``CannotCut`` if a design can no longer be made."""
        offer = offer_from(self.offer)
        if seconds is not None:
            offer = replace(offer, seconds=seconds)
        lines = self.lines.select_related("revision__design").order_by("number")
        return SheetOrder(tuple(order_line(line) for line in lines), offer)

    # --- How far it is; load with ``with_state()`` ---

    @property
    def state(self) -> str:
        ending = self.end_or_none()
        if ending:
            return ending.what
        if self.live_run():
            return self.State.RUNNING
        return self.State.WORKED_OUT if self.best_run() else self.State.WAITING

    def end_or_none(self) -> "JobEnding | None":
        return getattr(self, "ending", None)

    def live_run(self, at: datetime | None = None) -> "CuttingRun | None":
        """The run that is going on; None if there is none, or its server is gone."""
        going_on = [run for run in self.runs.all() if run.ended_at is None]
        if not going_on:
            return None  # most have none: the shared clock is not asked for each row of a list
        now = at or shared_now()
        return next((run for run in going_on if run.is_live(now)), None)

    def latest_run(self) -> "CuttingRun | None":
        return max(self.runs.all(), key=lambda run: run.number, default=None)

    def best_run(self) -> "CuttingRun | None":
        """The run whose plan is to be cut: the one that was cut, else the best; None without."""
        ending = self.end_or_none()
        runs = self.runs.all()
        if ending and ending.run_id:
            return next(run for run in runs if run.pk == ending.run_id)
        found = [run for run in runs if run.has_found()]
        return min(found, key=lambda run: (run.unplaced, run.weight, run.number), default=None)

    def plan(self) -> CuttingPlan | None:
        run = self.best_run()
        return run.found() if run else None

    # --- What happens to it ---

    def begin_run(
        self, seconds: float, *, is_queued: bool = False, at: datetime | None = None
    ) -> "CuttingRun":
        """Claim the job for one run: whoever gets the run works it out, and nobody else.

        Raises ``CannotCut`` while it is being worked out, after it ended, and when too many are.
        """
        now = at or shared_now()
        with transaction.atomic():
            type(self).objects.select_for_update(no_key=True).get(pk=self.pk)
            CuttingRun.end_silent(now)
            self.refuse_ended()
            if CuttingRun.objects.going_on().count() >= MOST_RUNS_AT_ONCE:
                raise CannotCut(
                    gettext(
                        "%(count)d plans are being worked out already. Wait for one, or stop it."
                    )
                    % {"count": MOST_RUNS_AT_ONCE}
                )
            number = self.runs.aggregate(last=models.Max("number"))["last"] or 0
            try:
                with transaction.atomic():
                    return self.runs.create(
                        number=number + 1,
                        seconds=seconds,
                        is_queued=is_queued,
                        started_at=now,
                        beat_at=now,
                    )
            except IntegrityError:
                raise CannotCut(gettext("This plan is being worked out already.")) from None

    def refuse_ended(self) -> None:
        """Raise ``CannotCut`` once it was cut or cancelled."""
        if JobEnding.objects.filter(job=self).exists():
            raise CannotCut(gettext("This job was cut or cancelled. Re-plan the batch."))

    def claim(self, plan: CuttingPlan) -> None:
        """Remember the offcuts that its plan counts on, so that no other plan does."""
        labels = [_label(one) for one in plan.taken if one.startswith(OFFCUT)]
        offcuts = Offcut.objects.filter(label__in=labels)
        with transaction.atomic():
            self.claims.all().delete()
            OffcutClaim.objects.bulk_create(OffcutClaim(job=self, offcut=one) for one in offcuts)

    def drop(self, *, by: Person, idempotency_key: uuid.UUID | None = None) -> None:
        """Give the job up. Its offcuts are free for other plans."""
        self._end(
            JobEnding.What.DROPPED, None, by=by, idempotency_key=idempotency_key or uuid.uuid4()
        )

    @transaction.atomic
    def mark_cut(
        self,
        run: CuttingRun,
        places: dict[int, Place | None],
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        even_reserved: bool = False,
    ) -> list[ReservedFor]:
        """The run's plan was cut: sheets and offcuts leave the store, new offcuts come in.

        ``places`` says which of the plan's ``offcuts_to_keep`` are kept, by their index, and where
        each lies; None: not recorded. ``even_reserved``: where too few were free, sheets that
        others reserved were cut; else others that the store did not know of. Gives from whom
        reserved ones were taken. The same key again changes nothing. Raises ``CannotCut`` or
        ``NotEnough``, and changes nothing, if it cannot be.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        if not self._end(JobEnding.What.CUT, run, by=by, idempotency_key=idempotency_key):
            return []
        plan = run.found()
        self._use_offcuts(plan, by, idempotency_key)
        lost = self._cut_sheets(plan, even_reserved, by, idempotency_key)
        self._store_offcuts(plan, places, by, idempotency_key)
        return lost

    def _use_offcuts(self, plan: CuttingPlan, by: Person, idempotency_key: uuid.UUID) -> None:
        for one in sorted(plan.taken):
            if one.startswith(OFFCUT):
                offcut = Offcut.objects.get(label=_label(one))
                offcut.use(self.pk, by=by, idempotency_key=uuid.uuid5(idempotency_key, one))

    def _store_offcuts(
        self,
        plan: CuttingPlan,
        places: dict[int, Place | None],
        by: Person,
        idempotency_key: uuid.UUID,
    ) -> None:
        """Those of the plan that are kept, each where it lies."""
        kinds = {one: kind_of(one) for one in plan.taken}
        for index, kept in enumerate(plan.offcuts_to_keep):
            if index in places:
                Offcut.objects.store(
                    kinds[kept.stock.id],
                    kept.offcut.width,
                    kept.offcut.height,
                    by=by,
                    place=places[index],
                    job_id=self.pk,
                    idempotency_key=uuid.uuid5(idempotency_key, f"offcut {index}"),
                )

    def _cut_sheets(
        self, plan: CuttingPlan, even_reserved: bool, by: Person, idempotency_key: uuid.UUID
    ) -> list[ReservedFor]:
        """What was kept for its builds is taken by the plan, which may take fewer or others."""
        builds = list(self.own_builds().order_by("pk"))
        own = [one.pk for one in builds]
        stock = stock_for(sheets_of(plan), own)
        held = [item for one in builds for item, _place, _count in reserved_by_place(build=one)]
        lock_stocks([*held, *(one.kind.item for one in stock)])
        first = release_sheets(builds, by=by, idempotency_key=idempotency_key)
        for one in stock:
            cut_sheets(
                self.pk,
                one,
                first.get(one.kind.item, []),
                even_reserved=even_reserved,
                by=by,
                idempotency_key=idempotency_key,
            )
        lost = lost_since({one.kind.item_id: one.others for one in stock})
        return [gone for one in lost.values() for gone in one]

    def own_builds(self) -> BuildQuerySet:
        """Its builds that still take something, and are planned as it cuts them."""
        return as_planned("job_lines", job=self)

    def _end(
        self, what: str, run: CuttingRun | None, *, by: Person, idempotency_key: uuid.UUID
    ) -> bool:
        """Append the ending; False if this very one was appended before."""
        with transaction.atomic():
            type(self).objects.select_for_update(no_key=True).get(pk=self.pk)
            CuttingRun.end_silent(shared_now())
            known = JobEnding.objects.filter(job=self).first()
            if known and known.idempotency_key == idempotency_key:
                return False
            if known:
                raise CannotCut(known.already())
            if CuttingRun.objects.going_on().filter(job=self).exists():
                raise CannotCut(gettext("This plan is being worked out. Stop it first."))
            JobEnding.objects.create(
                job=self, what=what, run=run, idempotency_key=idempotency_key, made_by=by
            )
            self.claims.all().delete()
            if what == JobEnding.What.CUT:  # other plans for the same builds are out of date
                others = OffcutClaim.objects.filter(job__batch=self.batch_id)
                others.filter(job__ending__isnull=True).delete()
        return True


class OffcutClaim(models.Model):
    """A plan still to be cut counts on this offcut. Goes when the job ends or plans anew."""

    job = models.ForeignKey(CuttingJob, on_delete=models.CASCADE, related_name="claims")
    offcut = models.ForeignKey(Offcut, on_delete=models.CASCADE, related_name="claims")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["job", "offcut"], name="one_claim_a_job_and_offcut"),
        ]

    def __str__(self) -> str:
        return f"job {self.job_id} counts on offcut {self.offcut_id}"


class JobEnding(Idempotent):
    """A job was cut, by which run's plan, or given up. There is one, and it stays."""

    class What(models.TextChoices):
        CUT = "cut", _("Cut")
        DROPPED = "dropped", _("Cancelled")

    job = models.OneToOneField(CuttingJob, on_delete=models.PROTECT, related_name="ending")
    what = models.CharField(max_length=10, choices=What)
    run = models.ForeignKey(CuttingRun, on_delete=models.PROTECT, null=True, related_name="+")
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="job_endings"
    )
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="what_was_cut_has_a_plan",
                condition=models.Q(what="cut", run__isnull=False)
                | models.Q(what="dropped", run__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return f"job {self.job_id}: {self.get_what_display()}"

    def already(self) -> str:
        """Why it cannot end once more."""
        if self.what == self.What.CUT:
            return gettext("This job was already cut.")
        return gettext("This job was already cancelled.")


def sheets_of(plan: CuttingPlan) -> dict[int, int]:
    """How many whole sheets a plan takes, by the key of their kind."""
    return {int(_label(one)): n for one, n in plan.taken.items() if one.startswith(SHEET)}


def kind_of(stock: str) -> SheetKind:
    """The kind of sheet that a stock id means: of an offcut, what it was cut from."""
    if stock.startswith(OFFCUT):
        return Offcut.objects.select_related("kind").get(label=_label(stock)).kind
    return SheetKind.objects.get(pk=_label(stock))


def _label(stock: str) -> str:
    return stock.partition(":")[2]
