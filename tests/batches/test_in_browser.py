"""Pages of sheets, batches and the store in Chromium: readable for all, and usable by touch."""

import pytest

from builds.batches.models.cutting_jobs import CuttingJob
from builds.store.models.offcuts import Offcut
from tests.support.reading import fits
from tests.support.sheets import cut_up, loaded, make_batch, make_job, make_kind, make_place

LONG = ["######"] * 3


@pytest.fixture
def places(coordinator):
    """Addresses of every kind of page, full, of one store with a job of each state."""
    kind = make_kind()
    kind.move(2, "in", by=coordinator, note="Brindle & Co")
    offcut = Offcut.objects.store(kind, 400, 600, by=coordinator, place=make_place("Rack"))
    batch = make_batch(coordinator, LONG, ["####", "####"], count=2, who_for="Elm Road")
    job = make_job(coordinator, kind, batch=batch)
    # Each is made before one is cut: nothing of the batch is left to cut after that.
    to_cut, running = (make_job(coordinator, kind, batch=batch) for _each in range(2))
    cut = cut_up(to_cut, coordinator)
    design = batch.lines.first().revision.design
    # Looked at first: a run that says nothing for seconds is taken for dead, and its page goes on.
    running.begin_run(60)
    return {
        "running": f"/cutting/{running.code}/",
        "design": f"/designs/{design.code}/sheets/",
        "batches": "/batches/",
        "new batch": "/batches/new/",
        "batch": f"/batches/{batch.code}/",
        "job": f"/cutting/{job.code}/",
        "build": f"/cutting/{job.code}/builds/1/",
        "mark cut": f"/cutting/{job.code}/cut/",
        "cut": f"/cutting/{cut.code}/",
        "store": "/store/",
        "kind": f"/store/sheets/{kind.pk}/",
        "new kind": "/store/sheets/new/",
        "offcut": f"/store/offcuts/{offcut.label}/",
        "new offcut": "/store/offcuts/new/",
    }


def test_every_full_page_is_accessible_and_fits_a_phone(phone, places, axe):
    for name, address in places.items():
        phone.goto(address)
        assert fits(phone), name
        axe(phone)


@pytest.mark.nightly
def test_the_large_pages_are_accessible_and_fit_a_desk(desktop, places, axe):
    for name in ("design", "batch", "job", "store", "kind"):
        desktop.goto(places[name])
        assert fits(desktop), name
        axe(desktop)


def test_every_empty_page_is_accessible_and_fits_a_phone(phone, axe):
    for address in ("/batches/", "/store/", "/store/offcuts/new/"):
        phone.goto(address)
        assert fits(phone), address
        axe(phone)


@pytest.mark.parametrize("script", [True, False])
def test_a_batch_is_planned_and_cut_by_touch_with_and_without_script(
    open_page, coordinator, script
):
    make_kind()
    make_place("Loft")
    batch = make_batch(coordinator, count=2)
    phone = open_page(coordinator, screen="phone", script=script)

    phone.goto(f"/batches/{batch.code}/")
    phone.get_by_role("button", name="Make cutting plan").tap()
    phone.get_by_role("link", name="Mark as cut").tap()
    phone.get_by_label("Place", exact=True).select_option(label="LOFT: Loft")
    phone.get_by_role("button", name="Mark as cut").tap()

    phone.get_by_text("Offcuts in the store").wait_for()
    assert CuttingJob.objects.with_state().get().state == CuttingJob.State.CUT
    assert {one.place.name for one in Offcut.objects.with_place()} == {"Loft"}


@pytest.mark.parametrize("script", [True, False])
def test_a_long_search_is_watched_and_stopped_with_and_without_script(
    open_page, coordinator, script
):
    make_kind()
    batch = make_batch(
        coordinator, LONG, ["###", "#.."], ["#####", "#...#", "#####"], ["#####", "##..."], count=15
    )
    page = open_page(coordinator, script=script)
    page.goto(f"/batches/{batch.code}/")
    page.get_by_text("Knife, joins and time").click()
    page.get_by_label("Search time").select_option("120")
    page.get_by_role("button", name="Make cutting plan").click()

    stop = page.get_by_role("button", name="Stop search")
    stop.wait_for()
    stop.click()
    _look_until(page, "Mark as cut", script)

    job = loaded(CuttingJob.objects.get())
    assert job.state == CuttingJob.State.WORKED_OUT
    assert job.plan() is not None


def _look_until(page, name, script):
    """With script the page comes by itself; without it one looks again."""
    link = page.get_by_role("link", name=name)
    for _ in range(100):
        if link.count():
            return
        page.wait_for_timeout(200)
        if not script:
            page.reload()
    raise AssertionError(f"There is no “{name}” in time.")


def test_another_plan_of_a_design_is_asked_for_and_cut(desktop, coordinator):
    make_kind()
    make_kind(name="Short", width_mm=1000, height_mm=2000, cost="9.00")
    design = make_batch(coordinator).lines.first().revision.design

    desktop.goto(f"/designs/{design.code}/sheets/")
    desktop.get_by_text("Cut from other sheets").click()
    desktop.get_by_role("checkbox", name="Full sheet").uncheck()
    desktop.get_by_role("button", name="Re-plan").click()
    desktop.get_by_text("Cut from other sheets").wait_for()
    assert "kinds=" in desktop.url
    desktop.get_by_role("button", name="Make cutting plan").click()

    desktop.wait_for_url("**/cutting/**")
    assert {one.name for one in CuttingJob.objects.get().order().offer.stock} == {"Short"}
