"""Pages of batches, without a browser: what they show and refuse."""

import uuid

import pytest

from builds.batches.models.batches import Batch, BatchLine
from builds.batches.models.cutting_jobs import CuttingJob
from builds.plans.models.builds import Build
from builds.store.models.offcuts import Offcut
from habitats.designs.models.designs import Design
from tests.support.designs import make_design
from tests.support.sheets import cut_up, make_batch, make_job, make_kind


def asked(kind, **changes):
    """What the form sends to plan with this kind of sheet."""
    usual = {"once": str(uuid.uuid4()), "kinds": [kind.pk], "may_buy": "on", "use_offcuts": "on"}
    knife = {"kerf": "0 mm", "trim": "0 mm", "least_offcut": "150 mm", "stages": "3"}
    return usual | knife | {"join_cost": "3.00", "seconds": "2"} | changes


# --- Batches ---


def test_an_empty_list_says_what_to_do_first(coordinating, building, text_of):
    assert "There are no batches yet" in text_of(coordinating.get("/batches/"))
    assert "There is nothing to cut" in text_of(building.get("/batches/"))


def test_a_batch_is_begun_filled_and_planned(coordinating, drawn, kind, text_of):
    coordinating.post("/batches/new/", {"name": "Saturday", "once": str(uuid.uuid4())})
    batch = Batch.objects.get()
    line = {"design": drawn.pk, "count": "3", "who_for": "Ash", "once": str(uuid.uuid4())}
    coordinating.post(f"/batches/{batch.code}/add/", line)
    planned = coordinating.post(f"/batches/{batch.code}/plan/", asked(kind), follow=True)

    page = text_of(planned)
    assert "3 Ash" in page
    assert "ready to cut" in text_of(coordinating.get(f"/batches/{batch.code}/"))


def test_the_same_batch_sent_twice_is_one(coordinating):
    sent = {"name": "Saturday", "once": str(uuid.uuid4())}

    coordinating.post("/batches/new/", sent)
    coordinating.post("/batches/new/", sent)

    assert Batch.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"count": "0"}, "Enter 1 or more"),
        ({"count": "1000000"}, "Enter 200 or less"),
        ({"count": "many"}, "Enter a whole number"),
        ({"design": "99999"}, "Select a valid choice"),
        ({"who_for": "x" * 61}, "Enter 60 characters at most"),
    ],
)
def test_a_wrong_line_is_refused_beside_its_field(coordinating, drawn, text_of, wrong, sentence):
    batch = make_batch(Design.objects.get().made_by)
    line = {"design": drawn.pk, "count": "3", "who_for": ""} | wrong

    response = coordinating.post(f"/batches/{batch.code}/add/", line)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert batch.lines.count() == 1


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"kinds": []}, "Choose at least one sheet"),
        ({"kerf": "-3 mm"}, "is not a length"),
        ({"trim": "2 m"}, "2 000 mm is not allowed. Enter 0 mm to 100 mm."),
        ({"join_cost": "NaN"}, "Enter a number"),
        ({"join_cost": "-1"}, "Enter 0 or more"),
        ({"seconds": "9999"}, "Select a valid choice"),
        ({"stages": "7"}, "Select a valid choice"),
    ],
)
def test_a_wrong_offer_is_refused_beside_its_field(
    coordinating, coordinator, kind, text_of, wrong, sentence
):
    batch = make_batch(coordinator)

    response = coordinating.post(f"/batches/{batch.code}/plan/", asked(kind, **wrong))

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not CuttingJob.objects.exists()


def test_an_empty_batch_says_so_when_it_is_planned(coordinating, coordinator, kind, text_of):
    batch = make_batch(coordinator)
    batch.lines.all().delete()

    response = coordinating.post(f"/batches/{batch.code}/plan/", asked(kind), follow=True)

    assert "Add a design first" in text_of(response)


def test_a_line_is_taken_out(coordinating, coordinator):
    batch = make_batch(coordinator)

    coordinating.post(f"/batches/{batch.code}/remove/{batch.lines.get().pk}/")

    assert not batch.lines.exists()


def test_a_builder_reads_a_batch_and_has_no_forms_there(building, coordinator, kind, text_of):
    batch = make_batch(coordinator)

    page = text_of(building.get(f"/batches/{batch.code}/"))

    assert "Two by four" in page
    assert "Remove" not in page
    assert "New cutting plan" not in page


# --- As many questions for many rows as for few ---


@pytest.mark.parametrize("count", [3, 12])
def test_lists_ask_the_same_few_questions_for_any_number_of_rows(
    coordinating, coordinator, kind, django_assert_num_queries, count
):
    design = Design.objects.draw(make_design(["##"]), by=coordinator)
    for number in range(count):
        batch = Batch.objects.begin(f"Batch {number}", by=coordinator)
        batch.add(design, 1)
        batch.job({}, by=coordinator).begin_run(1).end(None, "failed")
        make_kind(name=f"Kind {number}").move(number + 1, "in", by=coordinator)
        Offcut.objects.store(kind, 400, 600, by=coordinator)

    with django_assert_num_queries(5):  # session, person, batches, jobs, their runs
        assert len(coordinating.get("/batches/").context["batches"]) == count
    # Session, person, kinds, retired, offcuts, their number, the currency.
    with django_assert_num_queries(7):
        assert len(coordinating.get("/store/sheets/").context["kinds"]) == count + 1


@pytest.mark.parametrize("count", [3, 12])
def test_a_batch_and_its_plan_ask_the_same_few_questions_for_any_number_of_builds(
    building, coordinator, kind, django_assert_max_num_queries, count
):
    batch = make_batch(coordinator, *[["##"]] * count)
    job = make_job(coordinator, kind, batch=batch)

    with django_assert_max_num_queries(13):
        building.get(f"/batches/{batch.code}/")
    with django_assert_max_num_queries(13):
        building.get(f"/cutting/{job.code}/")
    cut_up(job, coordinator)
    with django_assert_max_num_queries(9):
        building.get(f"/cutting/{job.code}/")


# --- A line that was taken out meanwhile ---


def test_who_takes_a_line_out_a_second_time_is_told(coordinating, coordinator, text_of):
    batch = make_batch(coordinator)
    taking_out = f"/batches/{batch.code}/remove/{batch.lines.get().pk}/"
    coordinating.post(taking_out)

    response = coordinating.post(taking_out, follow=True)

    assert response.status_code == 200
    assert "no longer in the batch" in text_of(response)


def test_no_builds_are_planned_for_a_line_that_was_taken_out_meanwhile(coordinator):
    batch = make_batch(coordinator)
    read_before = batch.lines.get()
    batch.lines.all().delete()

    read_before.plan_builds(by=coordinator, on=batch.made_at.date())

    assert not Build.objects.exists()


def test_builds_of_a_batch_are_planned_all_or_none(coordinating, coordinator, text_of):
    """The second line's design cannot be made: its cells hang together nowhere."""
    batch = make_batch(coordinator, ["##", "##"], ["###", "###"])
    draft = Design.objects.draw(make_design(["#.#"], name="A draft"), by=coordinator)
    BatchLine.objects.filter(pk=batch.lines.last().pk).update(revision=draft.current)

    page = text_of(coordinating.post(f"/batches/{batch.code}/builds/", follow=True))

    assert "They are planned" not in page
    assert not Build.objects.exists()
