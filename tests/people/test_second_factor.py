"""A second factor at log-in. RFC 6238 (TOTP), appendix B, has the worked codes."""

import time
from binascii import hexlify

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django_otp.oath import totp
from django_otp.plugins.otp_static.models import StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from habitats.people.models.access_events import AccessEvent
from habitats.people.models.devices import devices_of
from habitats.people.models.second_factor import (
    CodeSource,
    fits,
    has_second_factor,
    new_key,
    readable,
    set_up,
    source_of,
)
from tests.conftest import PASSWORD

RFC_KEY = hexlify(b"12345678901234567890").decode()


def code_now(key: str) -> str:
    return f"{totp(bytes.fromhex(key)):06d}"


@pytest.fixture
def key(coordinator) -> str:
    """The coordinator's secret, set up."""
    made = new_key()
    set_up(coordinator, made)
    return made


@pytest.fixture
def at_log_in(db) -> Client:
    """Nobody is logged in here yet."""
    return Client(headers={"Accept-Language": "en-GB"})


def type_password(client: Client, person) -> None:
    client.post(reverse("login"), {"username": person.username, "password": PASSWORD})


def is_logged_in(client: Client) -> bool:
    return client.get(reverse("who")).status_code == 200


# The last six of the eight digits of appendix B, for SHA-1.
@pytest.mark.parametrize(
    ("moment", "code"),
    [(59, "287082"), (1111111109, "081804"), (1111111111, "050471"), (2000000000, "279037")],
)
def test_codes_are_those_of_the_standard(monkeypatch, moment, code):
    monkeypatch.setattr("django_otp.oath.time", lambda: moment)
    assert fits(RFC_KEY, code)


def test_a_key_is_typed_as_base_32_in_groups_of_four():
    # RFC 4648 of the same twenty bytes, as every TOTP worked example has it (from memory).
    assert readable(RFC_KEY) == "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ"


def test_a_password_alone_no_longer_logs_in(at_log_in, coordinator, key):
    type_password(at_log_in, coordinator)

    assert not is_logged_in(at_log_in)
    assert at_log_in.get(reverse("home")).status_code == 302


def test_the_code_from_the_app_logs_in_and_leads_where_one_was_going(at_log_in, coordinator, key):
    sent = {"username": coordinator.username, "password": PASSWORD, "next": "/animals/"}
    page = at_log_in.post(reverse("login"), sent)
    assert page.url == reverse("log_in_code")

    answer = at_log_in.post(page.url, {"code": code_now(key)})

    assert answer.url == "/animals/"
    assert is_logged_in(at_log_in)


def test_a_code_leads_to_no_other_site(at_log_in, coordinator, key):
    sent = {"username": coordinator.username, "password": PASSWORD, "next": "https://evil.example/"}
    at_log_in.post(reverse("login"), sent)

    assert at_log_in.post(reverse("log_in_code"), {"code": code_now(key)}).url == reverse("home")


def test_a_code_works_once(coordinator, key):
    code = code_now(key)
    assert source_of(coordinator, code) is CodeSource.APP
    assert source_of(coordinator, code) is None


def test_wrong_codes_make_the_next_wait_and_count_as_wrong_passwords(
    at_log_in, coordinator, key, text_of
):
    type_password(at_log_in, coordinator)
    wrong = f"{(int(code_now(key)) + 1) % 1000000:06d}"
    first = at_log_in.post(reverse("log_in_code"), {"code": wrong})
    second = at_log_in.post(reverse("log_in_code"), {"code": code_now(key)})

    assert first.status_code == second.status_code == 422
    assert "Too many wrong codes" in text_of(second)
    assert not is_logged_in(at_log_in)
    refused = AccessEvent.objects.filter(kind="refused", person=coordinator)
    assert refused.count() == 2


def test_the_password_counts_for_ten_minutes(at_log_in, coordinator, key, monkeypatch):
    type_password(at_log_in, coordinator)
    later = time.time() + 601
    monkeypatch.setattr(time, "time", lambda: later)

    answer = at_log_in.post(reverse("log_in_code"), {"code": code_now(key)})

    assert answer.url == reverse("login")
    assert not is_logged_in(at_log_in)


def test_a_password_that_is_replaced_meanwhile_counts_no_longer(at_log_in, coordinator, key):
    type_password(at_log_in, coordinator)
    coordinator.set_password("wire-and-hay-77")
    coordinator.save()

    answer = at_log_in.post(reverse("log_in_code"), {"code": code_now(key)})

    assert answer.url == reverse("login")
    assert not is_logged_in(at_log_in)


def test_nobody_gets_to_the_code_without_the_password(at_log_in, key):
    assert at_log_in.get(reverse("log_in_code")).url == reverse("login")


def test_a_person_sets_it_up_with_a_code_and_gets_recovery_codes_once(coordinating, coordinator):
    coordinating.get(reverse("own_second_factor"))
    key = coordinating.session["second_factor_key"]

    page = coordinating.post(reverse("own_second_factor"), {"code": code_now(key)})

    assert has_second_factor(coordinator)
    assert page.content.decode().count("<code>") == 10
    assert "<code>" not in coordinating.get(reverse("own_second_factor")).content.decode()


def test_nothing_is_set_up_with_a_code_that_does_not_fit(coordinating, coordinator):
    coordinating.get(reverse("own_second_factor"))
    answer = coordinating.post(reverse("own_second_factor"), {"code": "abcdef"})

    assert answer.status_code == 422
    assert not has_second_factor(coordinator)


def test_setting_it_up_logs_out_elsewhere(coordinating, client_of, coordinator):
    elsewhere = client_of(coordinator)
    coordinating.get(reverse("own_second_factor"))
    key = coordinating.session["second_factor_key"]

    coordinating.post(reverse("own_second_factor"), {"code": code_now(key)})

    assert not is_logged_in(elsewhere)
    assert len(devices_of(coordinator)) == 1


def test_a_recovery_code_logs_in_once(at_log_in, coordinator, text_of):
    code, *_others = set_up(coordinator, new_key())
    type_password(at_log_in, coordinator)

    page = at_log_in.post(reverse("log_in_code"), {"code": code.upper()}, follow=True)

    assert is_logged_in(at_log_in)
    assert "9 recovery codes are left." in text_of(page)
    assert source_of(coordinator, code) is None


def test_removing_it_asks_for_a_code(coordinating, coordinator, key):
    page = reverse("drop_second_factor")
    assert coordinating.post(page, {"code": "nothing"}).status_code == 422
    assert has_second_factor(coordinator)


def test_a_coordinator_removes_it_for_who_lost_the_phone(coordinating, coordinator, builder):
    set_up(builder, new_key())

    coordinating.post(reverse("lift_second_factor", kwargs={"pk": builder.pk}))

    assert not has_second_factor(builder)
    event = AccessEvent.objects.get(kind="second_factor_off")
    assert (event.person, event.by) == (builder, coordinator)


def test_a_coordinator_removes_their_own_with_a_code_alone(coordinating, coordinator, key):
    answer = coordinating.post(reverse("lift_second_factor", kwargs={"pk": coordinator.pk}))

    assert answer.url == reverse("drop_second_factor")
    assert has_second_factor(coordinator)


def test_the_owner_of_the_machine_removes_it_for_the_last_coordinator(coordinator, key, capsys):
    call_command("restore_access", coordinator.username, "--without-second-factor")

    assert not has_second_factor(coordinator)
    assert "is asked for no second factor" in capsys.readouterr().out


def test_recovery_codes_stand_nowhere_in_the_database(coordinator):
    codes = set_up(coordinator, new_key())

    kept = set(StaticToken.objects.values_list("token", flat=True))

    assert len(kept) == len(codes)
    assert kept.isdisjoint(codes)
    assert source_of(coordinator, codes[0].upper()) is CodeSource.PAPER
    assert source_of(coordinator, codes[0]) is None
    assert all(source_of(coordinator, one) is None for one in list(kept)[:2])


# --- A clock that was wrong ---


def test_wrong_codes_of_a_clock_ahead_keep_nobody_out_once_it_is_right(
    at_log_in, coordinator, key, clock
):
    clock(days=1)
    assert source_of(coordinator, code_now(key)) is None, "the phone's clock is right"
    clock()
    type_password(at_log_in, coordinator)

    at_log_in.post(reverse("log_in_code"), {"code": code_now(key)})

    assert is_logged_in(at_log_in)


def test_a_recovery_code_is_taken_after_the_clock_was_set_back(coordinator, clock):
    paper = set_up(coordinator, new_key())[0]
    clock(days=1)
    assert source_of(coordinator, "no code") is None
    clock()

    assert source_of(coordinator, paper) is CodeSource.PAPER


def test_a_clock_that_went_slow_bit_by_bit_and_was_set_right_keeps_nobody_out(coordinator, key):
    """Each log-in learnt half a minute of it, so that codes still fitted while it was wrong."""
    TOTPDevice.objects.update(drift=10)

    assert source_of(coordinator, code_now(key)) is CodeSource.APP
    assert TOTPDevice.objects.get().drift == 0


def test_the_wait_between_password_and_code_is_no_longer_for_a_clock_ahead(
    at_log_in, coordinator, key, clock
):
    clock(days=1)
    type_password(at_log_in, coordinator)
    clock()

    answer = at_log_in.post(reverse("log_in_code"), {"code": code_now(key)})

    assert answer.url == reverse("login")
