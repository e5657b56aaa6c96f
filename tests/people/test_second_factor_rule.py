"""The rescue's rule that each coordinator has a second factor: asked at the log-in, and no lock."""

import pytest
from django.core.management import call_command
from django.urls import reverse

from habitats.people.models.second_factor import new_key, set_up
from habitats.rescue.models.rescue import Rescue
from tests.conftest import PASSWORD
from tests.people.test_second_factor import code_now

pytestmark = pytest.mark.django_db
PAGE = {"headers": {"accept": "text/html"}}


@pytest.fixture
def ruled(db):
    Rescue.objects.update_or_create(pk=1, defaults={"coordinators_need_second_factor": True})


def log_in(client, person):
    client.post(reverse("login"), {"username": person.username, "password": PASSWORD})
    return client


def test_a_coordinator_without_one_sets_it_up_before_any_other_page(client, coordinator, ruled):
    log_in(client, coordinator)
    assert client.get(reverse("today"), **PAGE).url == reverse("own_second_factor")

    page = client.get(reverse("own_second_factor"), **PAGE)
    assert "Your rescue requires a second factor for coordinators." in page.text
    assert ">Cancel<" not in page.text
    key = client.session["second_factor_key"]
    client.post(reverse("own_second_factor"), {"code": code_now(key)})

    assert client.get(reverse("today"), **PAGE).status_code == 200


def test_other_people_and_who_is_logged_in_already_go_on(client, client_of, builder, coordinator):
    at_work = log_in(client, coordinator)
    Rescue.objects.update_or_create(pk=1, defaults={"coordinators_need_second_factor": True})

    assert at_work.get(reverse("today"), **PAGE).status_code == 200
    assert log_in(client_of(None), builder).get(reverse("today"), **PAGE).status_code == 200


def test_what_a_phone_sends_for_itself_is_not_held_up(client, coordinator, ruled):
    log_in(client, coordinator)

    assert client.get(reverse("who"), headers={"accept": "*/*"}).status_code == 200


def test_the_rule_is_set_only_with_a_second_factor_of_ones_own(coordinating, coordinator):
    sent = {"coordinators_need_second_factor": "on"}
    refused = coordinating.post(reverse("access_rules"), sent)
    assert refused.status_code == 422
    assert "Set up your own second factor first." in refused.text

    set_up(coordinator, new_key())
    coordinating.post(reverse("access_rules"), sent)

    assert Rescue.ours().coordinators_need_second_factor


def test_a_command_lifts_it_also_for_who_is_held_up(client, coordinator, ruled, capsys):
    log_in(client, coordinator)

    call_command("restore_access", "--no-second-factor-rule")

    assert not Rescue.ours().coordinators_need_second_factor
    assert client.get(reverse("today"), **PAGE).status_code == 200
