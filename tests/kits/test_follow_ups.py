"""Adopters are asked how it goes: on days we suggest or others, once, longest overdue first."""

import re
import uuid
from datetime import date

import pytest

from builds.kits.models.follow_ups import (
    FollowUp,
    FollowUpDone,
    follow_up_done,
    months_after,
    plan_follow_ups,
    suggested_days,
)
from tests.support.builds import planner
from tests.support.kits import hand_over, make_kit

pytestmark = pytest.mark.django_db


def test_the_days_we_suggest_are_two_days_two_weeks_and_two_months():
    assert suggested_days(date(2027, 3, 10)) == {
        1: date(2027, 3, 12),
        2: date(2027, 3, 24),
        3: date(2027, 5, 10),
    }


def test_two_months_after_the_last_of_december_is_the_last_of_february():
    assert months_after(date(2026, 12, 31), 2) == date(2027, 2, 28)
    assert months_after(date(2027, 12, 31), 2) == date(2028, 2, 29)


def test_the_suggested_days_are_marked_as_our_own(coordinating, kit, text_of):
    page = text_of(coordinating.get(f"/builds/{kit.code}/kit/hand-over/"))

    assert "These three days are our own suggestion: change them freely." in page
    assert 'value="2027-03-12"' in page


@pytest.fixture
def gone():
    """Handed over on 8 March 2027: to be asked about on the 10th, the 22nd, and 8 May."""
    return make_kit(state="handed over")


def test_who_is_to_be_asked_stands_where_a_coordinator_looks(coordinating, gone, text_of):
    for address in ("/today/", "/builds/", "/kits/"):
        page = text_of(coordinating.get(address))
        assert f"/builds/{gone.code}/kit/follow-ups/1/" in page, address


def test_others_are_not_told_whom_to_ask(building, gone, text_of):
    for address in ("/builds/", "/kits/"):
        assert "follow-ups" not in text_of(building.get(address))


def test_what_is_overdue_longest_comes_first(coordinating, gone, day, text_of):
    late = make_kit("Kit for Bo", adopter="Bo")
    hand_over(late, on=day(-20))

    page = text_of(coordinating.get("/today/"))

    names = re.findall(r"Kit for \w+", page)
    # Each has a link, and a second one to the question.
    assert names[::2] == ["Kit for Bo", "Kit for Bo", "Kit for Ada"]


def test_asked_is_written_down_once_and_is_due_no_more(coordinating, gone, text_of):
    sent = {"once": uuid.uuid4(), "day": "2027-03-10", "note": "All well, two liners too small."}
    for _ in range(2):
        coordinating.post(f"/builds/{gone.code}/kit/follow-ups/1/", sent)

    assert FollowUpDone.objects.get().note == "All well, two liners too small."
    assert "Adoptions and follow-ups" not in text_of(coordinating.get("/today/"))
    assert "All well" in text_of(coordinating.get(f"/builds/{gone.code}/kit/"))


def test_a_day_that_is_moved_is_appended(coordinating, gone):
    coordinating.post(
        f"/builds/{gone.code}/kit/follow-ups/",
        {"once": uuid.uuid4(), "ask_1": "2027-03-15", "ask_2": "", "ask_3": "2027-05-08"},
    )

    assert FollowUp.objects.count() == 5
    last = {one.number: one.on for one in FollowUp.objects.last_words()}
    assert last == {1: date(2027, 3, 15), 3: date(2027, 5, 8)}


def test_the_same_days_again_write_nothing(gone):
    days = {one.number: one.on for one in FollowUp.objects.last_words()}

    plan_follow_ups(gone, days, by=planner(), idempotency_key=uuid.uuid4())

    assert FollowUp.objects.count() == 3


def test_what_is_done_is_not_moved(gone):
    follow_up_done(gone, 1, date(2027, 3, 10), note="", by=planner(), idempotency_key=uuid.uuid4())

    plan_follow_ups(gone, {1: date(2027, 4, 1)}, by=planner(), idempotency_key=uuid.uuid4())

    assert FollowUp.objects.count() == 3


@pytest.mark.parametrize("day", ["2027-03-01", "2035-01-01", "soon"])
def test_a_day_before_the_hand_over_or_years_ahead_is_refused(coordinating, gone, day):
    response = coordinating.post(f"/builds/{gone.code}/kit/follow-ups/", {"ask_1": day})

    assert response.status_code == 422
    assert response.context["form"].errors["ask_1"]


def test_a_follow_up_that_was_never_planned_is_no_page(coordinating, kit):
    assert coordinating.get(f"/builds/{kit.code}/kit/follow-ups/2/").status_code == 404
