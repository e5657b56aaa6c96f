"""Logging in and out, and one's own settings, without a browser."""

import pytest
from django.test import override_settings
from django.urls import reverse

NEW_PASSWORD = "upright-disc-77"


@pytest.fixture
def password(coordinator) -> str:
    """The password of the whole cast."""
    coordinator.set_password("joint-disc-41")
    coordinator.save()
    return "joint-disc-41"


def log_in(client, password: str):
    return client.post(reverse("login"), {"username": "cora", "password": password})


def test_the_right_password_logs_in(client, coordinator, password):
    response = log_in(client, password)

    assert response.url == reverse("home")
    assert client.session["_auth_user_id"] == str(coordinator.pk)


def test_a_wrong_password_is_answered_with_a_sentence(client, coordinator):
    response = log_in(client, "wrong")

    assert response.status_code == 422
    assert "is wrong. Check capital letters" in response.text
    assert "_auth_user_id" not in client.session


def test_after_six_wrong_passwords_the_right_one_has_to_wait(client, coordinator, password):
    for _ in range(6):
        log_in(client, "wrong")

    response = log_in(client, password)

    assert response.status_code == 429
    assert "Too many wrong passwords" in response.text


def test_log_in_goes_on_to_the_page_asked_for(client, coordinator, password):
    asked_for = reverse("own_settings")
    data = {"username": "cora", "password": password, "next": asked_for}

    assert client.post(reverse("login"), data).url == asked_for


def test_log_in_does_not_go_on_to_another_site(client, coordinator, password):
    data = {"username": "cora", "password": password, "next": "https://elsewhere.example/"}

    assert client.post(reverse("login"), data).url == reverse("home")


def test_logging_out_forgets_the_person(client_of, coordinator):
    client = client_of(coordinator)

    client.post(reverse("logout"))

    assert "_auth_user_id" not in client.session


def test_a_link_cannot_log_anybody_out(client_of, coordinator):
    assert client_of(coordinator).get(reverse("logout")).status_code == 405


def test_own_settings_are_kept(client_of, builder):
    choice = {"first_name": "Bertil", "last_name": "Moss", "units": "inches", "paper": "Letter"}

    client_of(builder).post(reverse("own_settings"), choice)

    builder.refresh_from_db()
    assert (builder.units, builder.paper) == ("inches", "Letter")


def test_nobody_makes_themselves_a_coordinator(client_of, builder):
    choice = {"units": "metric", "paper": "A4", "roles": "coordinator", "is_superuser": "on"}

    client_of(builder).post(reverse("own_settings"), choice)

    builder.refresh_from_db()
    assert (builder.roles, builder.is_superuser) == ("builder", False)


def test_a_choice_that_is_not_offered_is_refused_beside_its_field(client_of, builder):
    response = client_of(builder).post(reverse("own_settings"), {"units": "cubits", "paper": "A4"})

    assert response.status_code == 422
    assert "units" in response.context["form"].errors
    builder.refresh_from_db()
    assert builder.units == "metric"


def test_a_new_password_takes_the_place_of_the_old_one(client_of, coordinator, password):
    fields = {
        "old_password": password,
        "new_password1": NEW_PASSWORD,
        "new_password2": NEW_PASSWORD,
    }
    client = client_of(coordinator)

    response = client.post(reverse("own_password"), fields)

    coordinator.refresh_from_db()
    assert response.url == reverse("own_settings")
    assert coordinator.check_password(NEW_PASSWORD)
    assert client.get(reverse("own_settings")).status_code == 200  # still logged in


def test_a_wrong_old_password_changes_nothing(client_of, coordinator, password):
    fields = {
        "old_password": "wrong",
        "new_password1": NEW_PASSWORD,
        "new_password2": NEW_PASSWORD,
    }

    response = client_of(coordinator).post(reverse("own_password"), fields)

    coordinator.refresh_from_db()
    assert response.status_code == 422
    assert coordinator.check_password(password)


def test_pages_that_need_a_log_in_come_back_to_themselves(client, db):
    response = client.get(reverse("own_settings"))

    assert response.url == f"{reverse('login')}?next={reverse('own_settings')}"


def test_an_unknown_address_says_so(client_of, coordinator):
    response = client_of(coordinator).get("/no-such-thing/")

    assert response.status_code == 404
    assert "Page not found" in response.text


def test_pages_forbid_scripts_and_styles_that_are_not_ours(client, db):
    policy = client.get(reverse("login")).headers["Content-Security-Policy"]

    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


@override_settings(SECURE_SSL_REDIRECT=True)
def test_plain_http_is_sent_on_to_https(client, db):
    assert client.get(reverse("login")).url.startswith("https://")
