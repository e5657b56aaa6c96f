"""Where people are logged in, and the log of what happened to accounts."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from habitats.people.models.access_events import KEPT, MOST_REFUSALS, AccessEvent
from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.people.models.devices import Device, devices_of, forget_ended
from tests.conftest import PASSWORD

FIREFOX = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0"
PHONE = (
    "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) "
    "Chrome/130.0.0.0 Mobile Safari/537.36"
)


def is_logged_in(client: Client) -> bool:
    return client.get(reverse("who")).status_code == 200


@pytest.mark.parametrize(
    ("agent", "name"),
    [(FIREFOX, "Firefox, Linux"), (PHONE, "Chrome, Android"), ("", "Unknown device")],
)
def test_a_device_is_told_by_browser_and_system(foster, agent, name):
    client = Client(headers={"User-Agent": agent, "Accept-Language": "en-GB"})
    client.post(reverse("login"), {"username": foster.username, "password": PASSWORD})
    assert [str(device) for device in devices_of(foster)] == [name]


def test_a_lost_phone_is_logged_out_from_another_device(client_of, foster):
    phone, desk = client_of(foster), client_of(foster)
    lost = Device.objects.get(session_key=phone.session.session_key)

    desk.post(reverse("end_device", kwargs={"pk": lost.pk}))

    assert (is_logged_in(phone), is_logged_in(desk)) == (False, True)


def test_a_log_in_from_before_devices_were_remembered_can_be_ended_too(client_of, foster):
    old, desk = client_of(foster), client_of(foster)
    Device.objects.filter(session_key=old.session.session_key).delete()
    session = old.session
    del session["seen"]
    session.save()

    assert is_logged_in(old)
    desk.post(reverse("end_other_devices"))

    assert (is_logged_in(old), is_logged_in(desk)) == (False, True)


def test_nobody_ends_the_log_in_of_another(fostering, building, builder):
    device = devices_of(builder)[0]
    fostering.post(reverse("end_device", kwargs={"pk": device.pk}))
    assert is_logged_in(building)


def test_all_others_are_logged_out_at_once(client_of, foster):
    clients = [client_of(foster) for _ in range(3)]
    clients[0].post(reverse("end_other_devices"))
    assert [is_logged_in(one) for one in clients] == [True, False, False]


def test_a_coordinator_logs_out_who_lost_a_phone(coordinating, fostering, foster):
    coordinating.post(reverse("end_all_devices", kwargs={"pk": foster.pk}))
    assert not is_logged_in(fostering)


def test_a_new_password_keeps_this_device_and_ends_the_others(client_of, foster):
    here, there = client_of(foster), client_of(foster)
    chosen = {"new_password1": "wire-and-hay-77", "new_password2": "wire-and-hay-77"}

    here.post(reverse("own_password"), {"old_password": PASSWORD, **chosen})

    assert (is_logged_in(here), is_logged_in(there)) == (True, False)
    assert [one.session_key for one in devices_of(foster)] == [here.session.session_key]


def test_logging_out_takes_the_device_off_the_list(fostering, foster):
    fostering.post(reverse("logout"))
    assert devices_of(foster) == []


def test_rows_of_sessions_that_ran_out_are_forgotten(fostering, foster):
    Session.objects.update(expire_date=timezone.now() - timedelta(days=1))
    assert forget_ended() == 1
    assert not foster.devices.exists()


def test_who_is_deactivated_is_logged_out(coordinating, fostering, foster):
    page = reverse("person", kwargs={"pk": foster.pk})
    sent = {"username": foster.username, "first_name": "Fay", "roles": "foster"}
    coordinating.post(page, sent)
    assert not is_logged_in(fostering)
    assert AccessEvent.objects.filter(kind="deactivated", person=foster).exists()


# --- The access log ---


def test_what_happens_to_accounts_is_in_the_log(coordinating, coordinator, foster, text_of):
    page = reverse("person", kwargs={"pk": foster.pk})
    sent = {"username": foster.username, "first_name": "Fay", "roles": "laundry", "is_active": "on"}
    coordinating.post(page, sent)
    b"".join(coordinating.get(reverse("export_zip")).streaming_content)

    kinds = set(AccessEvent.objects.filter(by=coordinator).values_list("kind", flat=True))
    assert {"role_changed", "exported"} <= kinds
    assert "Role changed" in text_of(coordinating.get(reverse("access_log")))


def test_a_password_typed_in_the_wrong_field_is_not_kept(client, db):
    client.post(reverse("login"), {"username": "my-secret-word", "password": "x"})
    (event,) = AccessEvent.objects.filter(kind="refused")
    assert (event.name, event.person) == ("", None)


def test_a_refused_try_at_a_name_that_exists_is_told_of_it(client, foster):
    client.post(reverse("login"), {"username": foster.username, "password": "x"})
    assert AccessEvent.objects.get(kind="refused").person == foster


def test_a_merging_tells_the_role_it_gave_and_the_log_in_it_ended(
    coordinating, coordinator, foster, make_person
):
    double = make_person("ines2", role="coordinator")
    page = f"{reverse('merge_person', kwargs={'pk': foster.pk})}?other={double.pk}"
    shown = coordinating.get(page).context["form"].initial["shown"]
    chosen = {"roles": "double", "first_name": "kept", "last_name": "kept", "email": "kept"}

    coordinating.post(page, {"shown": shown, "is_same": "on", **chosen})

    told = AccessEvent.objects.filter(by=coordinator).exclude(person=coordinator)
    assert set(told.values_list("kind", "name")) == {
        ("role_changed", foster.username),
        ("deactivated", "ines2"),
    }


def test_events_are_appended_and_never_edited(fostering, foster):
    event = AccessEvent.objects.filter(person=foster).first()
    with pytest.raises(TypeError):
        event.save()


def test_events_are_forgotten_after_a_while(fostering):
    AccessEvent.objects.update(at=timezone.now() - KEPT - timedelta(days=1))
    assert AccessEvent.objects.too_old().count() == AccessEvent.objects.count() > 0


def test_the_log_asks_as_many_questions_for_twelve_events_as_for_three(
    coordinating, foster, queries_for
):
    few = queries_for(coordinating, reverse("access_log"))
    for _ in range(12):
        AccessEvent.objects.create(kind="logged_out", person=foster, name=foster.username)
    assert queries_for(coordinating, reverse("access_log")) == few


def test_a_log_in_ends_without_use(client_of, foster):
    phone = client_of(foster)
    phone.get(reverse("home"))

    ends = Session.objects.get(session_key=phone.session.session_key).expire_date

    assert timedelta(days=13) < ends - timezone.now() <= timedelta(days=14)


def test_a_log_in_ends_after_its_days_in_use_or_not(client_of, foster, settings):
    phone = client_of(foster)
    phone.get(reverse("home"))
    assert phone.get(reverse("who")).status_code == 200

    settings.LOG_IN_LASTS = timedelta(0)

    assert phone.get(reverse("who")).status_code == 401
    assert phone.get(reverse("today")).status_code == 302


def test_a_new_password_ends_the_address_of_the_calendar(client_of, foster):
    feed = CalendarFeed.objects.renew(foster)
    client = client_of(foster)
    assert client.get(reverse("own_devices")).text.count(reverse("revoke_calendar")) == 1

    changed = {"old_password": PASSWORD, "new_password1": "flat-ring-803"}
    client.post(reverse("own_password"), changed | {"new_password2": "flat-ring-803"})

    address = reverse("calendar_feed", args=[feed.secret])
    assert client_of(None).get(address).status_code == 404


# --- A clock that was wrong ---


def test_a_log_in_in_use_goes_on_after_the_clock_was_set_back(client_of, foster, clock):
    clock(days=1)
    phone = client_of(foster)
    phone.get(reverse("who"))
    clock()

    phone.get(reverse("who"))

    assert devices_of(foster)[0].seen_at <= timezone.now()


def test_a_log_in_of_a_clock_ahead_lasts_no_longer_than_any(client_of, foster, settings, clock):
    clock(days=365)
    phone = client_of(foster)
    clock()
    assert is_logged_in(phone)

    clock(seconds=settings.LOG_IN_LASTS.total_seconds() + 60)

    assert not is_logged_in(phone)


def test_refusals_are_written_after_the_clock_was_set_back(client, foster, monkeypatch, clock):
    monkeypatch.setitem(MOST_REFUSALS, "person", 1)
    wrong = {"username": foster.username, "password": "wrong"}
    clock(days=1)
    client.post(reverse("login"), wrong)
    clock()

    client.post(reverse("login"), wrong)

    assert AccessEvent.objects.filter(kind="refused", person=foster).count() == 2
