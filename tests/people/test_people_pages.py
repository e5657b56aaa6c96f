"""A coordinator adds people, changes their role, puts them away and gives new passwords."""

import pytest
from django.urls import reverse

from habitats.people.models.people import Person
from tests.conftest import PASSWORD


@pytest.fixture
def as_coordinator(client_of, coordinator):
    return client_of(coordinator)


NEW = {
    "username": "nilsholm",
    "first_name": "Nils",
    "roles": "foster",
    "password": "upright-disc-77",
}


def fields_of(person, **changes):
    """What the form about a person sends back."""
    kept = {"username": person.username, "roles": person.roles, "is_active": "on"}
    return {name: value for name, value in (kept | changes).items() if value is not None}


def test_a_new_person_can_log_in(as_coordinator, client):
    as_coordinator.post(reverse("new_person"), NEW)

    answer = client.post(reverse("login"), {"username": "nilsholm", "password": "upright-disc-77"})
    assert answer.url == reverse("home")
    assert Person.objects.get(username="nilsholm").roles == "foster"


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("username", "cora", "Another person has this log-in name."),
        ("password", "12345", "too short"),
        ("password", "nilsholm1", "too similar to the username"),
        ("roles", "owner", "not one of the available choices"),
    ],
)
def test_a_new_person_with_a_fault_is_refused_beside_the_field(
    as_coordinator, field, value, sentence
):
    response = as_coordinator.post(reverse("new_person"), NEW | {field: value})

    assert response.status_code == 422
    assert sentence in str(response.context["form"].errors[field])
    assert not Person.objects.filter(username="nilsholm").exists()


def test_a_changed_role_is_kept(as_coordinator, builder):
    as_coordinator.post(reverse("person", args=[builder.pk]), fields_of(builder, roles="laundry"))

    builder.refresh_from_db()
    assert builder.roles == "laundry"


def test_somebody_put_away_is_logged_out(as_coordinator, client_of, builder):
    as_builder = client_of(builder)

    as_coordinator.post(reverse("person", args=[builder.pk]), fields_of(builder, is_active=None))

    assert as_builder.get(reverse("own_settings")).status_code == 302


@pytest.mark.parametrize("change", [{"roles": "builder"}, {"is_active": None}])
def test_a_coordinator_cannot_leave_the_rescue_without_one(as_coordinator, coordinator, change):
    own_page = reverse("person", args=[coordinator.pk])

    response = as_coordinator.post(own_page, fields_of(coordinator, **change))

    coordinator.refresh_from_db()
    assert response.status_code == 422
    assert "Ask another coordinator" in response.text
    assert (coordinator.roles, coordinator.is_active) == ("coordinator", True)


def test_a_new_password_lets_somebody_who_tried_too_often_in_again(as_coordinator, client, builder):
    for _ in range(6):
        client.post(reverse("login"), {"username": "bertil", "password": "wrong"})

    as_coordinator.post(reverse("new_password", args=[builder.pk]), {"password": "flat-ring-803"})

    answer = client.post(reverse("login"), {"username": "bertil", "password": "flat-ring-803"})
    assert answer.url == reverse("home")


def test_a_weak_new_password_is_refused(as_coordinator, builder):
    page = reverse("new_password", args=[builder.pk])

    response = as_coordinator.post(page, {"password": "12345"})

    assert response.status_code == 422
    assert "too short" in response.text


@pytest.mark.parametrize("name", ["new_password", "password_link"])
def test_a_coordinator_sets_their_own_password_with_the_present_one_alone(
    as_coordinator, coordinator, name
):
    page = reverse(name, args=[coordinator.pk])

    answer = as_coordinator.post(page, {"password": "flat-ring-803"})

    assert answer.url == reverse("own_password")
    coordinator.refresh_from_db()
    assert coordinator.check_password(PASSWORD)


def test_their_own_page_offers_no_way_around_it(as_coordinator, coordinator):
    page = as_coordinator.get(reverse("person", args=[coordinator.pk])).text

    assert reverse("own_password") in page
    assert reverse("password_link", args=[coordinator.pk]) not in page
    assert reverse("new_password", args=[coordinator.pk]) not in page


def test_nobody_at_this_number_is_not_found(as_coordinator):
    assert as_coordinator.get(reverse("person", args=[9999])).status_code == 404


@pytest.mark.parametrize("many", [3, 12])
def test_the_list_asks_the_database_equally_often(
    as_coordinator, make_person, django_assert_num_queries, many
):
    for number in range(many):
        make_person(f"person{number}")

    with django_assert_num_queries(5):  # session, who is asking, people, locks, second factors
        as_coordinator.get(reverse("people"))


@pytest.mark.parametrize("name", ["new_person", "person", "new_password", "own_password"])
def test_a_form_sent_without_anything_in_it_is_refused(as_coordinator, builder, name):
    args = [builder.pk] if name in ("person", "new_password") else []

    response = as_coordinator.post(reverse(name, args=args))

    assert response.status_code == 422
    assert response.context["form"].errors
