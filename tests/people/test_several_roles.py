"""One person with several roles: all that each of them may, and no more."""

import pytest
from django.db import IntegrityError
from django.urls import reverse

from habitats.common.navigation import places_of
from habitats.faults.models.faults import report
from habitats.people.models.people import Person
from tests.support.builds import make_build

pytestmark = pytest.mark.django_db


@pytest.fixture
def both(make_person):
    """A foster who builds."""
    return make_person("bo", first_name="Bo", last_name="Lund", role="builder,foster")


@pytest.fixture
def home_of_both(both, make_home, lives):
    return lives("Pip", "Moss", home=make_home("Wren", people=[both]))


def test_each_role_is_held_and_told(both):
    assert both.has_role("builder")
    assert both.has_role("foster")
    assert not both.has_role("coordinator", "laundry")
    assert both.get_roles_display() == "Builder and Foster"
    assert list(Person.objects.with_role("foster")) == [both]
    assert not Person.objects.with_role("laundry").exists()


@pytest.mark.parametrize("roles", ["", "owner", "foster,builder", "foster,foster"])
def test_the_database_knows_every_choice(make_person, roles):
    with pytest.raises(IntegrityError):
        make_person("bo", role=roles)


def test_a_coordinator_ticks_them(client_of, coordinator, builder):
    client = client_of(coordinator)
    sent = {"username": builder.username, "roles": ["foster", "builder"], "is_active": "on"}

    client.post(reverse("person", args=[builder.pk]), sent)

    builder.refresh_from_db()
    assert builder.roles == "builder,foster"
    assert "Builder and Foster" in client.get(reverse("people")).text


def test_no_role_is_refused_beside_the_field(client_of, coordinator, builder):
    sent = {"username": builder.username, "is_active": "on"}

    answer = client_of(coordinator).post(reverse("person", args=[builder.pk]), sent)

    assert answer.status_code == 422
    assert answer.context["form"].errors["roles"] == ["Choose at least one role."]


def test_today_has_the_parts_of_both(client_of, both, home_of_both, this_day):
    make_build("Hutch Six", people=[both])

    page = client_of(both).get(reverse("today")).text

    assert "Hutch Six" in page
    assert reverse("weigh") in page


def test_an_unsafe_fault_at_home_is_told_once(client_of, both, home_of_both, day):
    _group, _animals, enclosure = home_of_both
    unsafe, soon = (
        report(enclosure, kind, urgency, on=day(-1), by=both)
        for kind, urgency in (("wire", "unsafe"), ("tie", "soon"))
    )

    page = client_of(both).get(reverse("today")).text

    assert page.count(f'"{reverse("fault", args=[unsafe.pk])}"') == 1
    assert page.count(f'"{reverse("fault", args=[soon.pk])}"') == 1


def test_in_another_home_a_foster_who_builds_is_a_builder(client_of, both, lives, make_home):
    _group, _animals, enclosure = lives("Ida", "Nut", home=make_home("Ash"))
    client = client_of(both)

    page = client.get(reverse("enclosure", args=[enclosure.code])).text

    assert "Nut" not in page
    assert "Residents" not in page
    for name in ("enclosure_linens", "change_linens", "enclosure_card_pdf"):
        assert client.get(reverse(name, args=[enclosure.code])).status_code == 404
    assert client.get(reverse("home_page", args=[make_home("Elm").code])).status_code == 404


def test_at_home_they_see_their_animals(client_of, both, home_of_both):
    _group, _animals, enclosure = home_of_both

    assert "Pip" in client_of(both).get(reverse("enclosure", args=[enclosure.code])).text


@pytest.mark.parametrize("roles", [["builder", "foster"], ["builder", "foster", "laundry"]])
def test_their_places_are_seven_at_most_and_no_page_twice(roles):
    shown = places_of(roles, "/enclosures/")

    pages = [page.address for place in shown for page in place.parts]
    assert len(shown) == 7
    assert [str(one.label) for one in shown[:3]] == ["Today", "Animals", "Workshop"]
    assert len(pages) == len(set(pages))
    assert [str(one.label) for one in shown if one.is_here] == ["Enclosures"]


def test_every_place_opens_for_them(client_of, both, home_of_both):
    client = client_of(both)
    shown = places_of(["builder", "foster"], "/")
    addresses = {one.address for one in shown} | {
        page.address for place in shown for page in place.parts
    }

    refused = {at for at in addresses if client.get(at, follow=True).status_code != 200}

    assert refused == set()


def test_who_is_given_access_back_stays_what_they_were(both):
    both.add_role(Person.Role.COORDINATOR)

    assert both.roles == "coordinator,builder,foster"
