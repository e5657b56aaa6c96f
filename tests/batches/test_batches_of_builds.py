"""Batches of builds that are planned already: chosen with the batch, or added to it."""

import uuid

import pytest

from builds.batches.models.batches import Batch, builds_to_batch
from builds.pulls.pages import subject_of
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, make_build, planner
from tests.support.designs import make_design


@pytest.fixture
def drawn(db):
    return Design.objects.draw(make_design(), by=planner())


def sent(*builds, **more):
    return {"once": str(uuid.uuid4()), "builds": [one.pk for one in builds], **more}


def test_a_batch_begins_with_the_planned_builds_that_were_chosen(coordinating, drawn):
    first, second, other = (make_build(name, design=drawn) for name in ("One", "Two", "Other"))
    form = sent(first, second, name="Saturday")

    for _time in range(2):
        response = coordinating.post("/batches/new/", form)

    batch = Batch.objects.get()
    assert response["Location"] == f"/batches/{batch.code}/"
    assert [list(line.builds.all()) for line in batch.lines.all()] == [[first], [second]]
    assert list(builds_to_batch()) == [other]


def test_its_plan_and_its_pull_are_for_these_builds(coordinating, coordinator, drawn):
    first, second = make_build("One", design=drawn), make_build("Two", design=drawn)
    coordinating.post("/batches/new/", sent(first, second, name="Saturday"))
    batch = Batch.objects.get()

    assert [one.builds for one in batch.to_cut()] == [[first], [second]]
    assert set(subject_of(coordinator, "batch", batch.code).builds) == {first, second}


def test_planned_builds_join_a_batch_and_each_is_in_it_once(coordinating, drawn):
    build = make_build(design=drawn)
    batch = Batch.objects.begin("Saturday", by=planner())

    for _time in range(2):
        coordinating.post(f"/batches/{batch.code}/add-builds/", sent(build))

    assert batch.lines.count() == 1


def test_only_what_still_takes_something_and_is_in_no_batch_is_offered(coordinating, drawn):
    planned, building = make_build("One", design=drawn), make_build("Two", state="building")
    make_build("Done", state="handed over")
    in_one = make_build("Three", design=drawn)
    Batch.objects.begin("Friday", by=planner()).add_build(in_one)

    assert set(builds_to_batch()) == {planned, building}


def test_a_choice_of_nothing_is_refused_beside_the_field(coordinating, drawn, text_of):
    make_build(design=drawn)
    batch = Batch.objects.begin("Saturday", by=planner())

    response = coordinating.post(f"/batches/{batch.code}/add-builds/", sent())

    assert response.status_code == 422
    assert "Choose at least one planned build." in text_of(response)


def test_too_many_builds_make_no_batch_and_say_why(coordinating, drawn, text_of, monkeypatch):
    monkeypatch.setattr("builds.batches.models.batches.MOST_LINES", 1)
    first, second = make_build("One", design=drawn), make_build("Two", design=drawn)

    response = coordinating.post("/batches/new/", sent(first, second, name="Saturday"))

    assert response.status_code == 422
    assert "A batch holds at most" in text_of(response)
    assert not Batch.objects.exists()


def test_without_planned_builds_a_batch_begins_as_before(coordinating, text_of):
    assert "Planned builds" not in text_of(coordinating.get("/batches/new/"))

    coordinating.post("/batches/new/", {"once": str(uuid.uuid4()), "name": "Saturday"})

    assert Batch.objects.get().name == "Saturday"


@pytest.mark.parametrize("count", [3, 12])
def test_the_form_asks_as_few_questions_for_twelve_builds_as_for_three(
    coordinating, drawn, count, django_assert_max_num_queries
):
    for _number in range(count):
        make_build(design=drawn, planned_on=DAY)

    with django_assert_max_num_queries(8):
        coordinating.get("/batches/new/")
