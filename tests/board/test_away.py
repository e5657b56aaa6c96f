"""Today tells coordinators which homes are away, or soon will be, and where nobody covers."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.homes.models.absences import Absence

pytestmark = pytest.mark.usefixtures("this_day")


@pytest.fixture
def away(coordinator, day):
    def record(home, first, last, covered_by=""):
        facts = {"first_day": day(first), "last_day": day(last), "covered_by": covered_by}
        return Absence.objects.record(home, by=coordinator, idempotency_key=None, **facts)

    return record


def rows(client):
    parts = client.get("/today/").context["page"].parts
    return [row for part in parts if part.code == "away" for row in part.rows]


def test_homes_that_are_away_now_or_have_no_cover_are_told_in_order(coordinating, make_home, away):
    away(make_home("Rook"), 13, 14)
    away(make_home("Wren"), -2, 3)
    away(make_home("Finch"), -1, 3, "Tobi")
    away(make_home("Ash"), 15, 20)
    away(make_home("Lark"), -9, -1)

    found = rows(coordinating)

    assert [row.words for row in found] == ["Wren", "Finch", "Rook"]
    assert [row.is_wrong for row in found] == [True, False, False]
    assert [row.where for row in found] == ["no cover recorded", "Tobi covers", "no cover recorded"]


def test_one_that_is_covered_and_still_to_come_can_wait(coordinating, make_home, away):
    away(make_home("Elm"), 13, 20, "Tobi")

    page = coordinating.get("/today/").context["page"]

    assert "1 home away soon" in [fold.words for fold in page.folds]
    assert rows(coordinating) == []


def test_one_that_ended_or_whose_home_is_closed_is_told_no_longer(
    coordinating, make_home, away, coordinator, day
):
    away(make_home("Wren"), -2, 3).end_on(day(0), by=coordinator, idempotency_key=None)
    away(make_home("Elm", closed_on=day(-1)), -2, 3)

    assert rows(coordinating) == []


def test_others_are_told_of_no_absences(building, fostering, make_home, away, foster):
    away(make_home("Wren", people=[foster]), 0, 3)

    assert rows(building) == rows(fostering) == []


def test_today_asks_as_often_for_twelve_absences_as_for_three(coordinating, make_home, away):
    def queries():
        coordinating.get("/today/")
        with CaptureQueriesContext(connection) as caught:
            coordinating.get("/today/")
        return len(caught)

    for _ in range(3):
        away(make_home("Wren"), 0, 3)
    queries()  # the first of all makes what is kept
    few = queries()
    for _ in range(9):
        away(make_home("Wren"), 0, 3)
    assert queries() == few
