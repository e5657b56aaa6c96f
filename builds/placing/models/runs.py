"""Placings that are worked out beside the pages: what was asked, by whom, and the answer."""

from datetime import datetime, timedelta
from typing import Any, Self

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import IntegrityError, models, transaction
from django.utils import timezone

from builds.common.runs import ENDS_SOMEHOW, Run, RunQuerySet
from builds.placing.models.asked import PlacingAsked, What, asked_from
from habitats.common.shared_clock import shared_now
from habitats.people.models.people import Person
from habitats.placement.questions import Answer, Question, case_of
from habitats.placement.stored import answer_from, stored
from habitats.placement.values import PlaceToLive

MOST_RUNS_AT_ONCE = 2
DAYS_KEPT = 7
MARK_LENGTH = 64


class PlacingRunQuerySet(RunQuerySet["PlacingRun"]):
    def about(self, mark: str) -> Self:
        """Of this very question, the newest first."""
        return self.filter(mark=mark).order_by("-pk")

    def too_old(self, now: datetime) -> Self:
        return self.filter(ended_at__lt=now - timedelta(DAYS_KEPT))


class PlacingRun(Run):
    """One question, with its answer once it has ended.

    ``asked`` is a ``PlacingAsked``, ``wishes`` the mark of it. ``mark`` is of the question as the
    rescue was: it has another one once something changes that it hangs on.
    """

    asked = models.JSONField(encoder=DjangoJSONEncoder)
    wishes = models.CharField(max_length=MARK_LENGTH, db_index=True)
    mark = models.CharField(max_length=MARK_LENGTH, db_index=True)
    answer = models.JSONField(encoder=DjangoJSONEncoder, null=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="placing_runs"
    )
    made_at = models.DateTimeField(default=timezone.now)

    objects = PlacingRunQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["mark"],
                condition=models.Q(ended_at__isnull=True),
                name="a_placing_is_worked_out_once_at_a_time",
            ),
            models.CheckConstraint(name="a_placing_run_ends_somehow", condition=ENDS_SOMEHOW),
            models.CheckConstraint(
                name="a_placing_run_that_is_finished_has_an_answer",
                condition=models.Q(how="finished", answer__isnull=False)
                | ~models.Q(how="finished") & models.Q(answer__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return f"placing run {self.pk}"

    @property
    def what_is_asked(self) -> PlacingAsked:
        return asked_from(self.asked)

    def found(self, question: Question) -> Answer:
        """The answer; only of a run that is finished. ``question``: that of its mark."""
        assert self.answer is not None, "ask only a run that is finished"
        return answer_from(self.answer, case_of(question))

    @property
    def has_found(self) -> bool:
        return self.how == self.How.FINISHED

    @property
    def what(self) -> What:
        return What(self.asked["what"])

    def end_with(self, answer: Answer) -> None:
        self.end_as(self.How.FINISHED, answer=stored(answer))

    def is_now_about(self, mark: str) -> bool:
        """It is worked out as the rescue is now. False: another run is at that already."""
        if mark == self.mark:
            return True
        try:
            with transaction.atomic():
                self._going_on().filter(pk=self.pk).update(mark=mark)
        except IntegrityError:
            return False
        self.mark = mark
        return True


def moves_found(run: PlacingRun) -> list[tuple[str, str]]:
    """Each group that could move at once and its enclosure, by their codes, as it was proposed.

    Only of a run that is finished; its case need not be there any more.
    """
    answer = run.answer or {}
    moves = (
        (group, PlaceToLive(*to).enclosure)
        for group, _start, to in answer.get("moves", ())
        if to and group not in answer["held"]
    )
    return [(group, enclosure) for group, enclosure in moves if enclosure]


def begin_run(
    asked: PlacingAsked, mark: str, *, by: Person, is_queued: bool = False
) -> tuple[PlacingRun | None, bool]:
    """The run of this question, and whether it is new. None: too many are worked out already.

    Who asks the same joins the run at hand. What was begun for the same wishes before something
    changed is asked to stop.
    """
    now = shared_now()
    PlacingRun.end_silent(now)
    going_on = PlacingRun.objects.going_on()
    for outdated in going_on.filter(wishes=asked.mark).exclude(mark=mark):
        outdated.ask_to_stop(now)
    try:
        with transaction.atomic():
            if at_hand := going_on.filter(mark=mark).first():
                return at_hand, False
            if going_on.filter(stop_asked_at__isnull=True).count() >= MOST_RUNS_AT_ONCE:
                return None, False
            return _made(asked, mark, by, is_queued, now), True
    except IntegrityError:  # somebody asked the same at once
        return going_on.filter(mark=mark).first(), False


def _made(asked: PlacingAsked, mark: str, by: Person, is_queued: bool, now: datetime) -> PlacingRun:
    given: dict[str, Any] = {"asked": asked.document(), "wishes": asked.mark, "mark": mark}
    return PlacingRun.objects.create(
        **given, made_by=by, is_queued=is_queued, started_at=now, beat_at=now, made_at=now
    )


def last_before(run: PlacingRun, *, with_answer: bool = False) -> PlacingRun | None:
    """What was worked out of the same wishes before something changed."""
    before = PlacingRun.objects.filter(wishes=run.wishes, how=Run.How.FINISHED, pk__lt=run.pk)
    before = before.exclude(mark=run.mark).order_by("-pk")
    return (before if with_answer else before.defer("answer")).first()


def forget_old_runs(sender: object, *, now: datetime, **more: object) -> str:
    """A receiver of ``tidy_asked``."""
    deleted, _tables = PlacingRun.objects.too_old(now).delete()
    return f"{deleted} old proposals of Placing"
