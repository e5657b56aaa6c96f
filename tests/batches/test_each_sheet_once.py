"""From the batch to the store, in every order in which people go: each sheet is asked for once.

By its build, until a sheet plan has it; by the plan, until it is cut; then by nobody.
"""

import uuid
from contextlib import suppress

import pytest

from builds.batches import tasks
from builds.batches.models.batches import Batch
from builds.batches.models.cutting_lines import CannotCut
from builds.batches.models.cutting_runs import CuttingRun
from builds.building.models.replanning import plan_anew
from builds.plans.models.builds import Build
from builds.pulls.models.accounts import account_of
from builds.pulls.models.buying import needs_of_planned_builds
from builds.pulls.models.ending import close
from builds.pulls.models.pulling import begin, reserve_free, take_as_listed
from builds.pulls.models.pulls import CannotPull
from builds.sheets import offer_document
from builds.store.models.needs import items_of
from builds.store.models.reservations import reserved_for_builds
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build
from tests.support.designs import make_design
from tests.support.pulls import stock_up
from tests.support.sheets import (
    cut_up,
    loaded,
    make_batch,
    make_job,
    offer_of,
)

COUNT = 3
# Small enough that a plan for all of them takes fewer sheets than they would one by one.
SMALL = ["##"]
ORDERS = [
    ("builds", "plan", "pull", "cut"),
    ("builds", "pull", "plan", "cut"),
    ("builds", "plan", "cut", "pull"),
    ("plan", "builds", "pull", "cut"),
    ("plan", "builds", "cut", "pull"),
    ("plan", "cut", "builds", "pull"),
]


class Way:
    """A batch of three, and what people do with it, one after the other."""

    def __init__(self, by, kind, batch=None):
        self.by, self.kind = by, kind
        self.batch = batch or make_batch(by, SMALL, count=COUNT)
        self.job = None

    def builds(self):
        for line in self.batch.lines.all():
            line.plan_builds(by=self.by, on=DAY)

    def plan(self):
        self.job = make_job(self.by, self.kind, batch=self.batch)

    def pull(self):
        for build in self.planned:
            with suppress(CannotPull):  # where nothing but sheets was to be taken
                begin(build, by=self.by, idempotency_key=uuid.uuid4())

    def cut(self):
        self.job = cut_up(loaded(self.job), self.by)

    @property
    def planned(self):
        return list(Build.objects.filter(batch_lines__batch=self.batch).order_by("pk"))

    @property
    def taken(self):
        """How many sheets the plan takes."""
        return len(self.job.plan().plan.sheets)

    @property
    def one_by_one(self):
        """How many they take where each is cut by itself."""
        return sum(items_of(one.plans.get().revision).of(self.kind.item) for one in self.planned)

    @property
    def asked(self):
        """How many are asked for: on the buying list, and reserved for its builds."""
        return needs_of_planned_builds().of(self.kind.item) + self.reserved

    @property
    def reserved(self):
        return sum(
            count
            for (item, _place), count in reserved_for_builds(self.planned).items()
            if item == self.kind.item_id
        )


@pytest.fixture
def empty(coordinator):
    """A way through a store without any sheet."""
    items = stock_up(sheet=0)
    return Way(coordinator, items["sheet"].sheet)


@pytest.fixture
def stocked(coordinator):
    """A way through a store with plenty."""
    return Way(coordinator, stock_up(sheet=20)["sheet"].sheet)


@pytest.mark.parametrize("order", ORDERS, ids="-".join)
def test_whatever_comes_first_each_sheet_is_asked_for_once(empty, order):
    for number, act in enumerate(order, start=1):
        getattr(empty, act)()
        done = order[:number]
        if "cut" in done:
            assert empty.asked == 0
        elif "plan" in done:
            assert empty.asked == empty.taken
        else:
            assert empty.asked == empty.one_by_one

    assert empty.taken < COUNT  # else the plan would ask for as many as the builds


@pytest.mark.parametrize("order", ORDERS, ids="-".join)
def test_whatever_comes_first_only_what_is_cut_leaves_the_store(stocked, order):
    for act in order:
        getattr(stocked, act)()

    stock = stocked.kind.item.stocks.get()
    assert (stock.on_hand, stock.reserved) == (20 - stocked.taken, 0)
    assert needs_of_planned_builds().of(stocked.kind.item) == 0


@pytest.mark.parametrize("order", ORDERS, ids="-".join)
def test_whatever_comes_first_the_builds_are_pulled_in_the_end(stocked, order):
    for act in order:
        getattr(stocked, act)()
    for build in stocked.planned:
        pulls = list(build.pulls.open())
        take_as_listed(pulls, by=stocked.by, idempotency_key=uuid.uuid4())
        close(pulls, by=stocked.by, idempotency_key=uuid.uuid4())

    assert {one.state_now() for one in stocked.planned} == {"pulled"}
    assert stocked.asked == 0


def test_a_pull_reserves_no_sheets_that_a_plan_takes(stocked):
    stocked.builds()
    stocked.plan()
    stocked.pull()

    assert stocked.reserved == 0
    pulls = [build.pulls.get() for build in stocked.planned]
    assert reserve_free(pulls, by=stocked.by, idempotency_key=uuid.uuid4()) == 0
    assert stocked.reserved == 0


def test_once_the_plan_is_given_up_the_builds_ask_again(stocked):
    stocked.builds()
    stocked.plan()
    stocked.pull()
    stocked.job.drop(by=stocked.by)

    assert stocked.asked == stocked.one_by_one
    pulls = [build.pulls.get() for build in stocked.planned]
    reserve_free(pulls, by=stocked.by, idempotency_key=uuid.uuid4())
    assert stocked.reserved == stocked.one_by_one


def test_two_plans_of_one_batch_ask_once(empty):
    empty.plan()
    empty.plan()

    assert empty.asked == empty.taken


def test_of_two_plans_of_one_batch_the_other_is_out_of_date_once_one_is_cut(empty, client_of):
    empty.plan()
    other = empty.job
    empty.plan()
    empty.cut()

    assert empty.asked == 0
    page = client_of(empty.by).get(f"/cutting/{other.code}/").content.decode()
    assert f"Job {empty.job.code} of this batch was cut later" in page


def test_what_is_cut_is_not_planned_again(empty):
    empty.plan()
    empty.cut()

    with pytest.raises(CannotCut, match="Everything in this batch is cut already"):
        make_job(empty.by, empty.kind, batch=empty.batch)


def test_what_is_added_to_a_batch_that_was_cut_is_planned_alone(empty):
    empty.plan()
    empty.cut()
    design = Design.objects.draw(make_design(["##", "##"], name="Square"), by=empty.by)
    empty.batch.add(design, 2)
    empty.builds()
    job = make_job(empty.by, empty.kind, batch=empty.batch)

    assert [(line.design, line.count) for line in job.order().lines] == [("Square", 2)]
    assert empty.asked == len(job.plan().plan.sheets)


def test_a_build_that_has_a_plan_of_its_own_is_not_cut_again_in_a_batch(empty):
    build = make_build()
    own = Batch.objects.begin("Alone", by=empty.by)
    own.add_build(build)
    empty.batch.add_build(build)
    mine = make_job(empty.by, empty.kind, batch=own)
    job = make_job(empty.by, empty.kind, batch=empty.batch)

    assert [line.count for line in job.order().lines] == [COUNT]
    assert needs_of_planned_builds().of(empty.kind.item) == len(mine.plan().plan.sheets) + len(
        job.plan().plan.sheets
    )


def test_builds_whose_pieces_were_not_all_cut_keep_asking(coordinator):
    kind = stock_up(sheet=0)["sheet"].sheet
    kind.move(2, "in", by=coordinator)
    batch = make_batch(coordinator, ["####", "####"], count=3)
    way = Way(coordinator, kind, batch)
    way.builds()
    offer = offer_of(kind)
    document = offer_document(offer)
    document["stock"][0]["stock"]["quantity"] = 2
    job = batch.job(document, by=coordinator)
    tasks.begin(job, 0.5)
    assert loaded(job).best_run().whole == [2]
    cut_up(loaded(job), coordinator)

    assert sum(account_of(one).short.get(kind.item, 0) for one in way.planned) == 1
    assert needs_of_planned_builds().of(kind.item) == 1
    again = make_job(coordinator, kind, batch=batch)
    assert [line.count for line in again.order().lines] == [1]


def test_a_build_planned_anew_after_the_cut_asks_for_its_new_sheets(empty):
    empty.builds()
    empty.plan()
    empty.cut()
    build = empty.planned[0]
    design = build.plans.get().revision.design
    design.change(make_design(["###"]), by=empty.by)
    design.refresh_from_db()
    plan = plan_anew(build, design, by=empty.by, idempotency_key=uuid.uuid4())

    assert empty.asked == items_of(plan.revision).of(empty.kind.item) > 0


def test_a_build_planned_anew_is_not_cut_from_the_old_drawing(empty, client_of):
    empty.builds()
    build = empty.planned[0]
    design = build.plans.get().revision.design
    design.change(make_design(["###"]), by=empty.by)
    design.refresh_from_db()
    plan_anew(build, design, by=empty.by, idempotency_key=uuid.uuid4())
    empty.plan()

    assert [line.count for line in empty.job.order().lines] == [COUNT - 1]
    # Its own page lets its sheets be planned.
    begin(build, by=empty.by, idempotency_key=uuid.uuid4())
    page = client_of(empty.by).get(f"/builds/{build.code}/pull/").content.decode()
    assert "Make cutting plan" in page


def test_a_stopped_build_is_not_cut_for(empty):
    empty.builds()
    empty.planned[0].set_state("stopped", DAY, by=empty.by)
    empty.plan()

    assert [line.count for line in empty.job.order().lines] == [COUNT - 1]


def test_a_line_that_was_cut_stays_in_the_batch(empty, client_of):
    empty.plan()
    empty.cut()
    line = empty.batch.lines.get()

    page = client_of(empty.by).post(f"/batches/{empty.batch.code}/remove/{line.pk}/", follow=True)

    assert empty.batch.lines.get() == line
    assert f"{COUNT} of {COUNT} are cut" in page.content.decode()


def test_the_pull_of_a_batch_says_that_its_sheets_come_by_the_plan(empty, client_of):
    empty.builds()
    empty.plan()
    empty.pull()

    page = client_of(empty.by).get(f"/batches/{empty.batch.code}/pull/").content.decode()

    assert "in a sheet plan" in page
    assert " short</span>" not in page


@pytest.mark.parametrize("count", [3, 12])
def test_the_buying_list_asks_as_often_for_twelve_plans_as_for_three(
    coordinator, django_assert_num_queries, count
):
    kind = stock_up(sheet=0)["sheet"].sheet
    design = Design.objects.draw(make_design(SMALL), by=coordinator)
    for number in range(count):
        batch = Batch.objects.begin(f"Batch {number}", by=coordinator)
        batch.add(design, 1)
        job = batch.job({}, by=coordinator)
        run = job.begin_run(1)
        run.end(None, "finished")
        takes = {"plan": {}, "takes": {f"sheet:{kind.pk}": 1}, "whole": [1]}
        CuttingRun.objects.filter(pk=run.pk).update(**takes)

    with django_assert_num_queries(5):  # builds, plans, and of these lines, builds, and kinds
        assert needs_of_planned_builds().of(kind.item) == count
