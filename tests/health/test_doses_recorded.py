"""Each dose of a treatment is recorded once, as given or not, and a mistake is put right."""

import uuid
from datetime import UTC, datetime, time

import pytest

from habitats.animals.models.joining import discharge, take_back
from habitats.health.models.treatments import Dose
from tests.support.treatments import of

pytestmark = pytest.mark.usefixtures("at_nine")


def test_one_tap_records_who_gave_a_dose_and_when(pip, treat, fostering_pip, foster, day):
    treatment = treat(pip)

    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))

    dose = treatment.doses.get()
    assert (dose.due_day, dose.due_time, dose.made_by) == (day(0), time(8), foster)
    assert dose.at == datetime(2027, 3, 10, 9, 0, tzinfo=UTC)


def test_a_dose_that_was_given_already_is_told_and_not_recorded_again(
    pip, treat, fostering_pip, coordinating, text_of
):
    treatment = treat(pip)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))

    page = text_of(coordinating.post(of(treatment, "2027-03-10-0800/given/"), follow=True))

    assert treatment.doses.count() == 1
    assert "was recorded already, as given at 09:00 by Fay" in page


def test_a_late_dose_is_not_recorded_with_one_tap_once_the_next_is_due(
    pip, treat, fostering_pip, at_nine, text_of
):
    treatment = treat(pip)
    at_nine(19)

    page = text_of(fostering_pip.post(of(treatment, "2027-03-10-0800/given/"), follow=True))

    assert not treatment.doses.exists()
    assert "The next dose is due, so this one was not recorded as given now." in page
    assert "Never give two doses at once. Record the late one as not given" in page


def test_of_a_dose_that_is_too_late_nobody_is_taken_to_give_it_now(
    pip, treat, coordinating, at_nine
):
    treatment = treat(pip)
    at_nine(19)

    form = coordinating.get(of(treatment, "2027-03-10-0800/")).context["form"]

    assert form["at"].value() is None


def test_two_doses_are_not_tapped_within_an_hour(pip, treat, fostering_pip, at_nine, text_of):
    treatment = treat(pip)
    at_nine(18, 59)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))
    at_nine(19, 1)

    page = text_of(fostering_pip.post(of(treatment, "2027-03-10-2000/given/"), follow=True))

    assert treatment.doses.count() == 1
    assert "Nothing was recorded: another dose was given at 18:59." in page


def test_a_dose_given_late_is_asked_about_before_the_next_is_tapped(
    pip, treat, fostering_pip, at_nine, text_of
):
    treatment = treat(pip)
    at_nine(14, 30)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))
    at_nine(20, 0)

    page = text_of(fostering_pip.post(of(treatment, "2027-03-10-2000/given/"), follow=True))

    assert treatment.doses.count() == 1
    assert "Nothing was recorded: another dose was given at 14:30." in page


def test_a_dose_of_what_was_written_down_again_is_not_given_twice(
    pip, treat, coordinator, coordinating, text_of, day
):
    ended = treat(pip)
    coordinating.post(of(ended, "2027-03-10-0800/given/"))
    discharge(pip, day(0), "other", by=coordinator)
    take_back(pip, day(0), by=coordinator)
    again = treat(pip, drug="amber drops")

    page = text_of(coordinating.post(of(again, "2027-03-10-0800/given/"), follow=True))

    assert not again.doses.exists()
    assert "another dose was given at 09:00" in page


def test_two_treatments_with_one_drug_do_not_hinder_each_other(pip, treat, coordinating):
    left, right = treat(pip, how="in the left eye"), treat(pip, how="in the right eye")
    for one in (left, right):
        coordinating.post(of(one, "2027-03-10-0800/given/"))

    assert Dose.objects.count() == 2


def test_a_dose_given_in_time_does_not_hinder_the_next(pip, treat, fostering_pip, at_nine):
    treatment = treat(pip, times=["08:00", "09:00"])
    at_nine(8, 0)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))
    at_nine(9, 0)
    fostering_pip.post(of(treatment, "2027-03-10-0900/given/"))

    assert treatment.doses.count() == 2


@pytest.mark.django_db(transaction=True)
def test_of_two_who_record_a_dose_at_the_same_moment_one_is_told(
    pip, treat, fostering_pip, coordinating, at_once
):
    """One taps, the other enters it in the form."""
    treatment = treat(pip)
    dose = of(treatment, "2027-03-10-0800/")
    typed = {"outcome": "given", "at": "2027-03-10T08:30", "once": str(uuid.uuid4())}

    at_once(
        lambda: fostering_pip.post(f"{dose}given/"),
        lambda: coordinating.post(dose, typed),
    )

    assert treatment.doses.count() == 1


@pytest.mark.django_db(transaction=True)
def test_of_two_who_enter_a_dose_at_the_same_moment_one_is_told(
    pip, treat, fostering_pip, coordinating, at_once
):
    treatment = treat(pip)
    dose = of(treatment, "2027-03-10-0800/")
    typed = {"outcome": "given", "at": "2027-03-10T08:30"}

    answers = at_once(
        *(
            lambda client=client: client.post(dose, {**typed, "once": str(uuid.uuid4())})
            for client in (fostering_pip, coordinating)
        )
    )

    assert treatment.doses.count() == 1
    first, second = sorted(one.status_code for one in answers)
    assert first == 302
    assert second in (403, 422)


@pytest.mark.parametrize(
    "dose",
    [
        "2027-03-11-0800",  # tomorrow
        "2027-03-10-0900",  # no such time
        "2027-03-09-0800",  # before it began
        "tenth-at-eight",
    ],
)
def test_a_dose_that_is_not_due_cannot_be_recorded(pip, treat, coordinating, dose):
    treatment = treat(pip)

    assert coordinating.post(of(treatment, f"{dose}/given/")).status_code == 404
    assert not treatment.doses.exists()


def test_a_day_without_end_is_no_dose_of_a_treatment_without_end(pip, treat, coordinating):
    treatment = treat(pip, last_day=None)

    assert coordinating.get(of(treatment, "9999-12-31-0800/")).status_code == 404


def test_a_dose_was_not_given_days_before_it_was_due(pip, treat, coordinating, text_of):
    treatment = treat(pip)
    sent = {"outcome": "given", "at": "2027-03-08T08:00"}

    refused = coordinating.post(of(treatment, "2027-03-10-0800/"), sent)

    assert refused.status_code == 422
    assert "more than a day before this dose was due" in text_of(refused)


def test_when_a_dose_of_yesterday_was_given_is_not_taken_to_be_now(pip, treat, coordinating, day):
    treatment = treat(pip, first_day=day(-1))

    def shown(dose):
        return coordinating.get(of(treatment, dose)).context["form"]["at"].value()

    assert shown("2027-03-09-2000/") is None
    assert shown("2027-03-10-0800/") is not None


def test_a_tap_on_a_page_of_yesterday_asks_when_it_was_given(
    pip, treat, coordinating, day, text_of
):
    treatment = treat(pip, first_day=day(-1))

    page = text_of(coordinating.post(of(treatment, "2027-03-09-2000/given/"), follow=True))

    assert "This is not the time of this dose. Enter when it was given." in page
    assert not treatment.doses.exists()


def test_what_was_recorded_of_a_dose_is_recorded_once_however_often_it_is_sent(
    pip, treat, coordinating
):
    treatment = treat(pip)
    sent = {"outcome": "not given", "why": "spat it out"}
    sent["once"] = "5f0c7c52-3f5f-4d8e-9b39-7a35cbd7a333"

    answers = [coordinating.post(of(treatment, "2027-03-10-0800/"), sent) for _twice in range(2)]

    assert [one.status_code for one in answers] == [302, 302]
    assert treatment.doses.count() == 1


def test_a_dose_that_was_not_given_says_why(pip, treat, coordinating, text_of):
    treatment = treat(pip)
    address = of(treatment, "2027-03-10-0800/")

    refused = coordinating.post(address, {"outcome": "not given"})
    assert refused.status_code == 422
    assert "Enter the reason." in text_of(refused)

    coordinating.post(address, {"outcome": "not given", "why": "spat it out"})
    assert "spat it out" in text_of(coordinating.get(of(treatment)))


def test_a_wrong_tick_is_put_right_by_a_further_entry(pip, treat, coordinating, text_of):
    treatment = treat(pip)
    coordinating.post(of(treatment, "2027-03-10-0800/given/"))

    address = of(treatment, "2027-03-10-0800/")
    assert coordinating.post(address, {"outcome": "withdrawn"}).status_code == 422
    coordinating.post(address, {"outcome": "withdrawn", "why": "wrong animal"})

    assert [one.outcome for one in treatment.doses.in_time()] == ["given", "withdrawn"]
    page = text_of(coordinating.get(of(treatment)))
    assert "wrong animal" in page
    assert "due now" in page


def test_what_another_recorded_is_corrected_by_a_coordinator_alone(
    pip, treat, fostering_pip, coordinating
):
    treatment = treat(pip)
    coordinating.post(of(treatment, "2027-03-10-0800/given/"))

    answer = fostering_pip.get(of(treatment, "2027-03-10-0800/"))

    assert answer.status_code == 403


def test_a_missed_dose_is_shown_with_the_word_to_ask_a_vet(pip, treat, coordinating, text_of, day):
    treatment = treat(pip, first_day=day(-1))

    page = text_of(coordinating.get(of(treatment)))

    assert "9 March, 20:00" in page
    assert "no entry" in page
    assert "Ask your vet before you give anything in its place." in page


@pytest.mark.parametrize(("hour", "minute"), [(18, 59), (14, 30)])
def test_the_form_asks_about_another_dose_as_one_tap_does(
    pip, treat, fostering_pip, at_nine, text_of, hour, minute
):
    treatment = treat(pip)
    at_nine(hour, minute)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))
    at_nine(20, 5)
    given = {"once": str(uuid.uuid4()), "outcome": "given", "at": "2027-03-10T20:00"}
    address = of(treatment, "2027-03-10-2000/")

    asked = fostering_pip.post(address, given)

    assert asked.status_code == 422
    assert f"Another dose was given at {hour}:{minute}." in text_of(asked)
    assert treatment.doses.count() == 1
    assert fostering_pip.post(address, {**given, "both_given": "on"}).status_code == 302
    assert treatment.doses.count() == 2


def test_the_form_asks_nothing_of_a_dose_far_from_any_other(pip, treat, fostering_pip, at_nine):
    treatment = treat(pip)
    fostering_pip.post(of(treatment, "2027-03-10-0800/given/"))
    at_nine(20, 5)
    given = {"once": str(uuid.uuid4()), "outcome": "given", "at": "2027-03-10T20:00"}

    assert fostering_pip.post(of(treatment, "2027-03-10-2000/"), given).status_code == 302
