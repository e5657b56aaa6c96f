"""Forms that a phone kept while it was without signal are answered with JSON."""

import uuid
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from habitats.animals.models.animals import Weighing
from habitats.people.views.from_phones import HEADER

pytestmark = pytest.mark.django_db


@pytest.fixture
def pip(make_animal, this_day):
    return make_animal("Pip", grams=800)


@pytest.fixture
def send(client_of, coordinator, pip, this_day):
    """`send(grams="812")`: the form of Pip's weight, as the queue sends it."""

    def send(person=coordinator, **fields):
        said = {"once": str(uuid.uuid4()), "on": this_day.isoformat(), "note": "", **fields}
        address = reverse("weigh_animal", args=[pip.code])
        return client_of(person).post(address, said, headers={HEADER: "yes"})

    return send


def test_a_form_that_is_taken_is_answered_with_its_message(send, pip):
    answer = send(grams="812")

    assert answer.status_code == 200
    assert answer.json()["sentence"].startswith("Pip: 812")
    assert not answer.json()["is_odd"]
    assert pip.weighings.filter(grams=812).count() == 1


def test_an_alarm_has_to_be_read(send):
    assert send(grams="600").json()["is_odd"]


def test_a_form_that_is_sent_twice_is_taken_once_and_answered_alike(send, pip):
    same = {"grams": "812", "once": str(uuid.uuid4())}

    assert [send(**same).status_code for _ in range(2)] == [200, 200]
    assert pip.weighings.filter(grams=812).count() == 1


def test_a_form_that_is_refused_is_answered_with_what_is_wrong(send):
    answer = send(grams="9")

    assert answer.status_code == 422
    assert "cannot be the weight of a guinea pig" in answer.json()["why"]
    assert Weighing.objects.count() == 1


def test_who_may_not_is_told_why(send, laundry):
    answer = send(person=laundry, grams="812")

    assert answer.status_code == 403
    assert "Laundry" in answer.json()["why"]


def test_what_is_gone_is_told(client_of, foster, pip):
    address = reverse("weigh_animal", args=[pip.code])

    answer = client_of(foster).post(address, {"grams": "812"}, headers={HEADER: "yes"})

    assert answer.status_code == 410
    assert answer.json()["why"].endswith(".")


def test_the_same_form_on_a_page_is_answered_with_a_page(client_of, coordinator, pip):
    address = reverse("weigh_animal", args=[pip.code])

    answer = client_of(coordinator).post(address, {"grams": "9"})

    assert answer.status_code == 422
    assert answer["Content-Type"].startswith("text/html")


# --- Who is there ---


def test_a_phone_is_told_who_is_logged_in_and_what_time_it_is(client_of, foster):
    said = client_of(foster).get(reverse("who")).json()

    assert said["person"] == foster.pk
    assert len(said["token"]) > 30
    assert abs(datetime.fromisoformat(said["now"]) - timezone.now()) < timedelta(minutes=1)


def test_nobody_is_told_to_log_in(client_of):
    answer = client_of(None).get(reverse("who"))

    assert answer.status_code == 401
    assert answer.json() == {"why": "Log in again."}
