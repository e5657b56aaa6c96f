"""Build days: who comes when with what, in calendars and on Today.

Calendars are read by icalendar as RFC 5545 has them; times in UTC are form 2 of its 3.3.5. The
rescue's zone in the tests is that of the settings.
"""

import uuid
from datetime import UTC, datetime, time, timedelta

import pytest
from django.utils import timezone
from icalendar import Calendar

from builds.building.models.build_days import BuildDay, WhoComes
from habitats.people.models.calendar_feeds import CalendarFeed
from tests.support.builds import make_build, make_build_day, steps_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(builder, this_day):
    return make_build(state="building")


@pytest.fixture
def coming(build, builder, this_day):
    """Two days from now, a builder at eleven."""
    who = WhoComes(builder, time(11), brings="the long straightedge", lent="cutting mat")
    return make_build_day(build, who, on=this_day + timedelta(days=2), place="The depot")


def sent(*people, on, **more):
    rows = {f"comes_{one.pk}": "on" for one in people}
    return {"once": uuid.uuid4(), "on": str(on), "begins": "10:00", **rows, **more}


def plans(client, build, *people, **more):
    return client.post(f"/builds/{build.code}/days/new/", sent(*people, **more))


def test_a_coordinator_plans_who_comes_when_with_what(coordinating, build, builder, this_day):
    more = {f"at_{builder.pk}": "11:30", f"brings_{builder.pk}": "gloves", "place": "Barn"}
    response = plans(coordinating, build, builder, on=this_day, **more)

    day = BuildDay.objects.get()
    assert response.url == f"/builds/{build.code}/days/{day.pk}/"
    assert (day.on, day.begins, day.ends, day.place) == (this_day, time(10), None, "Barn")
    (one,) = day.coming.all()
    assert (one.person, one.at, one.brings, one.lent) == (builder, time(11, 30), "gloves", "")


def test_the_form_sent_twice_makes_one_day(coordinating, build, builder, this_day):
    once = uuid.uuid4()
    for _ in range(2):
        plans(coordinating, build, builder, on=this_day, once=once)

    assert BuildDay.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "given"), [("on", ""), ("begins", "noon"), ("ends", "09:00"), ("on", "9999-01-01")]
)
def test_what_makes_no_sense_is_refused_beside_its_field(
    coordinating, build, builder, this_day, field, given
):
    response = plans(coordinating, build, builder, **{"on": this_day, field: given})

    assert response.status_code == 422
    assert response.context["form"].errors[field]
    assert not BuildDay.objects.exists()


def test_a_day_is_moved_and_people_stay_away(coordinating, build, builder, coming, this_day):
    response = coordinating.post(
        f"/builds/{build.code}/days/{coming.pk}/edit/", sent(on=this_day, note="Bring lunch")
    )

    coming.refresh_from_db()
    assert response.status_code == 302
    assert (coming.on, coming.note) == (this_day, "Bring lunch")
    assert not coming.coming.exists()


def test_the_page_tells_bench_and_enclosure_apart_with_their_tools(building, build, coming):
    page = building.get(f"/builds/{build.code}/days/{coming.pk}/").context["page"]

    bench, there = page.at_the_bench, page.at_the_home
    cards = [one.card for one in steps_of(build)]
    assert len(bench.steps) == sum(card["bench"] for card in cards)
    assert bench.minutes + there.minutes == sum(card["minutes"] for card in cards)
    assert "knife with a fresh blade" in bench.tools
    assert "knife with a fresh blade" not in there.tools


def test_the_builds_page_has_its_times_and_days_apart(building, build, coming, text_of):
    page = text_of(building.get(f"/builds/{build.code}/"))

    assert "at the bench," in page
    assert "On the enclosure" in page
    assert f"/builds/{build.code}/days/{coming.pk}/" in page


def test_it_is_on_today_of_those_who_come_and_of_nobody_else(
    building, coordinating, build, coming, text_of
):
    words = f"Build day: {build}"

    mine = text_of(building.get("/today/"))
    assert words in mine
    assert "Bring: the long straightedge" in mine
    assert words not in text_of(coordinating.get("/today/"))


def test_a_day_that_is_far_off_or_of_a_stopped_build_is_not_on_today(
    building, build, builder, coming, this_day, text_of
):
    make_build_day(build, WhoComes(builder), on=this_day + timedelta(days=9), place="Far off")
    assert "Far off" not in text_of(building.get("/today/"))

    build.set_state("stopped", this_day, by=builder)
    assert "Build day:" not in text_of(building.get("/today/"))


def event_of(response):
    (event,) = Calendar.from_ical(response.content).walk("VEVENT")
    return event


def test_the_entry_has_its_hours_place_and_what_to_bring(building, build, builder, coming):
    event = event_of(building.get(f"/builds/{build.code}/days/{coming.pk}.ics"))

    begins = timezone.make_aware(datetime.combine(coming.on, time(11))).astimezone(UTC)
    assert event.decoded("dtstart") == begins
    assert event.decoded("dtend") == begins + timedelta(hours=3)
    assert str(event["location"]) == "The depot"
    assert "Bring: the long straightedge" in str(event["description"])
    assert "Tools lent to you: cutting mat" in str(event["description"])


def test_a_moved_day_is_the_same_entry_in_file_and_feed(building, build, builder, coming, client):
    file = f"/builds/{build.code}/days/{coming.pk}.ics"
    before = event_of(building.get(file))
    coming.on += timedelta(days=1)
    coming.save()

    feed = CalendarFeed.objects.renew(builder)
    after = event_of(client.get(f"/calendar/{feed.secret}.ics"))

    assert after["uid"] == before["uid"]
    assert after.decoded("dtstart") == before.decoded("dtstart") + timedelta(days=1)


def test_a_deleted_day_is_gone_from_everywhere(coordinating, building, build, coming, text_of):
    coordinating.post(f"/builds/{build.code}/days/{coming.pk}/delete/")

    assert not BuildDay.objects.exists()
    assert "Build day:" not in text_of(building.get("/today/"))


def test_a_page_asks_as_much_for_three_who_come_as_for_twelve(
    coordinating, build, make_person, queries_for, this_day
):
    few = [WhoComes(make_person(f"helper{n}", role="builder")) for n in range(3)]
    many = [WhoComes(make_person(f"hand{n}", role="builder")) for n in range(12)]
    three, twelve = (make_build_day(build, *who, on=this_day) for who in (few, many))

    addresses = [f"/builds/{build.code}/days/{one.pk}/" for one in (three, twelve)]
    asked = [queries_for(coordinating, address) for address in addresses]
    assert asked[0] == asked[1]


@pytest.mark.parametrize("state", ["stopped", "handed over"])
def test_none_is_planned_or_moved_once_nobody_works_on_the_build(
    coordinating, build, builder, coming, this_day, state, text_of
):
    steps = ("stopped",) if state == "stopped" else ("inspected", state)
    for one in steps:
        build.set_state(one, this_day, by=builder)

    refused = plans(coordinating, build, builder, on=this_day)
    (why,) = refused.context["form"].non_field_errors()
    assert refused.status_code == 422
    assert state in why
    moved = coordinating.post(
        f"/builds/{build.code}/days/{coming.pk}/edit/", sent(on=this_day, note="Bring lunch")
    )
    assert moved.status_code == 422
    assert list(BuildDay.objects.values_list("pk", "note")) == [(coming.pk, "")]
    for address in ("days/new/", f"days/{coming.pk}/edit/"):
        page = coordinating.get(f"/builds/{build.code}/{address}", follow=True)
        assert why in text_of(page)
    page = coordinating.get(f"/builds/{build.code}/")
    assert why in text_of(page)
    assert "Plan build day" not in text_of(page)


def test_none_is_planned_for_an_enclosure_that_was_retired(
    coordinating, build, builder, this_day, make_enclosure
):
    build.enclosure = make_enclosure(state="retired")
    build.save()

    refused = plans(coordinating, build, builder, on=this_day)

    assert "is retired" in str(refused.context["form"].non_field_errors())


def test_nobody_comes_after_the_day_has_ended(coordinating, build, builder, this_day):
    at = f"at_{builder.pk}"
    refused = plans(coordinating, build, builder, on=this_day, ends="12:00", **{at: "12:00"})

    assert refused.status_code == 422
    assert list(refused.context["form"].errors) == [at]


def test_a_changed_day_takes_the_place_of_its_entry(coordinating, build, builder, coming, this_day):
    # RFC 5545, 3.8.7.4: the same UID with a greater SEQUENCE is the newer version of one event.
    file = f"/builds/{build.code}/days/{coming.pk}.ics"
    before = event_of(coordinating.get(file))
    coordinating.post(f"/builds/{build.code}/days/{coming.pk}/edit/", sent(on=this_day))

    after = event_of(coordinating.get(file))

    assert after["uid"] == before["uid"]
    assert (before["sequence"], after["sequence"]) == (0, 1)
    assert after["dtstamp"].dt >= before["dtstamp"].dt
    assert after["dtstamp"].dt.utcoffset() == timedelta(0)
