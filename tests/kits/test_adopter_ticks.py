"""Steps that an adopter ticks through the link of a kit."""

import re
import uuid
from datetime import timedelta
from urllib.parse import unquote

import pytest
from django.test import Client
from django.utils import timezone

from builds.kits.models.at_home import AtHome
from builds.kits.models.kit_links import MOST_TICKS_AN_HOUR
from builds.plans.models.build_acts import StrayAct, Tick
from builds.plans.models.builds import BuildState
from builds.plans.models.progress import Progress
from tests.kits.test_adopter import first_step, ticks
from tests.support.builds import NOON, planner, steps_of, tick_all
from tests.support.kits import hand_over, home_steps, make_kit, make_link

pytestmark = pytest.mark.django_db


def test_a_tick_is_kept_with_the_link_as_its_author(adopter, link):
    ticks(adopter, link)

    tick = Tick.objects.get()
    assert (tick.link, tick.made_by, tick.build) == (link, link.made_by, link.build)
    assert tick.who_for(None) == "the adopter, through a link"


def test_ours_see_that_it_came_through_a_link(coordinating, adopter, link, text_of):
    ticks(adopter, link)

    page = text_of(coordinating.get(f"/builds/{link.build.code}/"))

    assert "Done: the adopter, through a link" in page
    assert "planner ticked" not in page.lower()


def test_a_tick_leads_to_the_next_step(adopter, link):
    response = ticks(adopter, link)

    following = AtHome(link.build, "metric").next
    assert unquote(response.url) == f"/k/{link.token}/steps/{following.step.key}/"


def test_a_double_tap_ticks_once(adopter, link):
    once = uuid.uuid4()
    for _ in range(2):
        assert ticks(adopter, link, once=once).status_code == 302

    assert Tick.objects.count() == 1


def test_a_tick_is_taken_back_by_who_came_through_a_link(adopter, link):
    ticks(adopter, link)
    ticks(adopter, link, kind="untick")

    assert Progress(link.build, "metric").done == 0
    assert Tick.objects.count() == 2


def test_a_tick_of_ours_is_not_taken_back_through_a_link(adopter, link, builder, text_of):
    link.build.ticks.create(step_key=first_step(link).key, at=NOON, made_by=builder)

    response = ticks(adopter, link, kind="untick")

    assert response.status_code == 409
    assert "The rescue ticked this step" in text_of(response)
    assert Tick.objects.count() == 1


def test_a_link_to_read_ticks_nothing(adopter, this_day, text_of):
    link = make_link(may_tick=False)

    response = ticks(adopter, link)

    assert response.status_code == 409
    assert "This link is for reading" in text_of(response)
    assert not Tick.objects.exists()


def test_the_inspection_is_not_ticked_through_a_link(adopter, link, text_of):
    response = ticks(adopter, link, steps_of(link.build)[-1].key)

    assert "The rescue signs the inspection" in text_of(response)
    assert not Tick.objects.exists()


def test_a_stopped_kit_takes_no_tick_and_says_so(adopter, this_day, text_of):
    kit = make_kit(state="building")
    link = make_link(kit)
    kit.set_state(BuildState.STOPPED, this_day, by=planner())

    response = ticks(adopter, link)

    assert response.status_code == 409
    assert "The rescue has stopped this build" in text_of(response)
    assert not Tick.objects.exists()
    assert not StrayAct.objects.exists()


# --- With the box, at home ---


@pytest.fixture
def gone(this_day):
    """A kit that stood at the rescue, was taken apart, packed and handed over; its link."""
    kit = make_kit(state="building")
    tick_all(kit)
    kit.set_state(BuildState.INSPECTED, this_day, by=planner())
    hand_over(kit)
    return make_link(kit)


def test_at_home_all_is_to_be_done_that_was_taken_apart_for_the_box(adopter, gone, text_of):
    page = text_of(adopter.get(f"/k/{gone.token}/"))

    assert f"0 of {len(home_steps(gone.build))}" in page
    assert "Start with step 1" in page


def test_each_step_is_ticked_at_home_to_the_inspection(adopter, gone, text_of):
    before = Progress(gone.build, "metric").done
    for step in home_steps(gone.build):
        assert ticks(adopter, gone, step.key).status_code == 302

    home = AtHome(gone.build, "metric")
    assert (home.done, home.is_inspected) == (home.total, True)
    assert "put up and inspected" in text_of(adopter.get(f"/k/{gone.token}/"))
    assert Progress(gone.build, "metric").done == before
    assert {tick.at_home for tick in Tick.objects.filter(link=gone)} == {True}


def test_a_tick_taken_back_at_home_leaves_that_of_the_rescue(adopter, gone):
    before = Progress(gone.build, "metric").done
    ticks(adopter, gone)
    ticks(adopter, gone, kind="untick")

    assert AtHome(gone.build, "metric").done == 0
    assert Progress(gone.build, "metric").done == before


def test_the_inspection_at_home_has_its_questions(adopter, gone, text_of):
    page = text_of(adopter.get(f"/k/{gone.token}/steps/{home_steps(gone.build)[-1].key}/"))

    for question in gone.build.plans.get().questions:
        assert question["question"] in page.replace("&#x27;", "'")
    assert "Every answer is yes" in page


def test_what_the_adopter_did_before_the_receipt_counts_at_home(adopter, link, this_day):
    for step in steps_of(link.build):
        if step not in home_steps(link.build):
            link.build.ticks.create(step_key=step.key, at=NOON, made_by=planner())
    ticks(adopter, link)
    hand_over(link.build)

    assert AtHome(link.build, "metric").done == 1


# --- From a phone that was without signal ---


def sends(client, link, *acts, person=None):
    sent = {"person": person or -link.pk, "ahead": 0, "acts": list(acts)}
    return client.post(f"/k/{link.token}/acts/", sent, content_type="application/json")


def an_act(link, kind="tick", step=None, **more):
    key = (step or home_steps(link.build)[0]).key
    return {"once": str(uuid.uuid4()), "kind": kind, "step": key, "at": NOON.isoformat(), **more}


def test_ticks_kept_on_a_phone_arrive_once_with_their_time(adopter, gone):
    act = an_act(gone, at="2026-03-01T10:00:00+00:00")

    for _ in range(2):
        answer = sends(adopter, gone, act).json()

    tick = Tick.objects.get(link=gone)
    assert tick.at.isoformat() == act["at"]
    assert (tick.at_home, tick.link) == (True, gone)
    assert [one["outcome"] for one in answer["answers"]] == ["known"]
    assert answer["build"]["steps"][0]["is_done"]


def test_the_phone_is_told_whose_acts_are_taken(adopter, gone):
    told = adopter.get(f"/k/{gone.token}/acts/").json()

    assert told["person"] == -gone.pk
    assert told["token"]
    assert sends(adopter, gone, an_act(gone), person=gone.made_by_id).status_code == 409


def test_a_phone_stores_every_page_of_the_kit_and_no_name_of_ours(adopter, gone):
    told = adopter.get(f"/k/{gone.token}/ticks/").json()

    assert len(told["pages"]) == 3 + len(home_steps(gone.build))
    for page in told["pages"]:
        assert adopter.get(page).status_code == 200
    assert "planner" not in str(told).lower()


@pytest.mark.parametrize(
    ("kind", "says"), [("note", "only tick steps"), ("untick", "The rescue ticked this step")]
)
def test_what_a_page_would_not_do_a_phone_cannot_send(adopter, link, builder, kind, says):
    link.build.ticks.create(step_key=first_step(link).key, at=NOON, made_by=builder)

    (answer,) = sends(adopter, link, an_act(link, kind, text="x")).json()["answers"]

    assert answer["outcome"] == "stray"
    assert says in answer["sentence"]
    assert Tick.objects.get().made_by == builder
    assert not StrayAct.objects.exists()


@pytest.mark.parametrize("kind", ["tick", "untick"])
def test_a_step_of_the_rescues_bench_is_no_phones_to_say(adopter, link, builder, kind):
    bench = next(one for one in steps_of(link.build) if one.card["id"] == "measure")
    link.build.ticks.create(step_key=bench.key, at=NOON, made_by=builder)

    (answer,) = sends(adopter, link, an_act(link, kind, bench)).json()["answers"]

    assert answer["outcome"] == "stray"
    assert Tick.objects.get().made_by == builder


def test_a_phone_with_a_link_that_is_closed_is_told_whom_to_ask(adopter, gone):
    gone.revoke(by=planner())

    answer = sends(adopter, gone, an_act(gone))

    assert answer.status_code == 410
    assert "Ask the rescue for a new one" in answer.json()["why"]
    assert not Tick.objects.filter(link=gone).exists()


def test_more_ticks_in_an_hour_than_anybody_builds_are_not_taken(adopter, link, text_of):
    Tick.objects.bulk_create(
        Tick(build=link.build, step_key="x", at=NOON, made_by=link.made_by, link=link)
        for _ in range(MOST_TICKS_AN_HOUR)
    )

    response = ticks(adopter, link)

    assert response.status_code == 429
    assert "Rest, and continue in an hour" in text_of(response)
    assert Tick.objects.count() == MOST_TICKS_AN_HOUR


def test_ticks_of_a_clock_that_was_set_back_stop_nobody(adopter, link):
    tomorrow = timezone.now() + timedelta(days=1)
    Tick.objects.bulk_create(
        Tick(
            build=link.build,
            step_key="x",
            at=tomorrow,
            made_at=tomorrow,
            made_by=link.made_by,
            link=link,
        )
        for _ in range(MOST_TICKS_AN_HOUR)
    )

    assert ticks(adopter, link).status_code != 429


def test_a_form_forged_elsewhere_is_refused_and_our_own_is_taken(link, here):
    """As browsers send it over HTTPS: with where it came from, and the token of the form."""
    client = Client(enforce_csrf_checks=True)
    address = f"{here}steps/{first_step(link).key}/"
    page = client.get(address, secure=True).text
    proof = re.search(r'csrfmiddlewaretoken" value="(\w+)"', page)[1]
    sent = {"csrfmiddlewaretoken": proof, "once": uuid.uuid4()}

    forged = client.post(
        f"{address}tick/", sent, secure=True, headers={"origin": "https://evil.test"}
    )
    own = client.post(
        f"{address}tick/", sent, secure=True, headers={"origin": "https://testserver"}
    )

    assert forged.status_code == 403
    assert own.status_code == 302
