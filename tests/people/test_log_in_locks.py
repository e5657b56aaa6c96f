"""Who guesses passwords has to wait; nobody else does, and whoever is kept out finds a way in.

What the last entry of X-Forwarded-For is: each proxy appends the address it was asked from
(RFC 7239, section 5.2, says so of the header's successor). Addresses are of the blocks for
documentation, RFC 5737 and RFC 3849.
"""

import threading
from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.models import F
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from habitats.common.client_address import address_in, client_address
from habitats.people.models.access_events import MOST_REFUSALS, AccessEvent
from habitats.people.models.log_in_locks import locks_of
from habitats.people.models.people import Person

COORDINATOR_AT = "198.51.100.7"
STRANGER_AT = "203.0.113.66"
PASSWORD = "joint-disc-41"
TRIES = 6


@pytest.fixture
def behind_proxy(settings):
    settings.BEHIND_PROXY = True


def try_in(password, forwarded=None, *, username="cora", peer="127.0.0.1"):
    """One try to log in with a new browser; `forwarded` is the header X-Forwarded-For."""
    more = {"HTTP_X_FORWARDED_FOR": forwarded} if forwarded is not None else {}
    sent = {"username": username, "password": password}
    return Client().post(reverse("login"), sent, REMOTE_ADDR=peer, **more)


def lock(forwarded=STRANGER_AT, username="cora"):
    for _ in range(TRIES):
        try_in("wrong", forwarded, username=username)


def grow_older(minutes):
    """As if the tries so far had been so much earlier."""
    AccessAttempt.objects.update(attempt_time=F("attempt_time") - timedelta(minutes=minutes))


# --- Whose address it is ---


def test_behind_a_proxy_a_stranger_keeps_nobody_else_out(coordinator, behind_proxy):
    lock(STRANGER_AT)

    assert try_in(PASSWORD, STRANGER_AT).status_code == 429
    assert try_in(PASSWORD, COORDINATOR_AT).url == reverse("home")


def test_an_address_that_the_client_invents_is_not_taken(coordinator, behind_proxy):
    for number in range(TRIES):
        try_in("wrong", f"192.0.2.{number}, {STRANGER_AT}")

    assert try_in(PASSWORD, f"192.0.2.99, {STRANGER_AT}").status_code == 429


def test_a_client_cannot_lock_another_by_naming_its_address(coordinator, behind_proxy):
    lock(f"{COORDINATOR_AT}, {STRANGER_AT}")

    assert try_in(PASSWORD, COORDINATOR_AT).url == reverse("home")


def test_without_a_proxy_the_header_means_nothing(coordinator, settings):
    settings.BEHIND_PROXY = False
    for number in range(TRIES):
        try_in("wrong", f"192.0.2.{number}", peer=STRANGER_AT)

    assert try_in(PASSWORD, "192.0.2.99", peer=STRANGER_AT).status_code == 429
    assert try_in(PASSWORD, STRANGER_AT, peer=COORDINATOR_AT).url == reverse("home")


@pytest.mark.parametrize(
    ("written", "address"),
    [
        ("198.51.100.7", "198.51.100.7"),
        (" 198.51.100.7 ", "198.51.100.7"),
        ("198.51.100.7:51034", "198.51.100.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("[2001:db8:1:2:3:4:5:6]", "2001:db8:1:2::"),
        ("[2001:DB8:1:2:3:4:5:6]:443", "2001:db8:1:2::"),
        ('"[2001:db8:1:2:3:4:5:6]:443"', "2001:db8:1:2::"),
        ("::ffff:198.51.100.7", "198.51.100.7"),
        ("::1", "::1"),
        ("fe80::1234%eth0", "fe80::1234"),
        ("fd00::1234", "fd00::1234"),
        ("", None),
        ("unknown", None),
        ("_hidden", None),
        ("198.51.100.700", None),
        ("198.51.100.7.9", None),
        ("rescue.example:80", None),
        ("[2001:db8::1", None),
        ("<script>", None),
        ("1" * 5000, None),
    ],
)
def test_an_address_is_read_however_a_proxy_writes_it(written, address):
    assert address_in(written) == address


def test_who_holds_a_whole_ipv6_network_counts_as_one(coordinator, behind_proxy):
    # One line is given a network of 2**64 addresses (RFC 6177): each of them is the same client.
    for number in range(TRIES):
        try_in("wrong", f"2001:db8:1:2::{number}")

    assert try_in(PASSWORD, "2001:db8:1:2::beef").status_code == 429
    assert try_in(PASSWORD, "2001:db8:1:3::beef").url == reverse("home")


@pytest.mark.parametrize("header", [None, "", " ", "unknown", "198.51.100.7, unknown", ",", "a\tb"])
def test_a_missing_or_rubbish_header_counts_as_the_proxy_and_is_logged(
    header, coordinator, behind_proxy, caplog
):
    for _ in range(TRIES):
        try_in("wrong", header)

    assert try_in(PASSWORD, header).status_code == 429
    assert AccessAttempt.objects.get().ip_address == "127.0.0.1"
    assert "sends no address in X-Forwarded-For" in caplog.text


def test_a_proxy_on_a_socket_file_has_no_address_and_nobody_falls_over(
    coordinator, behind_proxy, rf
):
    assert client_address(rf.get("/", REMOTE_ADDR="")) == "::"
    assert try_in("wrong", "unknown", peer="").status_code == 422
    assert try_in(PASSWORD, COORDINATOR_AT, peer="").url == reverse("home")


# --- How long ---


def test_tries_during_the_wait_do_not_make_it_longer(coordinator, behind_proxy):
    lock()
    grow_older(14)
    for _ in range(3):
        assert try_in("wrong", STRANGER_AT).status_code == 429
    grow_older(2)

    assert try_in(PASSWORD, STRANGER_AT).url == reverse("home")


def test_the_page_says_for_how_many_minutes_more(coordinator, behind_proxy):
    lock()
    grow_older(9)

    assert "Try again in 6 minutes" in try_in(PASSWORD, STRANGER_AT).text


@pytest.mark.django_db(transaction=True)
def test_six_tries_at_once_lock_as_six_in_turn_do(make_person, behind_proxy):
    make_person("cora", role="coordinator")

    def one_try():
        try_in("wrong", STRANGER_AT)
        connection.close()

    tries = [threading.Thread(target=one_try) for _ in range(TRIES)]
    for one in tries:
        one.start()
    for one in tries:
        one.join()

    assert try_in(PASSWORD, STRANGER_AT).status_code == 429


# --- The way back in ---


def test_a_coordinator_sees_who_is_locked_out_and_unlocks_them(client_of, coordinator, builder):
    lock(username="bertil")
    as_coordinator = client_of(coordinator)
    assert "(locked)" in as_coordinator.get(reverse("people")).text
    assert "Unlock" in as_coordinator.get(reverse("person", args=[builder.pk])).text

    answer = as_coordinator.post(reverse("unlock_person", args=[builder.pk]), follow=True)

    assert "Bertil Moss can try to log in again." in answer.text
    assert "Unlock" not in answer.text
    assert try_in(PASSWORD, username="bertil").url == reverse("home")


def test_nobody_is_called_locked_after_the_wait(client_of, coordinator, builder):
    lock(username="bertil")
    grow_older(15)

    assert "(locked)" not in client_of(coordinator).get(reverse("people")).text
    assert locks_of(["bertil"]) == {}


def test_tries_with_several_browsers_are_one_sum(coordinator):
    for number in range(TRIES):
        Client(HTTP_USER_AGENT=f"browser {number}").post(
            reverse("login"), {"username": "cora", "password": "wrong"}
        )

    assert set(locks_of(["cora"])) == {"cora"}


def run(*words, **options):
    from io import StringIO

    out = StringIO()
    call_command("restore_access", *words, stdout=out, **options)
    return out.getvalue()


def test_whoever_owns_the_machine_ends_a_lock(coordinator):
    lock()

    said = run("cora")

    assert "cora: unlocked" in said
    assert try_in(PASSWORD).url == reverse("home")


def test_whoever_owns_the_machine_sets_a_forgotten_password(coordinator, monkeypatch):
    monkeypatch.setattr("getpass.getpass", lambda _question: "upright-disc-77")
    lock()

    run("cora", new_password=True)

    assert try_in("upright-disc-77").url == reverse("home")


def test_whoever_owns_the_machine_lets_the_only_coordinator_back_in(coordinator):
    Person.objects.update(is_active=False, roles="builder")

    said = run("cora", coordinator=True)

    coordinator.refresh_from_db()
    assert (coordinator.is_active, coordinator.roles) == (True, "coordinator,builder")
    assert "activated" in said
    assert "coordinator now" in said


def test_what_is_done_at_the_machine_is_in_the_access_log(coordinator):
    Person.objects.update(is_active=False, roles="builder")

    run("cora", coordinator=True)

    told = AccessEvent.objects.filter(person=coordinator, by=None, address="")
    assert {one.kind for one in told} == {"activated", "role_changed"}


def test_an_account_that_was_merged_is_not_opened_again(coordinator, builder):
    Person.objects.filter(pk=builder.pk).update(same_as=coordinator, is_active=False)

    with pytest.raises(CommandError, match="merged into cora"):
        run(builder.username)

    builder.refresh_from_db()
    assert not builder.is_active


def test_the_command_alone_lists_who_there_is(coordinator, builder):
    lock(username="bertil")
    Person.objects.filter(username="cora").update(is_active=False)

    listed = run()

    assert "cora" in listed
    assert "deactivated" in listed
    assert "bertil" in listed
    assert "locked" in listed


def test_a_log_in_name_that_nobody_has_is_refused_with_those_there_are(coordinator):
    with pytest.raises(CommandError, match=r"No person has the log-in name 'Cora'.*cora"):
        run("Cora")


def test_a_weak_new_password_changes_nothing(coordinator, monkeypatch):
    monkeypatch.setattr("getpass.getpass", lambda _question: "12345")
    lock()

    with pytest.raises(CommandError, match="too short"):
        run("cora", new_password=True)

    assert set(locks_of(["cora"])) == {"cora"}


def test_a_person_who_may_log_in_and_is_not_locked_is_told_so(coordinator):
    assert "cora: can log in already. Forgotten password: --new-password." in run("cora")


def test_refusals_that_go_on_are_not_written_for_ever(client, foster, monkeypatch):
    monkeypatch.setitem(MOST_REFUSALS, "person", 2)
    monkeypatch.setitem(MOST_REFUSALS, "address", 3)

    for name in (foster.username, foster.username, foster.username, "nobody", "nobody", "no-one"):
        client.post(reverse("login"), {"username": name, "password": "wrong"})

    refused = AccessEvent.objects.filter(kind=AccessEvent.Kind.REFUSED)
    assert (refused.filter(person=foster).count(), refused.count()) == (2, 3)


def test_tries_that_lock_nobody_any_longer_are_forgotten_at_the_next(client, foster):
    client.post(reverse("login"), {"username": foster.username, "password": "wrong"})
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(hours=1))

    client.post(reverse("login"), {"username": "nobody", "password": "wrong"})

    assert [one.username for one in AccessAttempt.objects.all()] == ["nobody"]


# --- A clock that was wrong ---


def test_after_the_clock_was_set_back_nobody_waits_for_a_day(coordinator, behind_proxy, clock):
    clock(days=1)
    lock()
    clock()

    try_in(PASSWORD, STRANGER_AT)

    assert try_in(PASSWORD, STRANGER_AT).url == reverse("home")


def test_a_clock_that_is_set_back_an_hour_takes_no_lock_from_those_who_try_now(
    coordinator, behind_proxy, clock
):
    clock(hours=-1)

    lock()

    assert try_in(PASSWORD, STRANGER_AT).status_code == 429
