"""A safety check: all points or none, each failed one a fault, and due again after so many days."""

import pytest

from habitats.faults.models.faults import Fault
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.rescue.models.rescue import Rescue
from habitats.upkeep.points import points_for

pytestmark = pytest.mark.django_db


@pytest.fixture
def address(loft):
    return f"/enclosures/{loft.code}/check/"


@pytest.fixture
def all_good(loft, today):
    points = points_for(loft.structure())
    return {"day": today.isoformat(), **{f"point_{one.code}": "good" for one in points}}


@pytest.fixture
def safety_checks():
    """Those that the fixtures did not make."""
    return SafetyCheck.objects.exclude(answers=[])


def test_all_good_leaves_no_fault_and_puts_the_next_time_off(
    fostering, address, all_good, loft, safety_checks, text_of, day
):
    fostering.post(address, all_good)

    assert safety_checks.get().on == day(0)
    assert not Fault.objects.exists()
    words = text_of(fostering.get(f"/enclosures/{loft.code}/"))
    assert "Last safety check: 10 Mar 2027. Next by 9 Apr 2027." in words


def test_a_failed_point_is_a_fault_with_the_words_of_who_saw_it(fostering, address, all_good, loft):
    fostering.post(address, all_good | {"point_tie": "unsafe", "seen_tie": "chewed through"})

    fault = Fault.objects.get()
    assert (fault.enclosure, fault.kind, fault.urgency) == (loft, "tie", "unsafe")
    assert fault.note == "chewed through"


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"point_tie": ""}, "Not answered yet. Look at it, then choose yes or how urgent it is."),
        ({"point_tie": "perhaps"}, "Select a valid choice"),
        ({"seen_tie": "chewed"}, "You chose yes and described a fault."),
        ({"day": "2027-03-11"}, "is in the future"),
        ({"day": ""}, "This field is required"),
    ],
)
def test_a_wrong_safety_check_is_refused_with_a_sentence(
    fostering, address, all_good, safety_checks, text_of, given, sentence
):
    response = fostering.post(address, all_good | given)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not safety_checks.exists()


def test_a_planned_enclosure_is_not_looked_over(
    coordinating, make_enclosure, today, text_of, safety_checks
):
    planned = make_enclosure(state="planned")
    points = points_for(planned.structure())
    said = {"day": today.isoformat(), **{f"point_{one.code}": "good" for one in points}}

    response = coordinating.post(f"/enclosures/{planned.code}/check/", said)

    assert response.status_code == 422
    assert "is marked “Planned”" in text_of(response)
    assert not safety_checks.exists()


def test_today_asks_to_check_what_is_due_and_leads_there(
    fostering, foster, make_home, make_enclosure, day, text_of
):
    home = make_home("Wren", people=[foster])
    due = make_enclosure("Nook", home, since=day(-40), is_checked=False)

    response = fostering.get("/today/")

    assert "1 safety check due this week" in text_of(response)
    assert f"/enclosures/{due.code}/check/" in response.content.decode()


def test_several_are_folded_into_one_line(
    fostering, foster, make_home, make_enclosure, day, text_of
):
    home = make_home("Wren", people=[foster])
    for label in ("Nook", "Bay", "Loft"):
        make_enclosure(label, home, since=day(-40), is_checked=False)

    words = text_of(fostering.get("/today/"))

    assert "3 safety checks due this week" in words


def test_what_is_due_stands_in_the_calendar(foster, make_home, make_enclosure, day, today):
    from habitats.board.models.calendar_entries import entries_for

    home = make_home("Wren", people=[foster])
    make_enclosure("Nook", home, since=day(-5), is_checked=False)

    entries = entries_for(foster, today, lambda path: path)

    assert [(one.day, one.title, one.note) for one in entries] == [
        (day(25), "Safety check", "Nook")
    ]


def test_a_rescue_sets_its_own_days_and_every_enclosure_follows(loft, coordinating, text_of, day):
    ours = Rescue.ours()
    ours.safety_check_days = 14
    ours.save()

    assert "Next by 23 Mar 2027" in text_of(coordinating.get(f"/enclosures/{loft.code}/"))


@pytest.mark.parametrize("days", ["6", "181", "often"])
def test_days_that_are_no_interval_are_refused(coordinating, days):
    response = coordinating.post("/rescue/", {"safety_check_days": days})

    assert response.status_code == 422
    assert "safety_check_days" in response.context["form"].errors
    assert Rescue.ours().safety_check_days == 30


def test_old_ties_are_told_to_be_replaced(coordinating, loft, text_of, day):
    loft.components.create(kind="tie", count=4, fitted_on=day(-4 * 365))

    # Three years by the house's own table, from 11 March 2023 on.
    assert "Mar 2026, due" in text_of(coordinating.get(f"/enclosures/{loft.code}/"))
