"""Treatments that were stopped, or ended with a departure: nothing more is due of them."""

import uuid

import pytest

from habitats.animals.models.acts import Act
from habitats.animals.models.joining import begin_with, discharge, take_back
from habitats.animals.models.undoing import undo
from habitats.health.models.treatments import Dose, Treatment
from tests.support.treatments import WRITTEN, of

pytestmark = pytest.mark.usefixtures("at_nine")


def test_nothing_is_due_after_a_treatment_is_stopped(pip, treat, coordinating, text_of):
    treatment = treat(pip)
    stopped = {"at": "2027-03-10T07:30", "decided_by": "Dr Quail", "why": "it does not suit her"}

    page = text_of(coordinating.post(of(treatment, "stop/"), stopped, follow=True))

    assert "decided by Dr Quail: it does not suit her" in page
    given = coordinating.post(of(treatment, "2027-03-10-0800/given/"))
    assert given.status_code == 404
    assert not Dose.objects.exists()


def test_who_departs_has_no_doses(pip, treat, coordinating, text_of, day):
    treatment = treat(pip)
    pip.left_on, pip.left_why = day(0), "adopted"
    pip.save()

    assert "No dose is due yet." in text_of(coordinating.get(of(treatment)))


@pytest.mark.parametrize("last", [None, 6])
def test_a_treatment_ends_with_a_departure_and_a_readmission_does_not_revive_it(
    pip, treat, coordinator, coordinating, text_of, day, last
):
    ended = treat(
        pip, first_day=day(-6), times=["20:00"], last_day=None if last is None else day(last)
    )
    discharge(pip, day(-5), "adopted", by=coordinator)
    take_back(pip, day(-1), by=coordinator)
    begin_with([pip], "guinea_pig", day(-1), by=coordinator)

    page = text_of(coordinating.get(of(ended)))

    assert "4 March, 20:00" in page
    assert "9 March, 20:00" not in page
    assert "with the departure of 5 Mar 2027: nothing is due from it any more" in page
    assert not Treatment.objects.running(day(-9), day(9)).exists()


def test_who_readmits_is_told_what_ended_until_it_is_settled(
    pip, treat, coordinator, coordinating, text_of, day, at_nine
):
    ended = treat(pip, first_day=day(-6), last_day=None)
    discharge(pip, day(-5), "adopted", by=coordinator)
    take_back(pip, day(0), by=coordinator)

    page = text_of(coordinating.get(f"/animals/{pip.code}/"))
    assert "Ended with the departure" in page
    assert "Ask your vet what still applies" in page

    at_nine(9, 5)
    again = f"/animals/{pip.code}/health/treatments/new/?again={ended.pk}"
    form = coordinating.get(again).context["form"]
    assert form["drug"].value() == "Amber drops"
    assert form["times"].value() == "08:00, 20:00"
    assert form["first_day"].value() == day(0)
    coordinating.post(again, WRITTEN)

    assert Treatment.objects.running(day(0), day(0)).get() != ended
    assert "Ended with the departure" not in text_of(coordinating.get(f"/animals/{pip.code}/"))


def test_what_ended_with_a_departure_is_settled_by_a_vet_who_stops_it(
    pip, treat, coordinator, coordinating, text_of, day
):
    ended = treat(pip, first_day=day(-6), last_day=None)
    discharge(pip, day(-5), "adopted", by=coordinator)
    take_back(pip, day(0), by=coordinator)

    stopped = {"at": "2027-03-10T08:30", "decided_by": "Dr Quail", "why": "well again"}
    coordinating.post(of(ended, "stop/"), stopped)

    assert "Ended with the departure" not in text_of(coordinating.get(f"/animals/{pip.code}/"))


def test_days_away_are_no_missed_doses_of_what_is_written_down_afterwards(
    pip, treat, coordinator, coordinating, text_of, day, at_nine
):
    at_nine(8)
    discharge(pip, day(-5), "adopted", by=coordinator)
    take_back(pip, day(-1), by=coordinator)
    begin_with([pip], "guinea_pig", day(-1), by=coordinator)
    at_nine(9)

    page = text_of(coordinating.get(of(treat(pip, first_day=day(-6), times=["20:00"]))))

    assert "4 March, 20:00" in page
    assert "5 March, 20:00" not in page
    assert "8 March, 20:00" not in page
    assert "9 March, 20:00" in page


def test_a_departure_that_was_undone_ends_no_treatment(pip, treat, coordinator, coordinating, day):
    treatment = treat(pip, first_day=day(-6), times=["20:00"])
    discharge(pip, day(-5), "adopted", by=coordinator)
    undo(Act.objects.latest("pk"), "slip", by=coordinator, idempotency_key=uuid.uuid4())

    assert len(coordinating.get(of(treatment)).context["rows"]) == 7
