"""A placing that waits for a worker of its own, is worked out when its turn comes, or stopped."""

import pytest
from django.test import override_settings
from django.utils import timezone, translation

from builds.placing.models.runs import PlacingRun
from habitats.server.workers import TaskWorker
from tests.support.placing_runs import PAGE, run_of
from tests.support.tasks import QUEUE, work_off

pytestmark = pytest.mark.usefixtures("all_is_large")


@pytest.fixture
def queue():
    with override_settings(TASKS=QUEUE):
        yield


def test_a_queued_one_waits_for_a_worker_and_is_answered_by_it(queue, chain, coordinating, text_of):
    without = text_of(coordinating.get(PAGE))
    TaskWorker.say_here("one", timezone.now())
    there = text_of(coordinating.get(PAGE))

    assert "The worker that does this is not running." in without
    assert "It begins when the work before it is done." in there
    with translation.override("de"):
        work_off()
    assert len(coordinating.get(PAGE).context["page"].rows) == 2


def test_a_queued_one_is_worked_out_as_the_rescue_is_when_its_turn_comes(
    queue, chain, coordinating, make_animal, make_group
):
    coordinating.get(PAGE)
    make_group(make_animal("Ada", grams=900), make_animal("Eve", grams=900))

    work_off()

    page = coordinating.get(PAGE).context["page"]
    assert page.working is None
    assert page.groups == 3
    assert PlacingRun.objects.count() == 1


def test_a_queued_one_that_is_stopped_is_never_begun(queue, chain, coordinating):
    coordinating.get(PAGE)

    coordinating.post(f"{PAGE}runs/{run_of().pk}/stop/")
    work_off()

    assert run_of().how == PlacingRun.How.STOPPED
