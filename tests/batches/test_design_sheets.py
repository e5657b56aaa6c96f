"""The sheets of one design: planned as the address asks, and cut as a batch of one."""

from builds.batches.models.batches import Batch
from builds.batches.models.cutting_jobs import CuttingJob
from builds.batches.models.cutting_runs import CuttingRun
from habitats.designs.models.designs import Design
from tests.batches.test_pages import asked
from tests.support.designs import make_design
from tests.support.sheets import make_kind


def test_without_a_store_a_design_is_planned_from_a_trade_sheet(building, drawn, text_of):
    page = text_of(building.get(f"/designs/{drawn.code}/sheets/"))

    assert "No sheets in the store yet" in page
    assert "Standard sheet" in page
    assert "Cost" not in page


def test_with_a_store_a_design_is_planned_from_what_is_in_it(building, drawn, kind, text_of):
    page = text_of(building.get(f"/designs/{drawn.code}/sheets/"))

    assert "24.50" in page
    assert "No cheaper plan exists for these pieces." in page


def test_a_plan_is_made_as_the_address_asks(building, drawn, kind, text_of):
    short = make_kind(name="Short", width_mm=1000, height_mm=2000, cost="10.00")

    response = building.get(f"/designs/{drawn.code}/sheets/", asked(short))

    assert "Short" in [one.name for one in response.context["page"].store.taken]


def test_sheets_of_two_thicknesses_are_refused_beside_the_field(building, drawn, kind, text_of):
    thin = make_kind(name="Thin", thickness_mm="3.5")

    response = building.get(f"/designs/{drawn.code}/sheets/", asked(kind, kinds=[kind.pk, thin.pk]))

    assert response.status_code == 422
    assert "You chose sheets of 3.5 mm and 4 mm" in text_of(response)


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
