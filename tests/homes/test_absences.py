"""Days on which a home is away: recorded by a coordinator or its own people, ended, told."""

import uuid

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from habitats.homes.models.absences import Absence, AbsenceEnd

pytestmark = pytest.mark.usefixtures("this_day")


@pytest.fixture
def home(make_home, foster):
    return make_home("Wren", people=[foster])


@pytest.fixture
def away(home, coordinator, day):
    """``away(1, 15)``: from tomorrow on, for a fortnight."""

    def record(first, last=None, covered_by="", *, of=home):
        facts = {"first_day": day(first), "covered_by": covered_by}
        facts["last_day"] = None if last is None else day(last)
        return Absence.objects.record(of, by=coordinator, idempotency_key=None, **facts)

    return record


def sent(day, first=1, last=15, **more):
    facts = {"first_day": day(first).isoformat(), "covered_by": "Tobi"}
    return facts | ({} if last is None else {"last_day": day(last).isoformat()}) | more


def test_an_absence_is_recorded_with_who_covers_and_told_on_the_page(
    coordinating, home, day, text_of
):
    page = coordinating.post(f"/homes/{home.code}/absences/new/", sent(day), follow=True)

    absence = Absence.objects.get()
    assert (absence.first_day, absence.last_day, absence.covered_by) == (day(1), day(15), "Tobi")
    assert absence.words.endswith(", Tobi covers")
    assert absence.words[1:] in text_of(page)


def test_cover_that_is_found_later_is_recorded_in_place_of_the_absence_without(
    coordinating, home, away, lives, day, text_of
):
    lives("Pip", home=home)
    bare = away(1, 15)
    page = text_of(coordinating.get(f"/homes/{home.code}/"))
    assert "Nobody is recorded to look after the 1 animal here." in page
    address = f"/homes/{home.code}/absences/new/?instead={bare.pk}"
    assert address in page

    coordinating.post(address, sent(day))

    (left,) = home.absences.not_over(day(0))
    assert (left.first_day, left.last_day, left.covered_by) == (day(1), day(15), "Tobi")


def test_a_home_s_own_people_record_it_themselves(fostering, home, foster, day):
    fostering.post(f"/homes/{home.code}/absences/new/", sent(day))

    assert Absence.objects.get().made_by == foster


def test_another_s_home_is_not_found(fostering, make_home, day):
    other = make_home("Elm")

    answer = fostering.post(f"/homes/{other.code}/absences/new/", sent(day))

    assert answer.status_code == 404
    assert not Absence.objects.exists()


def test_sent_twice_it_is_recorded_once(coordinating, home, day):
    for _ in range(2):
        once = {"once": "6c1a39a0-5f0a-4a44-9d1b-6a6f2f1f3c11"}
        coordinating.post(f"/homes/{home.code}/absences/new/", sent(day, **once))

    assert Absence.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"first_day": ""}, "This field is required"),
        ({"first_day": "soon"}, "Enter a valid date"),
        ({"first_day": "2099-01-01"}, "Enter a day from"),
        ({"last_day": "2026-01-01"}, "The last day is before the first."),
        ({"covered_by": "x" * 61}, "Enter 60 characters at most"),
    ],
)
def test_a_wrong_absence_is_refused_beside_its_field(
    coordinating, home, day, text_of, wrong, sentence
):
    answer = coordinating.post(f"/homes/{home.code}/absences/new/", sent(day) | wrong)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Absence.objects.exists()


@pytest.mark.parametrize(
    ("first", "last", "is_taken"), [(10, 12, True), (15, None, True), (16, 20, False)]
)
def test_two_absences_of_a_home_share_no_day(
    coordinating, home, away, day, text_of, first, last, is_taken
):
    away(1, 15)

    answer = coordinating.post(f"/homes/{home.code}/absences/new/", sent(day, first, last))

    assert ("Recorded already: away from" in text_of(answer)) is is_taken
    assert Absence.objects.count() == (1 if is_taken else 2)


@pytest.mark.parametrize(
    ("first", "last", "back", "days_away"),
    [
        (-2, 3, None, [-2, -1, 0, 3]),
        (-2, None, None, [-2, -1, 0, 3, 4, 900]),
        (-2, 3, 0, [-2, -1]),  # back today
        (2, 9, 2, []),  # they did not go
    ],
)
def test_it_lasts_from_its_first_day_to_its_last_or_until_they_are_back(
    home, away, coordinator, day, first, last, back, days_away
):
    absence = away(first, last)
    if back is not None:
        absence.end_on(day(back), by=coordinator, idempotency_key=None)
    absence = Absence.objects.get()

    for number in (-3, -2, -1, 0, 3, 4, 900):
        assert absence.is_on(day(number)) is (number in days_away)
        assert Absence.objects.on(day(number)).exists() is (number in days_away)


def test_they_are_back_earlier(fostering, home, away, day, text_of):
    absence = away(-2, 9)
    address = f"/homes/{home.code}/absences/{absence.pk}/end/"

    page = fostering.post(address, {"back_on": day(0).isoformat()}, follow=True)

    assert "Absence of Wren ended." in text_of(page)
    assert "Away from" not in text_of(fostering.get(f"/homes/{home.code}/"))
    assert not Absence.objects.on(day(0)).exists()


def test_it_cannot_end_after_its_last_day(coordinating, home, away, day, text_of):
    absence = away(-2, 3)
    address = f"/homes/{home.code}/absences/{absence.pk}/end/"

    answer = coordinating.post(address, {"back_on": day(4).isoformat()})

    assert answer.status_code == 422
    assert "Enter that day or an earlier one" in text_of(answer)


def test_it_ends_once(home, away, coordinator, day):
    absence = away(-2, 9)
    for back in (0, 3):
        absence.end_on(day(back), by=coordinator, idempotency_key=uuid.uuid4())

    assert AbsenceEnd.objects.get().back_on == day(0)


def test_the_database_refuses_one_that_ends_before_it_begins(away):
    with pytest.raises(IntegrityError), transaction.atomic():
        away(3, 2)


@pytest.mark.parametrize(
    ("last", "cover", "words"),
    [
        (15, "Tobi", "away from 11 Mar 2027 to 25 Mar 2027, Tobi covers"),
        (15, "", "away from 11 Mar 2027 to 25 Mar 2027"),
        (None, "Tobi", "away from 11 Mar 2027 on, Tobi covers"),
        (None, "", "away from 11 Mar 2027 on"),
    ],
)
def test_it_is_told_in_words(away, last, cover, words):
    assert away(1, last, cover).words == words


def test_a_builder_sees_it_and_changes_nothing(building, home, away, text_of):
    absence = away(1, 15)

    page = text_of(building.get(f"/homes/{home.code}/"))

    assert "End or cancel" not in page
    assert building.post(f"/homes/{home.code}/absences/{absence.pk}/end/").status_code == 403


def test_the_page_of_a_home_asks_as_often_for_twelve_absences_as_for_three(
    coordinating, home, away
):
    def queries():
        with CaptureQueriesContext(connection) as caught:
            assert coordinating.get(f"/homes/{home.code}/").status_code == 200
        return len(caught)

    for number in range(3):
        away(number * 10, number * 10 + 2)
    few = queries()
    for number in range(3, 12):
        away(number * 10, number * 10 + 2)
    assert queries() == few
