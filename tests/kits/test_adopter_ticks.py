"""Steps that an adopter ticks through the link of a kit."""

import re
import uuid
from urllib.parse import unquote

import pytest
from django.test import Client

from builds.kits.models.at_home import AtHome
from builds.kits.models.kit_links import MOST_TICKS_AN_HOUR
from builds.plans.models.build_acts import StrayAct, Tick
from builds.plans.models.builds import BuildState
from builds.plans.models.progress import Progress
from tests.kits.test_adopter import first_step, ticks
from tests.support.builds import NOON, planner, steps_of
from tests.support.kits import hand_over, make_kit, make_link

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


@pytest.mark.parametrize(
    ("state", "says"),
    [
        ("handed over", "You can read its steps, but no longer tick them"),
        ("stopped", "The rescue has stopped this build"),
    ],
)
def test_ticks_that_come_too_late_are_a_sentence(adopter, this_day, text_of, state, says):
    kit = make_kit(state="inspected" if state == "handed over" else "building")
    link = make_link(kit)
    if state == "handed over":
        hand_over(kit)
    else:
        kit.set_state(BuildState.STOPPED, this_day, by=planner())

    response = ticks(adopter, link)

    assert response.status_code == 409
    assert says in text_of(response)
    assert not Tick.objects.exists()
    assert not StrayAct.objects.exists()


def test_more_ticks_in_an_hour_than_anybody_builds_are_not_taken(adopter, link, text_of):
    Tick.objects.bulk_create(
        Tick(build=link.build, step_key="x", at=NOON, made_by=link.made_by, link=link)
        for _ in range(MOST_TICKS_AN_HOUR)
    )

    response = ticks(adopter, link)

    assert response.status_code == 429
    assert "Rest, and continue in an hour" in text_of(response)
    assert Tick.objects.count() == MOST_TICKS_AN_HOUR


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
