"""The calendar feed: read by an outside parser, as RFC 5545 has it, by secret and revocable."""

from datetime import timedelta

import icalendar
import pytest
from django.urls import reverse

from habitats.linens.models.spots import ChangePlan
from habitats.people.models.calendar_feeds import CalendarFeed

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home, make_pool, make_enclosure, make_group, make_animal, foster, day):
    home = make_home("Wren", people=[foster])
    make_pool(home=home)
    enclosure = make_enclosure("North wall, by the window; upstairs", home=home)
    ChangePlan.objects.create(enclosure=enclosure, interval_days=3)
    make_group(make_animal("Pip"), enclosure=enclosure, since=day(-9))
    return home


@pytest.fixture
def fetch(client, this_day):
    def get(person):
        feed = CalendarFeed.objects.renew(person)
        return client.get(reverse("calendar_feed", args=[feed.secret]))

    return get


def events_in(response):
    calendar = icalendar.Calendar.from_ical(response.content)
    return list(calendar.walk("VEVENT"))


def test_a_foster_reads_when_linens_are_changed(home, foster, fetch, today):
    titles = {str(one["summary"]): one["dtstart"].dt for one in events_in(fetch(foster))}

    assert titles["Change linens of North wall, by the window; upstairs"] == today


def test_every_event_has_what_rfc_5545_asks_for(home, coordinator, fetch):
    """RFC 5545, 3.6.1: UID and DTSTAMP in every event, DTSTART since METHOD is given; 3.8.2.2:
    an end after the start, of the same type."""
    events = events_in(fetch(coordinator))

    assert events
    for one in events:
        assert one["uid"]
        assert one["dtstamp"].dt.utcoffset() == timedelta(0)
        assert one["dtend"].dt > one["dtstart"].dt
    assert len({str(one["uid"]) for one in events}) == len(events)


def test_lines_are_folded_at_75_octets_and_end_in_crlf(home, coordinator, fetch):
    """RFC 5545, 3.1."""
    content = fetch(coordinator).content

    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, content.split(b"\r\n"))) <= 75


def test_the_calendar_says_its_version_and_who_made_it(home, coordinator, fetch):
    """RFC 5545, 3.6: PRODID and VERSION are required."""
    calendar = icalendar.Calendar.from_ical(fetch(coordinator).content)

    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    assert calendar.errors == []


def test_an_event_keeps_its_uid_from_one_fetch_to_the_next(home, foster, fetch):
    first, second = ({str(one["uid"]) for one in events_in(fetch(foster))} for _ in range(2))
    assert first == second


def test_a_foster_reads_nothing_of_another_home(
    home, fetch, make_home, make_enclosure, make_group, make_animal, foster
):
    elsewhere = make_enclosure("Far away", home=make_home("Other"))
    make_group(make_animal("Dot"), enclosure=elsewhere)

    assert b"Far away" not in fetch(foster).content


def test_a_laundry_volunteer_reads_wash_days(home, laundry, fetch, make_linen):
    spot = home.standings.get().enclosure.spots.first()
    for _ in range(3):
        make_linen(home.pool, spot.size, state="soiled")

    titles = [str(one["summary"]) for one in events_in(fetch(laundry))]

    assert any(title.startswith("Wash at Wren's cupboard: ") for title in titles)


def test_a_revoked_address_is_no_page(foster, client_of, client):
    feed = CalendarFeed.objects.renew(foster)
    client_of(foster).post(reverse("revoke_calendar"))

    assert client.get(reverse("calendar_feed", args=[feed.secret])).status_code == 404


def test_a_new_address_ends_the_old_one(foster, client_of, client):
    feed = CalendarFeed.objects.renew(foster)
    client_of(foster).post(reverse("renew_calendar"))

    assert client.get(reverse("calendar_feed", args=[feed.secret])).status_code == 404
    assert CalendarFeed.objects.open().get(person=foster).secret != feed.secret


def test_somebody_who_may_no_longer_log_in_has_no_calendar(foster, fetch):
    foster.is_active = False
    foster.save()

    assert fetch(foster).status_code == 404


def test_the_page_shows_the_address_to_its_owner_only(foster, client_of, coordinator):
    feed = CalendarFeed.objects.renew(foster)

    assert feed.secret in client_of(foster).get(reverse("calendar")).content.decode()
    assert feed.secret not in client_of(coordinator).get(reverse("calendar")).content.decode()


@pytest.mark.parametrize("homes", [3, 12])
def test_the_feed_asks_the_same_few_questions_of_many_homes(
    homes,
    coordinator,
    client,
    this_day,
    make_home,
    make_pool,
    make_enclosure,
    make_group,
    make_animal,
    django_assert_max_num_queries,
):
    from habitats.readings.models.readings import Reading

    for number in range(homes):
        home = make_home(f"Home {number}")
        make_pool(f"Cupboard {number}", home=home)
        enclosure = make_enclosure(f"Wall {number}", home=home)
        make_group(make_animal(f"Pip {number}"), enclosure=enclosure)
    list(Reading.objects.fresh(this_day))
    feed = CalendarFeed.objects.renew(coordinator)

    with django_assert_max_num_queries(35):
        client.get(reverse("calendar_feed", args=[feed.secret]))
    with django_assert_max_num_queries(20):
        response = client.get(reverse("calendar_feed", args=[feed.secret]))
    assert len(events_in(response)) >= homes
