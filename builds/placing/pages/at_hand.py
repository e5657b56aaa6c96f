"""Answers for the pages: small questions at once, large ones from what was worked out beside."""

from datetime import datetime
from typing import NamedTuple

from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from builds.placing import tasks
from builds.placing.models.asked import MOST_AT_ONCE, PlacingAsked, What
from builds.placing.models.loose_animals import LOOSE
from builds.placing.models.runs import PlacingRun, last_before
from habitats.common.shared_clock import shared_now
from habitats.people.models.people import Person
from habitats.placement.questions import Answer, Question, answer, case_of, mark_of, pairs_of_case
from habitats.placement.values import PlacingCase
from habitats.server.workers import TaskWorker

MINUTES_FROM_S = 120
MOST_LOOSE_AT_ONCE = 6


class NotAtHand(Exception):
    """It is worked out, or was and did not come to an end. ``run`` None: too many others are."""

    def __init__(self, run: PlacingRun | None) -> None:
        super().__init__()
        self.run = run


def at_once(asked: PlacingAsked, question: Question) -> Answer:
    """However long it takes."""
    return answer(question)


class AnswersAtHand:
    """For one page, and who reads it. One thing after the other: while something is missing,
    nothing else is begun."""

    def __init__(self, by: Person) -> None:
        self._by = by
        self._missing: NotAtHand | None = None
        self._worked_out: PlacingRun | None = None

    @property
    def before(self) -> PlacingRun | None:
        """The proposal of the same wishes, before something changed; None where none is kept."""
        return last_before(self._worked_out, with_answer=True) if self._worked_out else None

    def __call__(self, asked: PlacingAsked, question: Question) -> Answer:
        """Raises ``NotAtHand``."""
        if not _is_long(case_of(question)):
            return answer(question)
        mark = mark_of(question)
        about = PlacingRun.objects.about(mark)
        run = about.filter(how=PlacingRun.How.FINISHED).first() or about.first()
        if run and run.has_found:
            if asked.what is What.PROPOSAL:
                self._worked_out = run
            return run.found(question)
        if self._missing is None:
            self._missing = NotAtHand(run or tasks.begin(asked, mark, by=self._by))
        raise self._missing


def _is_long(case: PlacingCase) -> bool:
    """Whether more than a moment is needed. Animals in no group are many alike, which is harder
    than their number: twelve newcomers took a page seven seconds."""
    loose = sum(one.ref.startswith(LOOSE) for one in case.groups)
    return pairs_of_case(case) > MOST_AT_ONCE or loose > MOST_LOOSE_AT_ONCE


class RunAddresses(NamedTuple):
    """``query``: of the page of Placing that asked; a question mark first, or empty."""

    run: PlacingRun
    query: str

    def _of(self, name: str) -> str:
        return reverse(f"builds:{name}", args=[self.run.pk]) + self.query

    @property
    def progress(self) -> str:
        return self._of("placing_run")

    @property
    def stop(self) -> str:
        return self._of("stop_placing_run")

    @property
    def again(self) -> str:
        return self._of("placing_run_again")


class RunShown:
    """A run, as a page tells how it goes. ``run`` None: it waits for others to end."""

    def __init__(self, run: PlacingRun | None, query: str, now: datetime | None = None) -> None:
        query = query if query != "?" else ""
        self.run, self._now = run, now or shared_now()
        self.addresses = RunAddresses(run, query) if run else None
        self.page = reverse("builds:placing") + query

    @property
    def is_live(self) -> bool:
        return bool(self.run and self.run.is_live(self._now))

    @property
    def heading(self) -> str:
        what = self.run.what if self.run else What.PROPOSAL
        return {
            What.PROPOSAL: _("Working out where everybody could live"),
            What.NEXT_BEST: _("Working out where else they could live"),
            What.PAIRS: _("Working out how many pairs could be taken"),
        }[what]

    @property
    def started(self) -> str:
        if self.run is None:
            return ""
        seconds = max(0, int((self._now - self.run.started_at).total_seconds()))
        if seconds < MINUTES_FROM_S:
            return _("Started %(seconds)d s ago.") % {"seconds": seconds}
        return _("Started %(minutes)d min ago.") % {"minutes": seconds // 60}

    @property
    def is_nobody_there(self) -> bool:
        return bool(self.run and self.run.is_queued) and not TaskWorker.is_there(self._now)

    @property
    def ended(self) -> str:
        """How it ended without an answer."""
        how = self.run.how_now(self._now) if self.run else ""
        return (
            {
                PlacingRun.How.STOPPED: _("This was stopped before it was worked out."),
                PlacingRun.How.LOST: _("This ended when the server was restarted."),
                PlacingRun.How.FAILED: _("This failed. The log of the server says why."),
            }.get(PlacingRun.How(how), "")
            if how
            else ""
        )

    @property
    def changed_since(self) -> str:
        """When the same was worked out before something changed; empty if it was not."""
        before = last_before(self.run) if self.run else None
        return ended_words(before) if before else ""


def ended_words(run: PlacingRun) -> str:
    """When; empty while it goes on."""
    if run.ended_at is None:
        return ""
    return formats.date_format(timezone.localtime(run.ended_at), "SHORT_DATETIME_FORMAT")
