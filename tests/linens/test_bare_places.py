"""A place that lies bare where animals live is due now, on every page that says what is due."""

import icalendar
import pytest
from django.urls import reverse

from habitats.linens.models.changes import change
from habitats.linens.models.spots import ChangePlan
from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def enclosure(make_home, make_pool, make_enclosure, make_group, make_animal, foster, day):
    home = make_home("Wren", people=[foster])
    make_pool(home=home)
    enclosure = make_enclosure("North wall", home=home, plan=("####", "##.."))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=9)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    return enclosure


@pytest.fixture
def bare(enclosure, make_linen, coordinator, day, this_day):
    """All places were changed yesterday; then the linen of one was set aside."""
    first, *_others = spots = list(enclosure.spots.order_by("pk"))
    pool = enclosure.standings.get().home.pool
    for spot in spots:
        change(spot, make_linen(pool, spot.size), day(-1), by=coordinator)
    first.linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")
    return first


@pytest.fixture
def text_of(client_of):
    def read(person, name, *args):
        return client_of(person).get(reverse(name, args=args)).content.decode()

    return read


def test_today_says_so_to_the_coordinator_and_the_foster(bare, text_of, coordinator, foster):
    for person in (coordinator, foster):
        page = text_of(person, "today")

        assert "Change North wall" in page
        assert "1 place bare" in page


def test_the_list_of_changes_says_which_enclosure_and_how_many_places(bare, text_of, foster):
    page = text_of(foster, "changes")

    assert "due today" in page
    assert "1 place bare" in page


def test_the_linens_of_the_enclosure_say_where(bare, text_of, foster, enclosure):
    page = text_of(foster, "enclosure_linens", enclosure.code)

    assert page.count("bare: none recorded") == 1


def test_the_calendar_has_it_on_this_day(bare, client, foster, today):
    feed = CalendarFeed.objects.renew(foster)
    content = client.get(reverse("calendar_feed", args=[feed.secret])).content

    changes = {
        str(one["summary"]): one["dtstart"].dt
        for one in icalendar.Calendar.from_ical(content).walk("VEVENT")
    }
    assert changes["Change linens of North wall"] == today
