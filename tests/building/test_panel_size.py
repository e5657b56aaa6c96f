"""A panel that measures otherwise than planned: reported from the step, the build re-planned."""

import uuid
from dataclasses import replace

import pytest

from builds.building.models.panel_reports import PanelReport, waiting_on
from builds.plans.models.build_acts import Tick
from builds.plans.models.progress import Progress
from tests.support.builds import make_build, report_panels, steps_of, tick_all

pytestmark = pytest.mark.django_db
CUT_NOTHING = "Cut nothing:"


@pytest.fixture
def under_way(builder, this_day):
    return make_build(state="building")


def report(client, build, size="350", squares="9"):
    sent = {"once": uuid.uuid4(), "size_mm": size, "squares": squares}
    return client.post(f"/builds/{build.code}/panel-size/", sent)


def answer(client, build, word, waits):
    sent = {"once": uuid.uuid4(), "answer": word}
    return client.post(f"/builds/{build.code}/panel-size/{waits.pk}/", sent)


def test_the_step_that_measures_leads_to_the_report_and_no_other_does(building, under_way, text_of):
    for step in steps_of(under_way):
        page = text_of(building.get(f"/builds/{under_way.code}/steps/{step.key}/"))

        assert ("My panel has another size" in page) == (step.card["id"] == "measure")


def test_a_report_changes_no_plan_and_stops_the_knife(building, under_way, text_of):
    assert report(building, under_way).status_code == 302

    assert under_way.plans.count() == 1
    assert CUT_NOTHING in text_of(building.get(f"/builds/{under_way.code}/"))
    for step in steps_of(under_way):
        page = text_of(building.get(f"/builds/{under_way.code}/steps/{step.key}/"))
        assert (CUT_NOTHING in page) == step.card["bench"]


@pytest.mark.parametrize("size", ["as planned", "9", "", "as a cat"])
def test_a_size_that_makes_no_sense_is_refused_beside_the_field(building, under_way, size):
    planned = under_way.plans.get().revision.shape().panel.size_mm

    response = report(building, under_way, str(planned) if size == "as planned" else size)

    assert response.status_code == 422
    assert response.context["form"].errors["size_mm"]
    assert not PanelReport.objects.exists()


def test_it_waits_on_today_for_a_coordinator(coordinating, building, under_way, text_of):
    report(building, under_way)

    assert "panels measure 350 mm" in text_of(coordinating.get("/today/"))
    assert "panels measure 350 mm" not in text_of(building.get("/today/"))


def test_panels_of_the_planned_size_with_other_squares_are_told_by_their_squares(
    coordinating, under_way, text_of
):
    planned = under_way.plans.get().revision.shape().panel
    report_panels(under_way, planned.size_mm, planned.squares + 1)
    told = f"panels have {planned.squares + 1} squares a side"

    for address in ("/today/", f"/builds/{under_way.code}/"):
        page = text_of(coordinating.get(address))
        assert told in page
        assert "panels measure" not in page


def test_the_coordinator_sees_what_replanning_would_do_and_it_does_that(coordinating, under_way):
    tick_all(under_way)
    waits = report_panels(under_way)
    change = coordinating.get(f"/builds/{under_way.code}/panel-size/{waits.pk}/").context["change"]
    said = Tick.objects.count()

    assert answer(coordinating, under_way, "re-plan", waits).status_code == 302

    now = Progress(under_way, "metric")
    assert (now.plan.number, now.plan.revision.shape().panel.size_mm) == (2, 350)
    assert now.done == len(change.kept) > 0
    assert len(now.gone) == len(change.lost) > 0
    assert Tick.objects.count() == said
    assert waiting_on(under_way) is None


def test_walls_that_stand_stay_ticked_and_pieces_that_were_cut_do_not(coordinating, under_way):
    tick_all(under_way)
    answer(coordinating, under_way, "re-plan", report_panels(under_way))

    done = {one.step.card["facts"][0] for one in Progress(under_way, "metric").steps if one.is_done}
    assert "wall" in done
    assert not done & {"measure", "cut-blank", "fold-tray", "lay-tray"}


def test_a_plan_that_is_kept_is_as_it_was(coordinating, under_way, text_of):
    waits = report_panels(under_way)

    answer(coordinating, under_way, "keep", waits)

    assert under_way.plans.count() == 1
    assert CUT_NOTHING not in text_of(coordinating.get(f"/builds/{under_way.code}/"))
    waits.refresh_from_db()
    assert waits.is_taken is False


def test_a_report_that_was_answered_is_not_answered_otherwise(coordinating, under_way, text_of):
    waits = report_panels(under_way)
    answer(coordinating, under_way, "keep", waits)

    again = answer(coordinating, under_way, "re-plan", waits)

    assert "The plan was kept." in text_of(again)
    assert under_way.plans.count() == 1


def test_replanning_by_hand_with_that_size_answers_it(coordinating, coordinator, under_way):
    waits = report_panels(under_way)
    design = under_way.plans.get().revision.design

    design.change(replace(design.shape(), panel=waits.panel), by=coordinator)
    coordinating.post(f"/builds/{under_way.code}/replan/", {"once": uuid.uuid4()})

    assert waiting_on(under_way) is None


def test_a_build_that_is_inspected_takes_no_such_report(building, builder, text_of):
    response = report(building, make_build(state="inspected"))

    assert response.status_code == 422
    assert "can no longer be re-planned" in text_of(response)
