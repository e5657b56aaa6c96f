"""First passwords: slips for all who have none, and a password of their own at the first log-in."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.hashers import make_password
from django.urls import reverse
from django.utils import timezone

from habitats.people.models import first_passwords
from habitats.people.models.first_passwords import (
    AT_ONCE,
    FIRST_PASSWORD_DAYS,
    make_first_passwords,
    new_password,
)
from habitats.people.models.people import Person

pytestmark = pytest.mark.django_db
PASSWORD = re.compile(r"[2-9a-z]{4}-[2-9a-z]{4}-[2-9a-z]{4}")
PAGE = {"headers": {"accept": "text/html"}}


@pytest.fixture
def imported(make_person):
    """Came by a file: no password fits."""

    def make(name, **facts):
        person = make_person(name, **facts)
        person.password = make_password(None)
        person.save()
        return person

    return make


@pytest.fixture
def as_coordinator(client_of, coordinator):
    return client_of(coordinator)


def slips(client):
    answer = client.post(reverse("first_passwords"))
    return {one.person.username: one.password for one, _ in answer.context["slips"]}


def log_in(client, name, password):
    return client.post(reverse("login"), {"username": name, "password": password})


def test_each_who_has_none_gets_one_on_a_slip_that_nobody_keeps(as_coordinator, imported):
    imported("wren")
    imported("rook")

    answer = as_coordinator.post(reverse("first_passwords"))

    found = PASSWORD.findall(answer.text)
    assert len(set(found)) == 2
    assert "no-store" in answer["Cache-Control"]
    for name, password in zip(("rook", "wren"), found, strict=True):
        assert Person.objects.get(username=name).check_password(password)


def test_who_logs_in_with_it_chooses_one_before_any_other_page(as_coordinator, imported, client):
    imported("wren")
    first = slips(as_coordinator)["wren"]
    log_in(client, "wren", first)

    assert client.get(reverse("today"), **PAGE).url == reverse("own_password")
    own = {
        "old_password": first,
        "new_password1": "flat-ring-803",
        "new_password2": "flat-ring-803",
    }
    assert client.post(reverse("own_password"), own).url == reverse("home")

    assert client.get(reverse("today"), **PAGE).status_code == 200


def test_the_one_on_the_slip_is_not_one_of_their_own(as_coordinator, imported, client):
    imported("wren")
    first = slips(as_coordinator)["wren"]
    log_in(client, "wren", first)

    same = {"old_password": first, "new_password1": first, "new_password2": first}
    answer = client.post(reverse("own_password"), same)

    assert answer.status_code == 422
    assert "that you were given" in str(answer.context["form"].errors["new_password1"])
    assert Person.objects.get(username="wren").has_first_password


def test_what_a_phone_sends_for_itself_is_not_held_up(as_coordinator, imported, client):
    imported("wren")
    log_in(client, "wren", slips(as_coordinator)["wren"])

    assert client.get(reverse("who"), headers={"accept": "*/*"}).status_code == 200


def test_a_lost_slip_is_made_again_until_it_was_used(as_coordinator, imported, client):
    imported("wren")
    first, second = slips(as_coordinator)["wren"], slips(as_coordinator)["wren"]
    assert first != second
    assert log_in(client, "wren", first).status_code == 422
    assert log_in(client, "wren", second).status_code == 302

    assert as_coordinator.post(reverse("first_passwords")).url == reverse("people")


def test_one_that_a_coordinator_typed_since_is_not_made_again(as_coordinator, imported, client):
    imported("wren")
    slips(as_coordinator)
    wren = Person.objects.get(username="wren")
    page = reverse("new_password", args=[wren.pk])

    as_coordinator.post(page, {"password": "flat-ring-803"})

    assert as_coordinator.post(reverse("first_passwords")).url == reverse("people")
    assert log_in(client, "wren", "flat-ring-803").status_code == 302


def test_one_that_was_chosen_while_slips_are_made_stays(imported, monkeypatch):
    imported("wren")
    imported("rook")
    first = {one.person.username for one in make_first_passwords()}
    chosen = make_password("flat-ring-803")

    def choose_meanwhile():
        Person.objects.filter(username="wren").update(
            password=chosen, first_password_at=None, is_on_slip=False
        )
        return "made-at-last"

    monkeypatch.setattr(first_passwords, "new_password", choose_meanwhile)
    again = {one.person.username for one in make_first_passwords()}

    assert (first, again) == ({"rook", "wren"}, {"rook"})
    assert Person.objects.get(username="wren").password == chosen


def test_who_has_a_password_keeps_it(as_coordinator, imported, builder):
    before = builder.password
    imported("wren")
    imported("gone", is_active=False)

    assert slips(as_coordinator).keys() == {"wren"}
    builder.refresh_from_db()
    assert builder.password == before


def test_a_slip_is_in_the_language_of_whom_it_is_for(as_coordinator, imported):
    imported("wren", language="de")

    assert "Anmeldename" in as_coordinator.post(reverse("first_passwords")).text


def test_so_many_at_once_and_the_others_next(as_coordinator, imported):
    for number in range(AT_ONCE + 1):
        imported(f"person{number:02}")

    assert len(slips(as_coordinator)) == AT_ONCE
    assert f"person{AT_ONCE}" in slips(as_coordinator)


def test_one_made_is_long_and_easily_read():
    made = {new_password() for _ in range(50)}

    assert len(made) == 50
    assert all(PASSWORD.fullmatch(one) and not set(one) & set("01aeiouly") for one in made)


def test_one_that_is_not_changed_within_its_days_no_longer_works(as_coordinator, imported, client):
    imported("wren")
    first = slips(as_coordinator)["wren"]
    made = timezone.now() - timedelta(days=FIRST_PASSWORD_DAYS, minutes=1)
    Person.objects.filter(username="wren").update(first_password_at=made)

    answer = log_in(client, "wren", first)

    assert answer.status_code == 422
    assert "not changed within 14 days" in answer.text


def test_one_that_a_coordinator_typed_is_a_first_one_too(as_coordinator, foster, client):
    as_coordinator.post(reverse("new_password", args=[foster.pk]), {"password": "flat-ring-803"})

    log_in(client, foster.username, "flat-ring-803")

    assert client.get(reverse("today"), **PAGE).url == reverse("own_password")
