"""A sheet plan counts what is free: nothing that others reserved, all that its own builds have."""

import uuid

import pytest

from builds.batches.models.cutting_jobs import CuttingJob
from builds.building.models.replanning import plan_anew
from builds.pulls.models.buying import needs_of_planned_builds
from builds.store.models import movements
from builds.store.models.offcuts import Offcut
from builds.store.models.reservations import reserved_by_place
from tests.support.builds import DAY, make_build
from tests.support.designs import make_design
from tests.support.sheets import (
    cut_up,
    loaded,
    make_batch,
    make_job,
    make_kind,
    make_place,
    on_hand,
)

WIDE = ["####", "####"]  # one sheet each


@pytest.fixture
def kind(db):
    return make_kind()


@pytest.fixture
def rack(db):
    return make_place("Rack")


@pytest.fixture
def keeper(coordinator, kind, rack):
    """`keeper(here, count)`: so many are there, of which so many are kept for another build."""

    def keep(here: int, count: int, place=rack):
        build = make_build("Other nook")
        movements.take_in(kind.item, place, here, by=coordinator)
        movements.reserve(kind.item, place, count, by=coordinator, build=build)
        return build

    return keep


def own_builds(batch, by):
    batch.lines.get().plan_builds(by=by, on=DAY)
    return list(batch.lines.get().builds.order_by("pk"))


def only_from_store(batch, kind, client):
    """The plan that the batch's page makes where nothing is bought."""
    sent = {"once": uuid.uuid4(), "kinds": [kind.pk], "use_offcuts": "on", "join_cost": "3"}
    knife = {"kerf": "0 mm", "trim": "0 mm", "least_offcut": "150 mm", "stages": "3"}
    client.post(f"/batches/{batch.code}/plan/", sent | knife | {"seconds": "2"})
    return CuttingJob.objects.with_state().newest_first()[0]


def opened(client, job, **more):
    """What the form on the page that marks it as cut sends, as it stands."""
    form = client.get(f"/cutting/{job.code}/cut/").context["form"]
    names = ("once", "run", "seen")
    return {name: form[name].value() for name in names} | more


def marked(client, job, **more):
    return client.post(f"/cutting/{job.code}/cut/", opened(client, job) | more)


# --- Planning ---


def test_a_plan_takes_nothing_that_another_build_reserved(coordinating, coordinator, kind, keeper):
    keeper(3, 2)

    job = only_from_store(make_batch(coordinator, WIDE, count=3), kind, coordinating)

    assert len(job.plan().plan.sheets) == 1


def test_what_its_own_builds_reserved_counts_for_it(coordinating, coordinator, kind, keeper, rack):
    keeper(3, 1)
    batch = make_batch(coordinator, WIDE, count=2)
    first, _second = own_builds(batch, coordinator)
    movements.reserve(kind.item, rack, 2, by=coordinator, build=first)

    job = only_from_store(batch, kind, coordinating)

    assert len(job.plan().plan.sheets) == 2


def test_what_is_reserved_for_another_drawing_of_its_build_does_not_count(
    coordinating, coordinator, kind, rack
):
    batch = make_batch(coordinator, WIDE, count=2)
    first, _second = own_builds(batch, coordinator)
    design = first.plans.get().revision.design
    design.change(make_design(["###"]), by=coordinator)
    design.refresh_from_db()
    plan_anew(first, design, by=coordinator, idempotency_key=uuid.uuid4())
    movements.take_in(kind.item, rack, 2, by=coordinator)
    movements.reserve(kind.item, rack, 2, by=coordinator, build=first)

    job = only_from_store(batch, kind, coordinating)

    assert len(job.plan().plan.sheets) == 0


def test_the_choice_of_sheets_says_how_many_are_free(
    coordinating, coordinator, kind, keeper, text_of
):
    keeper(5, 3)
    batch = make_batch(coordinator, WIDE)

    page = text_of(coordinating.get(f"/batches/{batch.code}/"))

    assert "24.50 each, 2 free" in page
    assert "5 in store" not in page


def test_the_sheets_of_a_design_say_what_is_free_and_what_is_to_buy(
    building, coordinator, kind, keeper
):
    keeper(5, 5)
    design = make_batch(coordinator, WIDE).lines.get().revision.design

    taken = building.get(f"/designs/{design.code}/sheets/").context["page"].store.taken

    assert [(one.sheets, one.on_hand, one.free, one.buy) for one in taken] == [(1, 5, 0, 1)]


def test_a_job_says_what_is_free_for_it(building, coordinator, kind, keeper, rack):
    keeper(4, 2)
    batch = make_batch(coordinator, WIDE, count=3)
    first, *_others = own_builds(batch, coordinator)
    movements.reserve(kind.item, rack, 1, by=coordinator, build=first)
    job = make_job(coordinator, kind, batch=batch)

    taken = building.get(f"/cutting/{job.code}/").context["page"].store.taken

    assert [(one.sheets, one.on_hand, one.free, one.buy) for one in taken] == [(3, 4, 2, 1)]


def test_an_offcut_that_an_older_plan_of_the_batch_counts_on_is_its_own(
    coordinating, coordinator, kind
):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    batch, other = make_batch(coordinator, WIDE), make_batch(coordinator, ["###", "###"])

    only_from_store(batch, kind, coordinating)
    again = only_from_store(batch, kind, coordinating)
    elsewhere = only_from_store(other, kind, coordinating)

    assert dict(again.plan().taken) == {f"offcut:{offcut.label}": 1}
    assert dict(elsewhere.plan().taken) == {}


# --- Between planning and cutting ---


def test_what_was_reserved_since_it_was_planned_is_told(building, coordinator, kind, rack, text_of):
    movements.take_in(kind.item, rack, 3, by=coordinator)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=3))
    page = f"/cutting/{job.code}/"
    assert "Changed since it was planned" not in text_of(building.get(page))
    other = make_build("Other nook")
    movements.reserve(kind.item, rack, 2, by=coordinator, build=other)

    for address in (page, f"{page}cut/"):
        told = text_of(building.get(address))
        assert "Changed since it was planned" in told
        assert "free for this plan before 3, now 1" in told
        assert f"2 for build {other.code}, Other nook" in told


def test_builds_that_were_stopped_or_planned_anew_since_are_told(
    building, coordinator, kind, text_of
):
    batch = make_batch(coordinator, WIDE, count=2)
    first, second = own_builds(batch, coordinator)
    job = make_job(coordinator, kind, batch=batch)
    first.set_state("stopped", DAY, by=coordinator)
    design = second.plans.get().revision.design
    design.change(make_design(["###"]), by=coordinator)
    design.refresh_from_db()
    plan_anew(second, design, by=coordinator, idempotency_key=uuid.uuid4())

    page = text_of(building.get(f"/cutting/{job.code}/"))

    assert f"Build {first.code}, {first}: Stopped" in page
    assert f"Build {second.code}, {second}, was re-planned" in page


def test_an_offcut_that_is_gone_is_told_before_it_is_marked_as_cut(
    building, coordinator, kind, text_of
):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)
    offcut.write_off(by=coordinator)

    assert f"Offcut {offcut.label}" in text_of(building.get(f"/cutting/{job.code}/cut/"))
    assert "no longer in the store" in text_of(building.get(f"/cutting/{job.code}/cut/"))


# --- Cutting ---


def test_before_reserved_sheets_are_cut_one_is_asked_which_they_were(
    building, coordinator, kind, keeper, text_of
):
    other = keeper(2, 2)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))

    asked = text_of(building.get(f"/cutting/{job.code}/cut/"))
    refused = marked(building, job)

    assert f"2 for build {other.code}, Other nook" in asked
    assert refused.status_code == 422
    assert loaded(job).end_or_none() is None
    assert reserved_by_place(build=other)[0][2] == 2


def test_other_sheets_than_the_reserved_ones_leave_these_reserved(
    building, coordinator, kind, keeper
):
    other = keeper(2, 2)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))

    marked(building, job, reserved="no")

    assert loaded(job).state == CuttingJob.State.CUT
    assert reserved_by_place(build=other)[0][2] == 2
    stock = kind.item.stocks.get()
    assert (stock.on_hand, stock.reserved) == (2, 2)
    whys = list(kind.item.movements.order_by("pk").values_list("why", flat=True))
    assert whys == ["in", "reserve", "found", "cut"]


def test_reserved_sheets_that_were_cut_are_asked_for_again_and_it_is_told(
    building, coordinator, kind, keeper, text_of
):
    other = keeper(2, 2)
    before = needs_of_planned_builds().of(kind.item)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))

    sent = opened(building, job, reserved="yes")
    page = text_of(building.post(f"/cutting/{job.code}/cut/", sent, follow=True))

    assert on_hand(kind) == 0
    assert reserved_by_place(build=other) == []
    assert needs_of_planned_builds().of(kind.item) > before
    assert f"2 sheets that were reserved for build {other.code}, Other nook" in page


def test_free_sheets_are_cut_first_wherever_they_lie(coordinator, kind, keeper):
    other = keeper(3, 3)
    movements.take_in(kind.item, make_place("Loft"), 5, by=coordinator)

    cut_up(make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2)), coordinator)

    assert reserved_by_place(build=other)[0][2] == 3
    assert [one.on_hand for one in kind.item.stocks.order_by("place__name")] == [3, 3]


def test_its_own_builds_sheets_are_cut_where_they_were_reserved(coordinator, kind, rack):
    loft = make_place("Loft")
    for place in (rack, loft):
        movements.take_in(kind.item, place, 2, by=coordinator)
    batch = make_batch(coordinator, WIDE, count=2)
    first, _second = own_builds(batch, coordinator)
    movements.reserve(kind.item, rack, 2, by=coordinator, build=first)

    cut_up(make_job(coordinator, kind, batch=batch), coordinator)

    assert [one.on_hand for one in kind.item.stocks.order_by("place__name")] == [2, 0]


def test_figures_that_changed_since_the_page_was_opened_are_told_before_anything_is_cut(
    building, coordinator, kind, rack, text_of
):
    movements.take_in(kind.item, rack, 2, by=coordinator)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))
    sent = opened(building, job)
    other = make_build("Other nook")
    movements.reserve(kind.item, rack, 1, by=coordinator, build=other)

    refused = building.post(f"/cutting/{job.code}/cut/", sent | {"reserved": "no"})

    assert refused.status_code == 409
    assert "The store has changed since this page was opened" in text_of(refused)
    assert loaded(job).end_or_none() is None
    seen_now = refused.context["form"]["seen"].value()
    building.post(f"/cutting/{job.code}/cut/", sent | {"reserved": "no", "seen": seen_now})
    assert loaded(job).state == CuttingJob.State.CUT


def test_sheets_that_the_store_does_not_know_of_are_told_before_they_are_cut(
    building, coordinator, kind, text_of
):
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))

    assert "2 that are not in the store" in text_of(building.get(f"/cutting/{job.code}/cut/"))


@pytest.mark.parametrize("count", [3, 12])
def test_a_job_asks_the_same_few_questions_for_any_number_of_reservations(
    building, coordinator, kind, rack, django_assert_max_num_queries, count
):
    job = make_job(coordinator, kind, batch=make_batch(coordinator, WIDE, count=2))
    movements.take_in(kind.item, rack, count, by=coordinator)
    for number in range(count):
        build = make_build(f"Nook {number}")
        movements.reserve(kind.item, rack, 1, by=coordinator, build=build)

    with django_assert_max_num_queries(16):
        building.get(f"/cutting/{job.code}/")
    with django_assert_max_num_queries(16):
        building.get(f"/cutting/{job.code}/cut/")
