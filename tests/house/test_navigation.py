"""Few places for each role, and none that sends its people away."""

import pytest
from django.urls import reverse

from habitats.common.navigation import PLACES, places_of

MOST = {"coordinator": 7, "foster": 4, "builder": 4, "laundry": 4}


@pytest.mark.parametrize("role", PLACES)
def test_a_role_has_few_places(role):
    assert 1 <= len(PLACES[role]) <= MOST[role]


@pytest.mark.parametrize("role", PLACES)
def test_every_place_and_part_opens_for_its_role(role, cast, client_of):
    client = client_of(cast[role])
    shown = places_of([role], "/")
    addresses = {one.address for one in shown} | {
        part.address for one in shown for part in one.parts
    }

    refused = {at for at in addresses if client.get(at, follow=True).status_code != 200}

    assert refused == set()


@pytest.mark.parametrize(
    ("path", "place", "part"),
    [
        ("/homes/AB12C/", "Space", "Homes"),
        ("/store/buying/", "Store", "Buying list"),
        ("/store/items/3/", "Store", "Stock"),
        ("/cutting/AB12C/", "Workshop", "Batches"),
    ],
)
def test_a_page_lies_in_one_place_and_one_part_of_it(path, place, part):
    here = [one for one in places_of(["coordinator"], path) if one.is_here]

    assert [str(one.label) for one in here] == [place]
    assert [str(one.label) for one in here[0].parts if one.is_here] == [part]


def test_a_page_outside_all_places_marks_none():
    assert not any(one.is_here for one in places_of(["coordinator"], "/help/"))


def test_the_page_itself_says_where_one_is(client_of, coordinator):
    page = client_of(coordinator).get(reverse("groups")).content.decode()

    assert page.count('aria-current="true"') == 2
