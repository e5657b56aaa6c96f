"""Working out a placing beside the pages, as a task; see ``builds/batches/tasks.py``.

The question is asked again when its turn comes: so it is of the rescue as it is then.
"""

from django.db import transaction
from django.utils import timezone
from django_tasks import task

from builds.common.runs import BEAT_SECONDS
from builds.placing.models.asked import PlacingAsked, question_today
from builds.placing.models.runs import PlacingRun, begin_run
from builds.placing.solving import PlacingSearch
from habitats.common.shared_clock import shared_now
from habitats.common.tasks import are_queued
from habitats.people.models.people import Person
from habitats.placement.questions import Question, mark_of


def begin(asked: PlacingAsked, mark: str, *, by: Person) -> PlacingRun | None:
    """The run at hand, or a new one; None: too many are worked out already."""
    with transaction.atomic():
        run, is_new = begin_run(asked, mark, by=by, is_queued=are_queued())
        if run and is_new:
            work_out_placing.enqueue(run.pk)
    return run


@task()
def work_out_placing(run_key: int) -> None:
    """Answer the question of the run, unless it was stopped before its turn came."""
    run = PlacingRun.objects.get(pk=run_key)
    is_ours = run.take_up() if run.is_queued else run.is_live(shared_now())
    if not is_ours:
        run.end_as(PlacingRun.How.LOST)  # a worker before had begun it, and is gone
        return
    try:
        question = question_today(run.what_is_asked, timezone.localdate())
        if question is None or not run.is_now_about(mark_of(question)):
            run.end_as(PlacingRun.How.STOPPED)
        else:
            follow(run, question)
    except Exception:
        run.end_as(PlacingRun.How.FAILED)
        raise


def follow(run: PlacingRun, question: Question) -> None:
    """Say each second that it goes on, until it has its answer or is asked to stop."""
    with PlacingSearch(question) as search:
        while run.say_alive():
            if news := search.news(BEAT_SECONDS):
                run.end_with(news.word)
                return
    run.end_as(PlacingRun.How.STOPPED)
