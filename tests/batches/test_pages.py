"""Pages of sheet plans, batches and the store, without a browser: what they show and refuse."""

import uuid

import pytest

from builds.batches.models.batches import Batch, BatchLine
from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from builds.plans.models.builds import Build
from builds.store.models.sheets import Offcut
from habitats.designs.models.designs import Design
from tests.support.designs import make_design
from tests.support.sheets import cut_up, loaded, make_batch, make_job, make_kind, make_place

LONG = ["######"] * 3


@pytest.fixture
def kind(db):
    return make_kind()


@pytest.fixture
def drawn(coordinator):
    return Design.objects.draw(make_design(name="Two by four"), by=coordinator)


def asked(kind, **changes):
    """What the form sends to plan with this kind of sheet."""
    usual = {"once": str(uuid.uuid4()), "kinds": [kind.pk], "may_buy": "on", "use_offcuts": "on"}
    knife = {"kerf": "0 mm", "trim": "0 mm", "least_offcut": "150 mm", "stages": "3"}
    return usual | knife | {"join_cost": "3.00", "seconds": "2"} | changes


# --- The sheets of one design ---


def test_without_a_store_a_design_is_planned_from_a_trade_sheet(building, drawn, text_of):
    page = text_of(building.get(f"/designs/{drawn.code}/sheets/"))

    assert "No sheets in the store yet" in page
    assert "Trade sheet" in page
    assert "Cost" not in page


def test_with_a_store_a_design_is_planned_from_what_is_in_it(building, drawn, kind, text_of):
    page = text_of(building.get(f"/designs/{drawn.code}/sheets/"))

    assert "24.50" in page
    assert "No cheaper plan exists for these pieces." in page


def test_a_plan_is_made_as_the_address_asks(building, drawn, kind, text_of):
    short = make_kind(name="Short", width_mm=1000, height_mm=2000, cost="10.00")

    response = building.get(f"/designs/{drawn.code}/sheets/", asked(short))

    assert "Short" in [one.name for one in response.context["page"].taken]


def test_sheets_of_two_thicknesses_are_refused_beside_the_field(building, drawn, kind, text_of):
    thin = make_kind(name="Thin", thickness_mm="3.5")

    response = building.get(f"/designs/{drawn.code}/sheets/", asked(kind, kinds=[kind.pk, thin.pk]))

    assert response.status_code == 422
    assert "Sheets of 3.5 mm and 4 mm are chosen" in text_of(response)


def test_a_draft_has_no_sheets_yet(building, coordinator, text_of):
    draft = Design.objects.draw(make_design(["#.#"]), by=coordinator)

    assert building.get(f"/designs/{draft.code}/sheets/").status_code == 409
    assert building.get(f"/designs/{draft.code}/sheets.pdf").status_code == 302


def test_a_design_that_is_to_be_cut_becomes_a_batch_of_one_and_once_only(coordinating, drawn, kind):
    sent = asked(kind)
    first = coordinating.post(f"/designs/{drawn.code}/sheets/cut/", sent)
    again = coordinating.post(f"/designs/{drawn.code}/sheets/cut/", sent)

    assert first.url == again.url == f"/cutting/{CuttingJob.objects.get().code}/"
    assert Batch.objects.get().lines.get().count == 1
    assert CuttingRun.objects.count() == 1


# --- Batches ---


def test_an_empty_list_says_what_to_do_first(coordinating, building, text_of):
    assert "Begin the first batch" in text_of(coordinating.get("/batches/"))
    assert "Nothing is to be cut" in text_of(building.get("/batches/"))


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
        ({"count": "0"}, "greater than or equal to 1"),
        ({"count": "1000000"}, "less than or equal to 200"),
        ({"count": "many"}, "Enter a whole number"),
        ({"design": "99999"}, "Select a valid choice"),
        ({"who_for": "x" * 61}, "at most 60 characters"),
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
        ({"kinds": []}, "No sheet is chosen"),
        ({"kerf": "-3 mm"}, "is not a length"),
        ({"trim": "2 m"}, "2 000 mm given; allowed is 0 mm to 100 mm."),
        ({"join_cost": "NaN"}, "Enter a number"),
        ({"join_cost": "-1"}, "greater than or equal to 0"),
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

    assert "add a design first" in text_of(response)


def test_a_line_is_taken_out(coordinating, coordinator):
    batch = make_batch(coordinator)

    coordinating.post(f"/batches/{batch.code}/remove/{batch.lines.get().pk}/")

    assert not batch.lines.exists()


def test_a_builder_reads_a_batch_and_has_no_forms_there(building, coordinator, kind, text_of):
    batch = make_batch(coordinator)

    page = text_of(building.get(f"/batches/{batch.code}/"))

    assert "Two by four" in page
    assert "Take out" not in page
    assert "Plan it" not in page


# --- Jobs ---


def test_a_builder_marks_a_job_as_cut_and_gets_labels_for_its_offcuts(
    building, coordinator, text_of
):
    job = make_job(coordinator)
    kept = job.plan().offcuts_to_keep
    form = building.get(f"/cutting/{job.code}/cut/").context["form"]
    sent = {name: form[name].value() for name in ("once", "run", "seen")}
    sent["place"] = make_place("Loft").pk
    sent |= {f"keep_{index}": "on" for index in range(len(kept))}

    page = text_of(building.post(f"/cutting/{job.code}/cut/", sent, follow=True))

    assert loaded(job).state == CuttingJob.State.CUT
    assert all(offcut.label in page for offcut in Offcut.objects.all())
    assert Offcut.objects.count() == len(kept) > 0
    assert "Cut</span> by Bertil Moss" in page


def test_an_offcut_without_its_tick_is_not_kept(building, coordinator):
    job = make_job(coordinator)
    form = building.get(f"/cutting/{job.code}/cut/").context["form"]
    sent = {name: form[name].value() for name in ("once", "run", "seen")}

    building.post(f"/cutting/{job.code}/cut/", sent)

    assert loaded(job).state == CuttingJob.State.CUT
    assert not Offcut.objects.exists()


def test_a_job_whose_offcut_is_gone_says_so_before_and_when_it_is_cut(
    building, coordinator, kind, text_of
):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)
    offcut.scrap(by=coordinator)

    shown = text_of(building.get(f"/cutting/{job.code}/"))
    sent = {"once": str(uuid.uuid4()), "run": job.best_run().pk}
    refused = building.post(f"/cutting/{job.code}/cut/", sent)

    assert "no longer in the store. Plan anew" in shown
    assert refused.status_code == 409
    assert f"Offcut {offcut.label} is no longer in the store" in text_of(refused)


def test_without_buying_nothing_is_cut_but_what_the_store_has(
    coordinating, coordinator, kind, text_of
):
    kind.move(1, "in", by=coordinator)
    batch = make_batch(coordinator, count=3)
    sent = asked(kind)
    del sent["may_buy"]

    page = coordinating.post(f"/batches/{batch.code}/plan/", sent, follow=True)

    assert len(CuttingJob.objects.with_state().get().plan().plan.sheets) == 1
    assert "Not all is cut." in text_of(page)
    assert "There are not enough sheets" in text_of(page)


def test_a_store_without_sheets_and_without_buying_leaves_all_out(
    coordinating, coordinator, kind, text_of
):
    batch = make_batch(coordinator)
    sent = asked(kind)
    del sent["may_buy"]

    page = coordinating.post(f"/batches/{batch.code}/plan/", sent, follow=True)

    assert "There are not enough sheets" in text_of(page)


def test_a_reader_of_inches_chooses_sheets_in_inches(client_of, make_person, coordinator, kind):
    inches = make_person("ina", role="coordinator", units="inches")
    batch = make_batch(coordinator)

    page = client_of(inches).get(f"/batches/{batch.code}/").content.decode().replace("\xa0", " ")

    assert "48 1/16 in × 96 1/16 in" in page


def test_a_job_that_was_cut_is_not_asked_about_again(building, coordinator):
    job = cut_up(make_job(coordinator), coordinator)

    assert building.get(f"/cutting/{job.code}/cut/").url == f"/cutting/{job.code}/"


def test_a_job_that_was_cut_is_done_and_neither_out_of_date_nor_to_be_bought_for(
    building, coordinator, kind, text_of
):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut, batch=make_batch(coordinator, count=2))
    assert set(job.plan().taken) == {f"sheet:{kind.pk}", f"offcut:{offcut.label}"}
    cut_up(job, coordinator)

    page = text_of(building.get(f"/cutting/{job.code}/"))

    assert "Out of date" not in page
    assert "To buy" not in page
    assert "What was taken" in page


def test_a_job_that_was_given_up_is_not_out_of_date_either(building, coordinator, kind, text_of):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)
    job.drop(by=coordinator)
    offcut.scrap(by=coordinator)

    assert "Out of date" not in text_of(building.get(f"/cutting/{job.code}/"))


def test_what_the_store_lacks_is_told_as_to_buy(building, coordinator, kind):
    kind.move(1, "in", by=coordinator)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, count=3))

    taken = building.get(f"/cutting/{job.code}/").context["page"].taken

    assert [(one.sheets, one.on_hand, one.buy) for one in taken] == [(3, 1, 2)]


def test_a_build_is_told_its_pieces_with_sheet_and_cut(building, coordinator, text_of):
    job = make_job(coordinator, batch=make_batch(coordinator, LONG, count=2))

    response = building.get(f"/cutting/{job.code}/builds/2/")

    told = [(row.part, row.sheet, row.cut) for row in response.context["build"].rows]
    pieces = [one for one in job.plan().pieces if one.build.number == 2]
    assert sorted(told) == sorted((one.blank.name, one.sheet, one.cut) for one in pieces)
    assert building.get(f"/cutting/{job.code}/builds/3/").status_code == 404


def test_progress_shows_the_best_so_far_and_loads_the_page_anew_at_the_end(
    coordinating, coordinator, text_of
):
    job = make_job(coordinator)
    run = job.begin_run(60)
    htmx = {"HX-Request": "true"}

    going_on = coordinating.get(f"/cutting/{job.code}/progress/", headers=htmx)
    run.end(None, CuttingRun.How.FINISHED)
    ended = coordinating.get(f"/cutting/{job.code}/progress/", headers=htmx)

    assert "Best so far: <strong>1 sheet, cost 24.50" in text_of(going_on)
    assert ended.headers["HX-Refresh"] == "true"
    assert "HX-Request" in ended.headers["Vary"]


def test_progress_without_script_is_the_page_itself(coordinating, coordinator, text_of):
    job = make_job(coordinator)
    job.begin_run(60)

    response = coordinating.get(f"/cutting/{job.code}/progress/", follow=True)

    assert "Look again" in text_of(response)
    assert "Stop, and keep the best plan" in text_of(response)


def test_stopping_asks_the_run_to_stop_and_says_so(coordinating, coordinator, text_of):
    job = make_job(coordinator)
    run = job.begin_run(60)

    page = coordinating.post(f"/cutting/{job.code}/stop/", follow=True)

    run.refresh_from_db()
    assert run.stop_asked_at
    assert "Stopping; the best plan is kept." in text_of(page)


def test_a_job_given_up_is_shown_as_such(coordinating, coordinator, text_of):
    job = make_job(coordinator)

    page = coordinating.post(f"/cutting/{job.code}/give-up/", follow=True)

    assert "Given up</span> by Cora Lind" in text_of(page)


def test_a_job_without_a_plan_yet_says_so_everywhere(coordinating, coordinator, text_of):
    job = make_job(coordinator)
    CuttingRun.objects.all().delete()

    assert "There is no plan yet." in text_of(coordinating.get(f"/cutting/{job.code}/"))
    assert coordinating.get(f"/cutting/{job.code}/sheets.pdf").status_code == 404
    refused = coordinating.get(f"/cutting/{job.code}/cut/", follow=True)
    assert "There is no plan to cut yet." in text_of(refused)


def test_long_plans_come_in_pages(building, coordinator):
    plans = [["#" * length] * width for width in (1, 2, 3) for length in range(2, 7)]
    job = make_job(coordinator, batch=make_batch(coordinator, *plans, count=4))

    first = building.get(f"/cutting/{job.code}/").context["page"].cards
    second = building.get(f"/cutting/{job.code}/?page=2").context["page"].cards

    assert first.paginator.num_pages > 1
    assert len(first.object_list) == 12
    assert second.number == 2


# --- As many questions for many rows as for few ---


@pytest.mark.parametrize("count", [3, 30])
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
    with django_assert_num_queries(6):  # session, person, kinds, retired, offcuts, their number
        assert len(coordinating.get("/store/sheets/").context["kinds"]) == count + 1


@pytest.mark.parametrize("count", [3, 30])
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
