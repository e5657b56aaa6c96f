"""Jobs: made once of a batch, worked out by one at a time, cut once, and the store adds up."""

import threading
import uuid
from collections import Counter
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.batches import tasks
from builds.batches.models.cutting_jobs import MOST_RUNS_AT_ONCE, CuttingJob, JobEnding
from builds.batches.models.cutting_lines import CannotCut
from builds.batches.models.cutting_runs import CuttingRun
from builds.common.beside import EndedWithoutWord
from builds.common.runs import SILENT
from builds.sheets import offer_document, work_out
from builds.store.models.movements import NotEnough
from builds.store.models.offcuts import Offcut
from builds.store.models.sheets import SheetKind
from habitats.designs.models.designs import Design
from tests.support.designs import make_design
from tests.support.sheets import (
    cut_up,
    loaded,
    make_batch,
    make_job,
    make_kind,
    offer_of,
    on_hand,
)

LONG = ["######"] * 3


@pytest.fixture
def waiting(coordinator):
    """A job that nobody has worked out yet."""
    batch = make_batch(coordinator, LONG, count=2)
    return batch.job(offer_document(offer_of(make_kind())), by=coordinator)


# --- Batches ---


def test_a_draft_does_not_go_into_a_batch(coordinator):
    draft = Design.objects.draw(make_design(["#.#"], name="Two halves"), by=coordinator)

    with pytest.raises(CannotCut, match="“Two halves” is a draft"):
        make_batch(coordinator).add(draft, 1)


def test_a_batch_holds_so_many_builds_and_no_more(coordinator):
    batch = make_batch(coordinator, count=150)
    design = Design.objects.get()

    with pytest.raises(CannotCut, match="at most 200 builds"):
        batch.add(design, 51)


def test_the_same_line_twice_is_one_line(coordinator):
    batch, idempotency_key = make_batch(coordinator), uuid.uuid4()
    design = Design.objects.get()

    batch.add(design, 2, idempotency_key=idempotency_key)
    batch.add(design, 2, idempotency_key=idempotency_key)

    assert batch.lines.count() == 2  # the first, and this one


def test_a_job_keeps_what_was_asked_for_when_the_batch_changes(coordinator, waiting):
    waiting.batch.lines.all().delete()

    assert [line.count for line in waiting.order().lines] == [2]


def test_an_empty_batch_has_no_job(coordinator):
    batch = make_batch(coordinator)
    batch.lines.all().delete()

    with pytest.raises(CannotCut, match="Add a design first"):
        batch.job({}, by=coordinator)


# --- Runs ---


def test_a_job_goes_from_waiting_to_worked_out(waiting):
    assert loaded(waiting).state == CuttingJob.State.WAITING

    tasks.begin(waiting, 0.5)

    assert loaded(waiting).state == CuttingJob.State.WORKED_OUT


def test_while_one_works_a_job_out_nobody_else_may(waiting):
    waiting.begin_run(60)

    with pytest.raises(CannotCut, match="being worked out already"):
        waiting.begin_run(60)


def test_the_database_refuses_two_runs_at_a_time(waiting):
    now = timezone.now()
    waiting.begin_run(60)

    with pytest.raises(IntegrityError), transaction.atomic():
        waiting.runs.create(number=2, seconds=1, started_at=now, beat_at=now)


@pytest.mark.django_db(transaction=True)
def test_of_many_servers_that_begin_at_once_one_gets_the_job(waiting):
    got, barrier = [], threading.Barrier(8)

    def begin():
        barrier.wait()
        try:
            got.append(CuttingJob.objects.get(pk=waiting.pk).begin_run(60).number)
        except CannotCut:
            pass
        finally:
            connection.close()

    threads = [threading.Thread(target=begin) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert got == [1]


def test_only_so_many_plans_are_worked_out_at_once(coordinator, waiting):
    batch = waiting.batch
    for _ in range(MOST_RUNS_AT_ONCE):
        batch.job(waiting.offer, by=coordinator).begin_run(60)

    with pytest.raises(CannotCut, match="Wait for one, or stop it"):
        waiting.begin_run(60)


def test_a_run_whose_server_is_gone_is_shown_as_stopped_with_its_best_plan(waiting):
    plan = work_out(waiting.order(0.5))
    run = waiting.begin_run(60, at=timezone.now() - 2 * SILENT)
    CuttingRun.objects.filter(pk=run.pk).update(plan=_document(plan))

    job = loaded(waiting)

    assert job.state == CuttingJob.State.WORKED_OUT
    assert job.plan() == plan
    assert job.latest_run().how_now(timezone.now()) == CuttingRun.How.LOST


def test_a_run_whose_server_is_gone_makes_room_for_another(waiting):
    lost = waiting.begin_run(60, at=timezone.now() - 2 * SILENT)

    waiting.begin_run(60)

    lost.refresh_from_db()
    assert lost.how == CuttingRun.How.LOST


def test_a_run_that_was_given_up_as_lost_can_write_nothing_any_more(waiting):
    run = waiting.begin_run(60)
    CuttingRun.end_silent(timezone.now() + 2 * SILENT)

    assert run.beat(work_out(waiting.order(0.5))) is False
    run.end(work_out(waiting.order(0.5)), CuttingRun.How.FINISHED)
    run.refresh_from_db()

    assert (run.how, run.plan) == (CuttingRun.How.LOST, None)


def test_of_two_runs_the_better_plan_counts(waiting):
    plan = work_out(waiting.order(0.5))
    for weight, how in (("50", "stopped"), ("40", "finished"), ("60", "finished")):
        run = waiting.begin_run(60)
        run.end(plan, how)
        CuttingRun.objects.filter(pk=run.pk).update(weight=weight)

    assert loaded(waiting).best_run().number == 2


def _document(plan):
    from builds.sheets import document_of

    return document_of(plan)


# --- The search beside the pages ---


@pytest.mark.django_db(transaction=True)
def test_a_long_search_that_is_stopped_keeps_its_best_plan(coordinator):
    batch = make_batch(coordinator, LONG, ["###", "#.."], ["#####", "#...#", "#####"], count=12)
    job = batch.job(offer_document(offer_of(make_kind())), by=coordinator)
    run = job.begin_run(60)

    thread = threading.Thread(target=_follow, args=(run,))
    thread.start()
    _wait_for(lambda: loaded(job).plan())
    before = loaded(job)
    CuttingRun.objects.get(pk=run.pk).ask_to_stop()
    thread.join(30)

    after = loaded(job)
    assert not thread.is_alive()
    assert after.state == CuttingJob.State.WORKED_OUT
    assert after.latest_run().how in (CuttingRun.How.STOPPED, CuttingRun.How.FINISHED)
    assert after.best_run().weight <= before.best_run().weight
    assert not after.plan().missing


def _follow(run):
    try:
        tasks.follow(run)
    finally:
        connection.close()


def _wait_for(true, seconds=20):
    end = timezone.now() + timedelta(seconds=seconds)
    while not true():
        assert timezone.now() < end, "nothing came in time"
        threading.Event().wait(0.1)


@pytest.mark.django_db(transaction=True)
def test_a_search_that_breaks_is_told_as_failed(waiting, monkeypatch):
    run = waiting.begin_run(60)
    monkeypatch.setattr(tasks.Search, "news", _break)

    with pytest.raises(EndedWithoutWord):
        tasks.follow(run)

    run.refresh_from_db()
    assert run.how == CuttingRun.How.FAILED


def _break(self, seconds):
    raise EndedWithoutWord


# --- Cut ---


def test_what_was_cut_leaves_the_store_and_offcuts_enter_it(coordinator):
    kind = make_kind()
    kind.move(5, "in", by=coordinator)
    job = make_job(coordinator, kind)
    plan = job.plan()

    cut_up(job, coordinator, place="Loft")

    assert on_hand(kind) == 5 - len(plan.plan.sheets)
    kept = Counter((one.offcut.width, one.offcut.height) for one in plan.offcuts_to_keep)
    stored = Offcut.objects.in_store().with_place()
    assert Counter((one.width_mm, one.height_mm) for one in stored) == kept
    assert {one.place.name for one in stored} == {"Loft"}


def test_sheets_that_the_store_did_not_know_of_are_found_first(coordinator):
    kind = make_kind()

    cut_up(make_job(coordinator, kind), coordinator)

    assert [(one.why, one.on_hand_change) for one in kind.item.movements.order_by("pk")] == [
        ("found", 1),
        ("cut", -1),
    ]


def test_marking_as_cut_twice_changes_nothing_more(coordinator):
    job, idempotency_key = make_job(coordinator), uuid.uuid4()
    run = job.best_run()

    job.mark_cut(run, {0: None}, by=coordinator, idempotency_key=idempotency_key)
    job.mark_cut(run, {0: None}, by=coordinator, idempotency_key=idempotency_key)

    assert SheetKind.objects.get().item.movements.count() == 2
    assert Offcut.objects.count() == 1
    with pytest.raises(CannotCut, match="was already cut"):
        job.mark_cut(run, {}, by=coordinator)


def test_an_offcut_that_is_gone_stops_the_cut_and_changes_nothing(coordinator):
    kind = make_kind()
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)
    assert job.plan().taken == {f"offcut:{offcut.label}": 1}
    offcut.write_off(by=coordinator)

    with pytest.raises(NotEnough, match=offcut.label):
        cut_up(job, coordinator)

    assert not JobEnding.objects.exists()
    assert not kind.item.movements.exists()


def test_a_plan_to_be_cut_has_its_offcuts_to_itself_until_it_is_given_up(coordinator):
    kind = make_kind()
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)

    assert not Offcut.objects.free().exists()
    job.drop(by=coordinator)

    assert Offcut.objects.free().get() == offcut
    assert loaded(job).state == CuttingJob.State.DROPPED


def test_nothing_is_worked_out_or_cut_after_the_end(coordinator):
    job = make_job(coordinator)
    job.drop(by=coordinator)

    with pytest.raises(CannotCut, match="Re-plan the batch"):
        job.begin_run(1)
    with pytest.raises(CannotCut, match="already cancelled"):
        cut_up(job, coordinator)


def test_a_job_is_not_cut_while_it_is_being_worked_out(coordinator):
    job = make_job(coordinator)
    job.begin_run(60)

    with pytest.raises(CannotCut, match="Stop it first"):
        cut_up(job, coordinator)


plans = st.lists(
    st.sampled_from([["##"], ["###", "#.."], ["####", "####"]]), min_size=1, max_size=2
)


@settings(max_examples=6)
@given(st.lists(st.tuples(plans, st.booleans()), min_size=2, max_size=3))
def test_offcuts_in_the_store_are_what_plans_returned_less_what_was_used(coordinator, jobs):
    kind = make_kind(name=str(uuid.uuid4())[:30])
    there: Counter = Counter()
    for asked, is_cut in jobs:
        free = Offcut.objects.free().filter(kind=kind).largest_first()
        job = make_job(coordinator, kind, *free, batch=make_batch(coordinator, *asked))
        plan = job.plan()
        if not is_cut:
            continue
        for sheet in plan.plan.sheets:
            if plan.offer.is_offcut(sheet.stock.id):
                there[(sheet.stock.width, sheet.stock.height)] -= 1
        there.update((one.offcut.width, one.offcut.height) for one in plan.offcuts_to_keep)
        cut_up(job, coordinator)

    stored = Offcut.objects.in_store().filter(kind=kind)
    assert Counter((one.width_mm, one.height_mm) for one in stored) == +there
    cut = [one for one in kind.item.movements.all() if one.why == "cut"]
    assert on_hand(kind) == 0
    assert sum(one.on_hand_change for one in kind.item.movements.all()) == 0
    assert all(one.job_id for one in cut)
