"""Pages of cutting jobs, without a browser: watched, stopped, cut, and what each build gets."""

import uuid
from collections import Counter

from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from builds.store.models.offcuts import Offcut
from tests.batches.test_pages import asked
from tests.support.sheets import cut_up, loaded, make_batch, make_job, make_place

LONG = ["######"] * 3


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


def test_a_series_lists_the_offcuts_of_one_size_together(building, coordinator, text_of):
    # Trays of 1 720 x 1 010 mm: one on each sheet of 1 220 x 2 440 mm.
    job = make_job(coordinator, batch=make_batch(coordinator, count=6))
    page = text_of(building.get(f"/cutting/{job.code}/"))
    listed = page.partition('class="kept-list"')[2].partition("</ul>")[0]

    sizes = Counter((one.offcut.width, one.offcut.height) for one in job.plan().offcuts_to_keep)
    assert set(sizes.values()) == {6}
    assert listed.count("<li>6 × ") == listed.count("from sheets 1–6") == len(sizes)


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
    offcut.write_off(by=coordinator)

    shown = text_of(building.get(f"/cutting/{job.code}/"))
    sent = {"once": str(uuid.uuid4()), "run": job.best_run().pk}
    refused = building.post(f"/cutting/{job.code}/cut/", sent)

    assert "no longer in the store. Re-plan" in shown
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
    assert "Not everything is cut." in text_of(page)
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


def test_a_job_that_was_cut_is_not_searched_for_again_whatever_is_sent(
    coordinating, coordinator, text_of
):
    job = cut_up(make_job(coordinator), coordinator)

    page = text_of(coordinating.post(f"/cutting/{job.code}/search/", {}, follow=True))

    assert "This job was cut or cancelled." in page


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
    assert "Sheets taken" in page


def test_a_job_that_was_given_up_is_not_out_of_date_either(building, coordinator, kind, text_of):
    offcut = Offcut.objects.store(kind, 1200, 2000, by=coordinator)
    job = make_job(coordinator, kind, offcut)
    job.drop(by=coordinator)
    offcut.write_off(by=coordinator)

    assert "Out of date" not in text_of(building.get(f"/cutting/{job.code}/"))


def test_what_the_store_lacks_is_told_as_to_buy(building, coordinator, kind):
    kind.move(1, "in", by=coordinator)
    job = make_job(coordinator, kind, batch=make_batch(coordinator, count=3))

    taken = building.get(f"/cutting/{job.code}/").context["page"].store.taken

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
    assert 'hx-trigger="load"' in ended.text
    once = coordinating.get(f"/cutting/{job.code}/progress/?ended=yes", headers=htmx)
    assert once.headers["HX-Redirect"] == f"/cutting/{job.code}/"
    assert "HX-Request" in ended.headers["Vary"]


def test_progress_without_script_is_the_page_itself(coordinating, coordinator, text_of):
    job = make_job(coordinator)
    job.begin_run(60)

    response = coordinating.get(f"/cutting/{job.code}/progress/", follow=True)

    assert "Refresh" in text_of(response)
    assert "Stop search" in text_of(response)


def test_stopping_asks_the_run_to_stop_and_says_so(coordinating, coordinator, text_of):
    job = make_job(coordinator)
    run = job.begin_run(60)

    page = coordinating.post(f"/cutting/{job.code}/stop/", follow=True)

    run.refresh_from_db()
    assert run.stop_asked_at
    assert "Stopping. The best plan is saved." in text_of(page)


def test_a_job_given_up_is_shown_as_such(coordinating, coordinator, text_of):
    job = make_job(coordinator)

    page = coordinating.post(f"/cutting/{job.code}/give-up/", follow=True)

    assert "Cancelled</span> by Cora Lind" in text_of(page)


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
