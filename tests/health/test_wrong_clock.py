"""Doses that a clock a day ahead dated: they answer for no later dose, and no tap doubles one."""

from datetime import UTC, datetime, time

import pytest

from habitats.health.models.treatments import Dose
from tests.support.treatments import of

pytestmark = pytest.mark.usefixtures("at_nine")


@pytest.fixture
def treatment(pip, treat, foster, day):
    """Under a clock that was a day ahead somebody gave, as they believed, tomorrow's first dose."""
    treatment = treat(pip, times=["08:00", "14:00", "20:00"])
    moment = datetime(2027, 3, 11, 9, 0, tzinfo=UTC)
    Dose.objects.create(
        treatment=treatment,
        due_day=day(1),
        due_time=time(8),
        outcome=Dose.Outcome.GIVEN,
        at=moment,
        made_at=moment,
        made_by=foster,
    )
    return treatment


def test_the_next_dose_is_asked_for_at_its_time(treatment, fostering_pip, at_nine):
    at_nine(20)

    page = fostering_pip.get("/today/").content.decode()

    assert of(treatment, "2027-03-10-2000/given/") in page


def test_one_tap_gives_none_before_somebody_found_out_what_was_given(
    treatment, fostering_pip, at_nine, text_of
):
    at_nine(20)

    page = text_of(fostering_pip.post(of(treatment, "2027-03-10-2000/given/"), follow=True))

    assert treatment.doses.count() == 1
    assert "a wrong clock dated a dose as given on 11 March at 09:00" in page


def test_once_a_dose_is_entered_by_the_right_clock_the_next_is_a_tap_again(
    treatment, coordinating, fostering_pip, at_nine
):
    at_nine(14)
    coordinating.post(
        of(treatment, "2027-03-10-1400/"), {"outcome": "given", "at": "2027-03-10T14:00"}
    )
    at_nine(20)

    fostering_pip.post(of(treatment, "2027-03-10-2000/given/"))

    dates = treatment.doses.order_by("pk").values_list("due_day", "due_time")
    assert list(dates)[1:] == [(treatment.first_day, time(14)), (treatment.first_day, time(20))]
