"""A coordinator makes the link of a kit and revokes it."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from builds.kits.models.kit_links import KitLink
from builds.plans.models.builds import CannotBuild
from tests.support.builds import planner
from tests.support.kits import make_kit

pytestmark = pytest.mark.django_db


def makes(client, kit, **more):
    sent = {"once": uuid.uuid4(), "expires_on": "2027-04-10", "may_tick": "on", **more}
    return client.post(f"/builds/{kit.code}/kit/links/new/", sent)


def test_a_coordinator_makes_a_link_and_sees_its_address(coordinating, coordinator, text_of):
    kit = make_kit(state="building")

    makes(coordinating, kit)

    link = KitLink.objects.get()
    assert (link.build, link.made_by, link.may_tick) == (kit, coordinator, True)
    assert f"/k/{link.token}/" in text_of(coordinating.get(f"/builds/{kit.code}/kit/"))


def test_a_builder_sees_no_link(building, link, text_of):
    page = text_of(building.get(f"/builds/{link.build.code}/kit/"))

    assert link.token not in page
    assert link.secret not in page


def test_a_double_tap_makes_one_link(coordinating):
    kit, once = make_kit(state="building"), uuid.uuid4()
    for _ in range(2):
        makes(coordinating, kit, once=once)

    assert KitLink.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ("2027-03-09", "9 March 2027 has passed. Give a day from 10 March 2027 to 9 March 2028"),
        ("2028-03-10", "10 March 2028 is more than a year ahead"),
        ("", "Choose the last day of the link"),
        ("whenever", "Enter a valid date"),
    ],
)
def test_a_link_ends_within_a_year(coordinating, text_of, given, says):
    kit = make_kit(state="building")

    response = makes(coordinating, kit, expires_on=given)

    assert response.status_code == 422
    assert says in text_of(response)
    assert not KitLink.objects.exists()


def test_the_models_refuse_such_a_day_too(this_day):
    kit = make_kit(state="building")

    with pytest.raises(CannotBuild, match="has passed"):
        KitLink.objects.make(
            kit, this_day - timedelta(days=1), may_tick=False, today=this_day, by=planner()
        )


def test_a_link_is_revoked_once(coordinating, coordinator, link, adopter):
    address = f"/builds/{link.build.code}/kit/links/{link.pk}/revoke/"
    coordinating.post(address)
    at = KitLink.objects.get().revoked_at
    coordinating.post(address)

    revoked = KitLink.objects.get()
    assert (revoked.revoked_at, revoked.revoked_by) == (at, coordinator)
    assert adopter.get(f"/k/{link.token}/").status_code == 404


def test_a_link_of_another_kit_is_not_revoked_from_here(coordinating, link):
    other = make_kit("Kit for Bo", adopter="Bo")

    response = coordinating.post(f"/builds/{other.code}/kit/links/{link.pk}/revoke/")

    assert response.status_code == 404
    assert KitLink.objects.get().revoked_at is None


def test_papers_are_made_every_ten_seconds_whichever_server_is_asked(link):
    now = timezone.now()
    first, second = KitLink.objects.get(), KitLink.objects.get()

    asked = [(first, 0), (second, 9), (first, 11)]
    assert [one.may_print(now + timedelta(seconds=s)) for one, s in asked] == [True, False, True]
    # The clock was ahead, and was set right.
    assert second.may_print(now - timedelta(hours=1))
