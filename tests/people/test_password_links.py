"""Links with which people choose a password themselves."""

import re
from datetime import timedelta

import pytest
from django.conf import settings
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from habitats.people.models.access_events import AccessEvent
from habitats.people.models.password_links import link_path
from habitats.people.models.people import Person

CHOSEN = {"new_password1": "wire-and-hay-77", "new_password2": "wire-and-hay-77"}


@pytest.fixture
def stranger(db) -> Client:
    return Client(headers={"Accept-Language": "en-GB"})


@pytest.fixture
def mailing(settings):
    settings.MAIL_FROM = "habitats@example.org"


def open_link(client: Client, path: str) -> str:
    """The address of the form behind the link: the secret itself stands in no page's address."""
    answer = client.get(path)
    return answer.url if answer.status_code == 302 else path


def choose(client: Client, path: str):
    return client.post(open_link(client, path), CHOSEN)


def test_a_link_made_by_a_coordinator_gives_a_first_password(
    coordinating, stranger, make_person, text_of
):
    person = make_person("noor", first_name="Noor", role="foster")
    person.set_unusable_password()
    person.save()
    page = coordinating.post(reverse("password_link", kwargs={"pk": person.pk}))
    path = re.search(r"/log-in/choose/[^\s<\"]+", text_of(page))[0]

    choose(stranger, path)

    person.refresh_from_db()
    assert person.check_password(CHOSEN["new_password1"])
    kinds = AccessEvent.objects.filter(person=person).order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["link_made", "password_set"]


def test_a_link_works_once(stranger, foster, text_of):
    path = link_path(foster)
    choose(stranger, path)
    assert "This link no longer works." in text_of(stranger.get(path))


def test_a_link_ends_after_three_days(stranger, foster, text_of, monkeypatch):
    path = link_path(foster)
    later = timezone.now() + timedelta(seconds=settings.PASSWORD_RESET_TIMEOUT + 60)
    naive = timezone.make_naive(later)
    monkeypatch.setattr(
        "django.contrib.auth.tokens.PasswordResetTokenGenerator._now", lambda self: naive
    )
    assert "This link no longer works." in text_of(stranger.get(path))


def test_a_link_opens_nothing_for_who_may_no_longer_log_in(stranger, foster, text_of):
    path = link_path(foster)
    foster.is_active = False
    foster.save()
    assert "This link no longer works." in text_of(stranger.get(path))


def test_a_weak_password_is_refused_beside_its_field(stranger, foster, text_of):
    form = open_link(stranger, link_path(foster))
    answer = stranger.post(form, {"new_password1": "12345678", "new_password2": "12345678"})
    assert answer.status_code == 422
    assert "entirely numeric" in text_of(answer)


def test_a_new_password_logs_out_everywhere(client_of, stranger, foster):
    phone = client_of(foster)
    choose(stranger, link_path(foster))
    assert phone.get(reverse("who")).status_code == 401


def test_a_new_person_without_a_password_is_offered_a_link(coordinating, text_of):
    sent = {"username": "noor", "first_name": "Noor", "roles": "foster"}
    page = coordinating.post(reverse("new_person"), sent, follow=True)

    assert not Person.objects.get(username="noor").has_usable_password()
    assert "Make a link to choose a password." in text_of(page)


# --- By mail, where the server sends any ---


def test_without_a_mail_server_nothing_is_offered(stranger, text_of):
    assert reverse("forgotten") not in text_of(stranger.get(reverse("login")))
    assert "This server sends no mail." in text_of(stranger.get(reverse("forgotten")))


def test_who_forgot_the_password_gets_a_link_by_mail(stranger, foster, mailing):
    foster.email = "fay@example.org"
    foster.save()

    stranger.post(reverse("forgotten"), {"name": "FAY@example.org"})

    (sent,) = mail.outbox
    assert sent.to == ["fay@example.org"]
    choose(stranger, re.search(r"/log-in/choose/\S+", sent.body)[0])
    foster.refresh_from_db()
    assert foster.check_password(CHOSEN["new_password1"])


def test_the_answer_tells_nobody_who_has_an_account(stranger, foster, mailing, text_of):
    foster.email = "fay@example.org"
    foster.save()
    names = (foster.username, "nobody")
    pages = [text_of(stranger.post(reverse("forgotten"), {"name": name})) for name in names]
    # But for the token against forged forms, which is another on each page.
    known, unknown = (re.sub(r"\w{64}", "", page) for page in pages)
    assert known == unknown


def test_asking_again_and_again_fills_no_letter_box(stranger, foster, mailing):
    foster.email = "fay@example.org"
    foster.save()
    for _ in range(3):
        stranger.post(reverse("forgotten"), {"name": foster.username})
    assert len(mail.outbox) == 1


def test_a_mail_server_that_refuses_is_told_to_the_coordinator(
    coordinating, foster, mailing, settings, text_of
):
    foster.email = "fay@example.org"
    foster.save()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9  # nobody listens there

    page = coordinating.post(
        reverse("password_link", kwargs={"pk": foster.pk}), {"mail": "1"}, follow=True
    )

    assert "The mail could not be sent." in text_of(page)
    assert not AccessEvent.objects.filter(kind="link_mailed").exists()


def test_a_clock_that_was_set_back_keeps_nobody_waiting_for_a_mail(
    stranger, foster, mailing, clock
):
    Person.objects.filter(pk=foster.pk).update(email="fay@example.org")
    clock(days=1)
    stranger.post(reverse("forgotten"), {"name": foster.username})
    clock()

    stranger.post(reverse("forgotten"), {"name": foster.username})

    assert len(mail.outbox) == 2


def test_a_link_that_was_made_before_the_clock_was_set_back_works(stranger, foster, clock):
    clock(days=1)
    path = link_path(foster)
    clock()

    choose(stranger, path)

    foster.refresh_from_db()
    assert foster.check_password(CHOSEN["new_password1"])
